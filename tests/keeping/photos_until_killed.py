"""A keeper who puts photo after photo in and is killed; run as a program of its own.

Each line on standard input is one life: the book, the box, the first number, and the
seconds until the kill. A number is printed once its photo was put in. The program is
loaded once and each life is a fork of it.
"""

from __future__ import annotations

import datetime as dt
import os
import signal
import sys
from pathlib import Path

from rearing.keeping.photos import add_photo
from rearing.records.book import Book
from rearing.records.journal import Entry
from tests.records.drawn_pictures import picture

NOW = dt.datetime(2021, 6, 24, 20, tzinfo=dt.UTC)
PICTURE = picture((400, 300))


def content(number: int) -> bytes:
    """Return a picture of its own for a number: what follows its end is not read."""
    return PICTURE + str(number).encode() + b"." * 300_000


def live_and_die(path: Path, box_id: int, first: int, seconds: float) -> None:
    """Put photos in, in a fork, and kill it after so many seconds."""
    # Held back, so that a keeper who ends by itself is noticed and not killed.
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGCHLD})
    keeper = os.fork()
    if not keeper:
        put_until_killed(path, box_id, first)
    if signal.sigtimedwait({signal.SIGCHLD}, seconds) is None:
        os.kill(keeper, signal.SIGKILL)
        _, status = os.waitpid(keeper, 0)
        signal.sigtimedwait({signal.SIGCHLD}, 0)
        say(f"killed {os.WTERMSIG(status)}")
    else:
        os.waitpid(keeper, 0)
        say("ended by itself")


def put_until_killed(path: Path, box_id: int, first: int) -> None:
    """Put photo after photo in; each is said once it is in the book."""
    try:
        with Book.open(path) as book:
            number = first
            while True:
                add_photo(
                    book,
                    Entry(NOW, "N. K."),
                    subject="box",
                    subject_id=box_id,
                    source=content(number),
                    caption=str(number),
                )
                say(str(number))
                number += 1
    finally:
        os._exit(1)


def say(line: str) -> None:
    """Print a line at once, past every buffer."""
    os.write(1, f"{line}\n".encode())


if __name__ == "__main__":
    for order in sys.stdin:
        book_path, box, start, delay = order.rstrip("\n").split("\t")
        live_and_die(Path(book_path), int(box), int(start), float(delay))
