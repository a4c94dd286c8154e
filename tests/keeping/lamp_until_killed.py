"""A keeper at the lamp whose power is cut; run as a program of its own.

A life is told the book, the night and the first number to count. A key counts a
species named after its number through the verbs of the page; the number is said once
the book has taken it, as the echo is.
"""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

from rearing.keeping.lamp_counting import close_check, count
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.terms import Sex
from tests.lives_until_killed import live, say

NOW = dt.datetime(2021, 5, 28, 21, tzinfo=dt.UTC)
KEYS_A_CHECK = 5


def count_until_killed(path: str, night_id: str, first: str) -> None:
    """Press key after key; each is said once it is in the book."""
    with Book.open(Path(path)) as book:
        for number in itertools.count(int(first)):
            press(book, int(night_id), number)
            say(number)


def press(book: Book, night_id: int, number: int) -> None:
    """Count one, and now and then close the check after it."""
    at = NOW + dt.timedelta(seconds=number)
    entry = Entry(at, "N. K.")
    count(book, entry, night_id=night_id, at=at, taxon=f"{number}", sex=Sex.NOT_LOOKED)
    if number % KEYS_A_CHECK == KEYS_A_CHECK - 1:
        close_check(book, entry, night_id=night_id, at=at)


if __name__ == "__main__":
    live(count_until_killed)
