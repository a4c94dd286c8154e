"""A copy of the small book for every test."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from tests.keeping import karst_book

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rearing.sheets.shelf import SheetShelf


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, karst_book.Ids]:
    """Return the closed book that is copied."""
    path = tmp_path_factory.mktemp("book") / "hisa.rearing"
    with Book.make(path) as book:
        ids = karst_book.fill(book)
    return path, ids


@pytest.fixture
def book(tmp_path: Path, filled: tuple[Path, karst_book.Ids]) -> Iterator[Book]:
    """Return an open copy."""
    with Book.open(Path(shutil.copy(filled[0], tmp_path))) as opened:
        yield opened


@pytest.fixture
def ids(filled: tuple[Path, karst_book.Ids]) -> karst_book.Ids:
    """Return what the book holds."""
    return filled[1]


@pytest.fixture(scope="session")
def shelf() -> SheetShelf:
    """Return the species sheets the program comes with."""
    return load_all()
