"""A keeper who enters and enters, and is killed; run as a program of its own.

A life is told the book and the first number to enter. What the book confirmed is said.
"""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

import numpy as np

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.readings import Origin, add_readings
from tests.lives_until_killed import live, say

NOW = dt.datetime(2021, 6, 12, 5, tzinfo=dt.UTC)
READINGS = 3_000


def write_until_killed(path: str, first: str) -> None:
    """Enter numbers from `first` on; each is said once the book has taken it."""
    with Book.open(Path(path)) as book:
        for number in itertools.count(int(first)):
            enter(book, number)
            say(number)


def enter(book: Book, number: int) -> None:
    """Enter a note and a changed place, and now and then a file of temperatures."""
    entry = Entry(NOW, "Ana")
    with book.change(entry) as pen:
        pen.say(f"Entry {number}.")
        pen.add(
            t.Note, subject="book", subject_id=number, on=entry.on, text=str(number)
        )
        pen.change(t.Place, 1, walking_order=number)
        if number % 5 == 0:
            # Long entries too, so that the end comes in the middle of one.
            at_s = np.arange(READINGS) + number * READINGS
            origin = Origin(1, f"{number}.csv", "T")
            add_readings(pen, origin, at_s, np.full(READINGS, 20.0))


if __name__ == "__main__":
    live(write_until_killed)
