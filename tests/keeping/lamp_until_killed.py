"""A keeper at the lamp whose power is cut; run as a program of its own.

Each line on standard input is one life: the book, the night, the first number to
count, and the seconds until the kill. A key counts a species named after its number
through the verbs of the page; the number is printed once the book has taken it, as
the echo is. The program is loaded once and each life is a fork of it.
"""

from __future__ import annotations

import datetime as dt
import os
import signal
import sys
from pathlib import Path

from rearing.keeping.lamp_counting import close_check, count
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.terms import Sex

NOW = dt.datetime(2021, 5, 28, 21, tzinfo=dt.UTC)
KEYS_A_CHECK = 5


def live_and_die(path: Path, night_id: int, first: int, seconds: float) -> None:
    """Count in a fork and kill it after so many seconds."""
    # Held back, so that a writer that ends by itself is noticed and not killed.
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGCHLD})
    writer = os.fork()
    if not writer:
        count_until_killed(path, night_id, first)
    if signal.sigtimedwait({signal.SIGCHLD}, seconds) is None:
        os.kill(writer, signal.SIGKILL)
        _, status = os.waitpid(writer, 0)
        signal.sigtimedwait({signal.SIGCHLD}, 0)
        say(f"killed {os.WTERMSIG(status)}")
    else:
        os.waitpid(writer, 0)
        say("ended by itself")


def count_until_killed(path: Path, night_id: int, first: int) -> None:
    """Press key after key; each is said once it is in the book."""
    try:
        with Book.open(path) as book:
            number = first
            while True:
                press(book, night_id, number)
                say(str(number))
                number += 1
    finally:
        os._exit(1)


def press(book: Book, night_id: int, number: int) -> None:
    """Count one, and now and then close the check after it."""
    at = NOW + dt.timedelta(seconds=number)
    entry = Entry(at, "N. K.")
    count(book, entry, night_id=night_id, at=at, taxon=f"{number}", sex=Sex.NOT_LOOKED)
    if number % KEYS_A_CHECK == KEYS_A_CHECK - 1:
        close_check(book, entry, night_id=night_id, at=at)


def say(line: str) -> None:
    """Print a line at once, past every buffer."""
    os.write(1, f"{line}\n".encode())


if __name__ == "__main__":
    for order in sys.stdin:
        book_path, night, start, delay = order.rstrip("\n").split("\t")
        live_and_die(Path(book_path), int(night), int(start), float(delay))
