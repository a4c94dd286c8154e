"""Books for the tests of the records: an empty one and a filled one."""

from __future__ import annotations

import datetime as dt
import shutil
from typing import TYPE_CHECKING

import pytest

from rearing.records.book import Book
from rearing.records.journal import Entry
from tests.records.filled_book import add_place, fill

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

MORNING = dt.datetime(2021, 6, 12, 7, 30, tzinfo=dt.timezone(dt.timedelta(hours=2)))


@pytest.fixture
def entry() -> Entry:
    return Entry(MORNING, "Ana")


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a book once; the tests work on copies of its closed file."""
    path = tmp_path_factory.mktemp("empty") / "Empty.rearing"
    Book.make(path).close()
    return path


@pytest.fixture
def path(tmp_path: Path, empty_file: Path) -> Path:
    copy = tmp_path / "Season.rearing"
    shutil.copy(empty_file, copy)
    return copy


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    with Book.open(path) as opened:
        yield opened


@pytest.fixture
def place_id(book: Book, entry: Entry) -> int:
    return add_place(book, entry, "Shed")


@pytest.fixture
def filled(book: Book, entry: Entry) -> Book:
    """Return a book with lines in most of its tables."""
    fill(book, entry)
    return book


@pytest.fixture
def contents() -> Callable[[Path], dict[str, bytes]]:
    """Return what lies in a folder, byte by byte."""

    def read(folder: Path) -> dict[str, bytes]:
        return {file.name: file.read_bytes() for file in folder.iterdir()}

    return read
