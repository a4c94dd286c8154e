"""Looking over the pictures beside a book: missing, altered, or without a line."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.photos import add_photo, photos_of
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.pictures import find
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

NOW = dt.datetime(2021, 6, 12, 20, tzinfo=dt.UTC)
ENTRY = Entry(NOW, "N. K.")


@pytest.fixture
def file(season_book: Path) -> Path:
    """Return the file of the one photo that was put in."""
    with Book.open(season_book) as book:
        add_photo(book, ENTRY, subject="brood", subject_id=1, source=picture())
        (photo,) = photos_of(book, "brood", 1, NOW.date())
        found = find(book.path, photo.named)
    assert found is not None
    return found


def test_pictures_that_are_as_they_were_put_in(
    ask: Ask, season_book: Path, file: Path
) -> None:
    assert file.is_file()
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 0
    assert "Pictures:        1 picture, every one as it was put in" in answer.out


def test_a_missing_picture_is_found(ask: Ask, season_book: Path, file: Path) -> None:
    file.unlink()
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "Pictures:        1 wrong" in answer.out
    assert "is missing from" in " ".join(answer.out.split())


def test_an_altered_picture_is_found(ask: Ask, season_book: Path, file: Path) -> None:
    file.write_bytes(file.read_bytes() + b"\x00")
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "is not what was put in." in " ".join(answer.out.split())


def test_a_picture_whose_entry_was_taken_back_is_told_of_and_is_no_fault(
    ask: Ask, season_book: Path, file: Path
) -> None:
    with Book.open(season_book) as book:
        book.take_back(ENTRY)
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 0
    assert file.name[:20] in answer.out
    assert "the book does not speak of it" in " ".join(answer.out.split())
