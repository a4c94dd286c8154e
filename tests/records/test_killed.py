"""Killed at any instant, the book opens and holds every entry that was confirmed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.records.book import Book
from rearing.records.readings import span
from rearing.records.rows import NoteRow, PlaceRow
from tests.kills import kill_often
from tests.records import writer_until_killed
from tests.records.filled_book import add_place

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.records.journal import Entry

KILLS = 40


def test_a_book_survives_forty_kills_with_every_confirmed_entry(
    path: Path, entry: Entry
) -> None:
    with Book.open(path) as book:
        add_place(book, entry, "Shed")

    def check(confirmed: set[int], _: int) -> int:
        return _check(path, confirmed)

    kill_often(writer_until_killed, (path,), check, kills=KILLS, seed=20210612)


def _check(path: Path, confirmed: set[int]) -> int:
    """Check the book as it was left, and return the number of entries in it."""
    with Book.open(path) as book:
        assert book.unsound() == ()
        numbers = [row.subject_id for row in book.all(NoteRow)]
        assert confirmed <= set(numbers)
        # Whole entries, in turn: no gap, and what belongs to one is there with it.
        assert numbers == list(range(len(numbers)))
        assert len(book.journal(most=1_000_000)) == len(numbers) + 1
        (place,) = book.all(PlaceRow)
        assert place.walking_order == (numbers[-1] if numbers else 1)
        imports = span(book, place.id).imports
        assert [one.file_name for one in imports] == [
            f"{number}.csv" for number in numbers if number % 5 == 0
        ]
        with book.reading() as connection:
            readings = connection.exec_driver_sql("SELECT count(*) FROM reading")
            expected = writer_until_killed.READINGS * len(imports)
            assert readings.scalar_one() == expected
    return len(numbers)
