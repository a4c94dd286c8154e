"""A keeper who takes file after file of temperatures in; run as a program of its own.

A life is told the book and the number of the first file. A number is said once its
file counts.
"""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

import numpy as np

from rearing.keeping.temperatures_in import Arriving, FileOrigin, take_file_in
from rearing.records.book import Book
from rearing.records.journal import Entry
from tests.lives_until_killed import live, say

ENTRY = Entry(dt.datetime(2021, 6, 12, 18, tzinfo=dt.UTC), "N. K.")
READINGS = 25_000
"""More than are put down in one go."""


def take_until_killed(path: str, first: str) -> None:
    """Take file after file in, two columns each, the second of a place of its own."""
    with Book.open(Path(path)) as book:
        for number in itertools.count(int(first)):
            take(book, number)
            say(number)


def take(book: Book, number: int) -> None:
    """Take one file in; its readings follow those of the file before."""
    at_s = 60 * (number * READINGS + np.arange(READINGS))
    shelf = np.full(READINGS, float(number))
    take_file_in(
        book,
        ENTRY,
        origin=FileOrigin(f"{number}.csv"),
        arriving=[
            Arriving("T", 1, at_s=at_s, celsius=shelf),
            Arriving(
                "T2", new_place=f"Shed {number}", at_s=at_s[:10], celsius=shelf[:10]
            ),
        ],
    )


if __name__ == "__main__":
    live(take_until_killed)
