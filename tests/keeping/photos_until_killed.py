"""A keeper who puts photo after photo in and is killed; run as a program of its own.

A life is told the book, the box and the first number. A number is said once its photo
was put in.
"""

from __future__ import annotations

import datetime as dt
import itertools
from pathlib import Path

from rearing.keeping.photos import add_photo
from rearing.records.book import Book
from rearing.records.journal import Entry
from tests.lives_until_killed import live, say
from tests.records.drawn_pictures import picture

NOW = dt.datetime(2021, 6, 24, 20, tzinfo=dt.UTC)
PICTURE = picture((400, 300))


def content(number: int) -> bytes:
    """Return a picture of its own for a number: what follows its end is not read."""
    return PICTURE + str(number).encode() + b"." * 300_000


def put_until_killed(path: str, box_id: str, first: str) -> None:
    """Put photo after photo in; each is said once it is in the book."""
    with Book.open(Path(path)) as book:
        for number in itertools.count(int(first)):
            add_photo(
                book,
                Entry(NOW, "N. K."),
                subject="box",
                subject_id=int(box_id),
                source=content(number),
                caption=str(number),
            )
            say(number)


if __name__ == "__main__":
    live(put_until_killed)
