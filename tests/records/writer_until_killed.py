"""A keeper who enters and enters, and is killed; run as a program of its own.

Each line on standard input is one life: the book, the first number to enter, and the
seconds until the kill. What the book confirmed is printed, a number a line; then
"killed" and the signal. The program is loaded once and each life is a fork of it.
"""

from __future__ import annotations

import datetime as dt
import os
import signal
import sys
from pathlib import Path

import numpy as np

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.readings import Origin, add_readings

NOW = dt.datetime(2021, 6, 12, 5, tzinfo=dt.UTC)
READINGS = 3_000


def live_and_die(path: Path, first: int, seconds: float) -> None:
    """Enter numbers in a fork and kill it after so many seconds."""
    # Held back, so that a writer that ends by itself is noticed and not killed.
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGCHLD})
    writer = os.fork()
    if not writer:
        write_until_killed(path, first)
    if signal.sigtimedwait({signal.SIGCHLD}, seconds) is None:
        os.kill(writer, signal.SIGKILL)
        _, status = os.waitpid(writer, 0)
        signal.sigtimedwait({signal.SIGCHLD}, 0)
        say(f"killed {os.WTERMSIG(status)}")
    else:
        os.waitpid(writer, 0)
        say("ended by itself")


def write_until_killed(path: Path, first: int) -> None:
    """Enter numbers from `first` on; each is said once the book has taken it."""
    try:
        with Book.open(path) as book:
            number = first
            while True:
                enter(book, number)
                say(str(number))
                number += 1
    finally:
        os._exit(1)


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


def say(line: str) -> None:
    """Print a line at once, past every buffer."""
    os.write(1, f"{line}\n".encode())


if __name__ == "__main__":
    for order in sys.stdin:
        book_path, start, delay = order.rstrip("\n").split("\t")
        live_and_die(Path(book_path), int(start), float(delay))
