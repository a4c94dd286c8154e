"""What the job that looks at a file refuses before it opens it."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.desk.pages.import_job import Look
from rearing.problems import UnreadableFile
from rearing.records.book import Book

if TYPE_CHECKING:
    from tests.desk import entry_book


def test_the_open_book_is_not_read_as_a_file_of_temperatures(
    tmp_path: Path, written: tuple[Path, entry_book.Ids]
) -> None:
    path = Path(shutil.copy(written[0], tmp_path))
    with Book.open(path) as window:
        window.journal()
        with pytest.raises(UnreadableFile, match="is a book that is open"):
            Look(path, "UTC").run()
