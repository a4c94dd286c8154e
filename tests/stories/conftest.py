"""The sample season, built once from its sources for all the stories."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from tests.stories.reader import Reader

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture(scope="session")
def season(built: Path) -> Iterator[Reader]:
    """Return the built book, open, to be read by the names on its labels."""
    with Book.open(built) as book:
        yield Reader(book, load_all())


@pytest.fixture
def own_season(built: Path, tmp_path: Path) -> Iterator[Reader]:
    """Return a copy of the built book that a test may write into."""
    path = tmp_path / "own.rearing"
    shutil.copyfile(built, path)
    with Book.open(path) as book:
        yield Reader(book, load_all())
