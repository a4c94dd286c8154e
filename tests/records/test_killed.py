"""Killed at any instant, the book opens and holds every entry that was confirmed."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import rearing
from rearing.records.book import Book
from rearing.records.readings import span
from rearing.records.rows import NoteRow, PlaceRow
from tests.records import writer_until_killed
from tests.records.filled_book import add_place

if TYPE_CHECKING:
    from rearing.records.journal import Entry

KILLS = 40


def test_a_book_survives_forty_kills_with_every_confirmed_entry(
    path: Path, entry: Entry
) -> None:
    with Book.open(path) as book:
        add_place(book, entry, "Shed")
    rng = random.Random(20210612)
    confirmed: set[int] = set()
    written = 0
    lives_with_entries = 0
    longest_s = 0.1

    with _writers() as writers:
        for _ in range(KILLS):
            life_s = rng.uniform(0.0, longest_s)
            seen = _one_life(writers, f"{path}\t{written}\t{life_s}\n")
            lives_with_entries += bool(seen)
            # Long enough for some entries, on a busy machine too.
            longest_s *= 0.8 if len(seen) > 5 else 1.25
            confirmed |= seen
            written = _check(path, confirmed)

    assert lives_with_entries >= KILLS // 4


def _writers() -> subprocess.Popen[str]:
    root = str(Path(rearing.__file__).parents[1])
    return subprocess.Popen(
        [sys.executable, writer_until_killed.__file__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": root},
    )


def _one_life(writers: subprocess.Popen[str], order: str) -> set[int]:
    """Have one writer live and die, and return what it had confirmed."""
    assert writers.stdin is not None
    assert writers.stdout is not None
    writers.stdin.write(order)
    writers.stdin.flush()
    seen: set[int] = set()
    for line in writers.stdout:
        if not line.strip().isdigit():
            assert line == "killed 9\n"
            return seen
        seen.add(int(line))
    raise AssertionError("the writers' own process ended")


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
