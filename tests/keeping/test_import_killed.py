"""Killed while a file of temperatures goes in: it counts whole, or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping import places
from rearing.records.book import Book
from rearing.records.readings import readings_between, span
from rearing.records.rows import PlaceRow
from tests.keeping import import_until_killed
from tests.keeping.import_until_killed import ENTRY, READINGS
from tests.kills import kill_often

if TYPE_CHECKING:
    from pathlib import Path

KILLS = 20


def test_twenty_kills_leave_no_half_file(tmp_path: Path) -> None:
    path = tmp_path / "shelf.rearing"
    with Book.make(path) as book:
        places.add_place(book, ENTRY, name="Shelf")

    def check(said: set[int], _: int) -> int:
        return _check(path, said)

    kill_often(import_until_killed, (path,), check, kills=KILLS, seed=20210613)


def _check(path: Path, said: set[int]) -> int:
    """Check the book as it was left, and return how many files count in it."""
    with Book.open(path) as book:
        assert book.unsound() == ()
        files = [one.file_name for one in span(book, 1).imports]
        assert files == [f"{number}.csv" for number in range(len(files))]
        assert said <= set(range(len(files)))
        at_s, celsius = readings_between(book, 1, 0, 2e10)
        assert np.array_equal(at_s, 60 * np.arange(READINGS * len(files)))
        assert np.array_equal(celsius, np.repeat(range(len(files)), READINGS))
        # the second column's place is there with its file, and its readings with it
        sheds = [place for place in book.all(PlaceRow) if place.id != 1]
        assert [place.name for place in sheds] == [
            f"Shed {n}" for n in range(len(files))
        ]
        assert all(
            readings_between(book, place.id, 0, 2e10)[0].size == 10 for place in sheds
        )
        assert len(book.journal(most=1_000)) == 1 + len(files)
    return len(files)
