"""A book open in two programs, and twice in one of them: no entry goes astray."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import rearing
from rearing.problems import UnreadableFile
from rearing.records import pictures
from rearing.records.book import Book
from tests.records.filled_book import add_place

if TYPE_CHECKING:
    from rearing.records.journal import Entry

READ = """
import sys
from pathlib import Path
from rearing.records.book import Book
with Book.open(Path(sys.argv[1])) as book:
    print(len(book.journal()))
"""


def lines_read_elsewhere(path: Path) -> int:
    """Return how many lines another program finds in the book, and let it close."""
    root = str(Path(rearing.__file__).parents[1])
    told = subprocess.run(
        [sys.executable, "-c", READ, str(path)],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": root},
    )
    return int(told.stdout)


def test_a_second_door_of_one_program_leaves_the_first_its_locks(
    path: Path, entry: Entry
) -> None:
    """As a page's job reads by a door of its own while the window has the book."""
    log = path.with_name(f"{path.name}-wal")
    with Book.open(path) as window:
        add_place(window, entry, "Shed")
        before = len(window.journal())
        with Book.open(path) as job:
            assert len(job.journal()) == before
        assert lines_read_elsewhere(path) == before
        # were the window's locks gone, the other would have taken its log away
        assert log.exists()
        add_place(window, entry, "Porch")
        assert lines_read_elsewhere(path) == before + 1
    with Book.open(path) as again:
        assert len(again.journal()) == before + 1


def test_an_open_book_is_no_picture_and_no_file_of_temperatures(
    path: Path, entry: Entry
) -> None:
    with Book.open(path) as window:
        add_place(window, entry, "Shed")
        with pytest.raises(UnreadableFile, match="is a book that is open"):
            pictures.offer(path)
        assert lines_read_elsewhere(path) == len(window.journal())
        assert path.with_name(f"{path.name}-wal").exists()
