"""What an import does off the window's thread: look, read, and write into the book."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.exchange.temperatures import read, understand
from rearing.keeping.temperatures_in import new_words, take_file_in
from rearing.problems import Refusal, UnreadableFile
from rearing.records.book import Book
from rearing.records.engine import refuse_open_book

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.desk.tasks import Token
    from rearing.exchange.temperatures import Temperatures, Understanding
    from rearing.keeping.temperatures_in import Arriving, FileOrigin
    from rearing.records.journal import Entry, Touched


class Stop:
    """Lets the keeper stop a job that may just have finished.

    A task's own token drops the result of a job that was cancelled, and a write that
    was done by then would go untold. With this one the job itself says what became
    of it; the token still ends it when the window closes.
    """

    def __init__(self, token: Token) -> None:
        self.token = token
        self._asked = threading.Event()

    def ask(self) -> None:
        """Ask the job to stop at its next look."""
        self._asked.set()

    def asked(self) -> bool:
        """Tell the job whether to stop."""
        return self._asked.is_set() or self.token.cancelled()


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """Looks at a file and says how it would be read."""

    path: Path
    zone: str

    def run(self) -> Understanding:
        """Look; a path that is no file is told in words."""
        if not self.path.is_file():
            kind = "a folder" if self.path.is_dir() else "not there"
            raise UnreadableFile(f"{self.path} is {kind}. Nothing was read.")
        refuse_open_book(self.path)
        try:
            return understand(self.path, zone=self.zone)
        except OSError as trouble:
            raise UnreadableFile(
                f"{self.path.name} can't be read: {trouble.strerror}."
            ) from trouble


@dataclass(frozen=True, slots=True, eq=False)
class Read:
    """Reads a whole file as it was understood; nothing is written yet."""

    path: Path
    how: Understanding
    stop: Stop

    def run(self) -> Temperatures:
        """Read, telling how far it is."""
        try:
            return read(
                self.path,
                self.how,
                progress=self.stop.token.progress,
                cancelled=self.stop.asked,
            )
        except OSError as trouble:
            raise UnreadableFile(
                f"{self.path.name} can't be read: {trouble.strerror}."
            ) from trouble


@dataclass(frozen=True, slots=True, eq=False)
class Compare:
    """Says of each series with a place how much of it the book does not have yet."""

    book: Path
    arriving: tuple[Arriving | None, ...]

    def run(self) -> tuple[str, ...]:
        """Compare; a series without a place, or with one that is gone, says nothing."""
        with Book.open(self.book) as book:
            return tuple(self._words(book, one) for one in self.arriving)

    def _words(self, book: Book, one: Arriving | None) -> str:
        try:
            return "" if one is None else new_words(book, one)
        except Refusal:
            return ""


@dataclass(frozen=True, slots=True, eq=False)
class Write:
    """Writes what was read into the book, by a door of its own."""

    book: Path
    entry: Entry
    origin: FileOrigin
    arriving: tuple[Arriving, ...]
    stop: Stop

    def run(self) -> Touched:
        """Write everything as one change, or nothing."""
        with Book.open(self.book) as book:
            return take_file_in(
                book,
                self.entry,
                origin=self.origin,
                arriving=self.arriving,
                progress=self.stop.token.progress,
                cancelled=self.stop.asked,
            )
