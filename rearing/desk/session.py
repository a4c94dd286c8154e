"""One open book in the window's hands: its day, and its one door to writing."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from PySide6.QtCore import QObject, Signal

from rearing.keeping.facts import Home, home
from rearing.records.journal import Entry, Touched

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.pictures import Pictures
    from rearing.desk.tasks import Tasks
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

P = ParamSpec("P")


class Session(QObject):
    """An open book, the shelf of sheets, and the day they are shown as on.

    `changed(touched)` follows every entry, taken back or put back too;
    `day_changed()` follows a turn to another day.
    """

    changed = Signal(object)
    day_changed = Signal()

    def __init__(
        self,
        book: Book,
        shelf: SheetShelf,
        clock: Callable[[], dt.datetime],
        *,
        on: dt.date | None = None,
        tasks: Tasks | None = None,
    ) -> None:
        super().__init__()
        self.book = book
        self.shelf = shelf
        self._clock = clock
        self._shown_on = on
        self._home: Home | None = None
        self._tasks = tasks
        self._pictures: Pictures | None = None

    @property
    def pictures(self) -> Pictures:
        """What brings the book's pictures, off the window's thread if it has tasks."""
        if self._pictures is None:
            from rearing.desk.pictures import Pictures

            self._pictures = Pictures(self.book.path, self._tasks)
        return self._pictures

    @property
    def home(self) -> Home:
        """The home the book tells of; read again after every entry."""
        if self._home is None:
            self._home = home(self.book)
        return self._home

    def _tell(self, touched: Touched) -> Touched:
        self._home = None
        self.changed.emit(touched)
        return touched

    def now(self) -> dt.datetime:
        """Return the moment entries are made at, in the home's own zone.

        As on another day the clock's time is kept, so that an evening stays one.
        """
        zone = self.home.zone
        moment = self._clock().astimezone(zone)
        if self._shown_on is None:
            return moment
        return dt.datetime.combine(self._shown_on, moment.time(), zone)

    @property
    def on(self) -> dt.date:
        """The day that is shown."""
        return self.now().date()

    @property
    def is_as_on(self) -> bool:
        """True while a day other than the clock's is shown."""
        return self._shown_on is not None

    def show_on(self, day: dt.date | None) -> None:
        """Show the book as on a day, or (None) as on today."""
        self._shown_on = day
        self.day_changed.emit()

    def entry(self) -> Entry:
        """Return who writes, and when."""
        return Entry(self.now(), self.home.keeper)

    def do(
        self,
        verb: Callable[Concatenate[Book, Entry, P], Touched],
        *args: P.args,
        **values: P.kwargs,
    ) -> Touched:
        """Let a verb write, and tell everyone; a refusal passes through."""
        return self._tell(verb(self.book, self.entry(), *args, **values))

    def take_back(self, *, sure: bool = False) -> Touched:
        """Take back the last entry; another day's is asked about (AskFirst)."""
        return self._tell(self.book.take_back(self.entry(), sure=sure))

    def do_again(self) -> Touched:
        """Put back what was taken back last."""
        return self._tell(self.book.do_again(self.entry()))
