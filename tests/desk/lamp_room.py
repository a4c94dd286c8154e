"""A book with a few nights at one lamp, and its page under the hand (invented)."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from rearing.desk.pages.lamp_page import LampPage
from rearing.desk.session import Session
from rearing.keeping import facts, lamp, mothers
from rearing.keeping.nights import night
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import LampNightRow
from rearing.sheets.shelf import load_all
from rearing.terms import Sex

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme
    from rearing.keeping.nights import Night

ZONE = ZoneInfo("Europe/Ljubljana")
EVENING = dt.date(2021, 5, 28)
PYRI, QUERCUS, ELPENOR = "Saturnia pyri", "Marumba quercus", "Deilephila elpenor"
LAMP = "125 W MV on a sheet"
BACK = Qt.Key.Key_Backspace
ENTER = Qt.Key.Key_Return
_CAME = {26: (PYRI,), 24: (PYRI, QUERCUS), 21: (PYRI, QUERCUS, ELPENOR)}


def moment(hour: int, minute: int = 0) -> dt.datetime:
    """Return a moment of the night of 28 May."""
    day = EVENING if hour >= 12 else EVENING + dt.timedelta(days=1)
    return dt.datetime.combine(day, dt.time(hour, minute), ZONE)


def make(path: Path) -> Path:
    """Make the book: three earlier nights at the Terrace, W21-04 the last code."""
    with Book.make(path) as book:
        first = Entry(dt.datetime(2021, 5, 20, 20, tzinfo=ZONE), "N. K.")
        facts.set_home(
            book, first, name="Hiša", zone_name="Europe/Ljubljana", keeper="N. K."
        )
        site = lamp.add_site(
            book,
            first,
            name="Terrace",
            latitude=45.53,
            longitude=13.93,
            zone="Europe/Ljubljana",
        ).new_id
        for day, taxa in sorted(_CAME.items()):
            _night(book, site, dt.date(2021, 5, day), taxa)
    return path


def _night(book: Book, site: int, evening: dt.date, taxa: tuple[str, ...]) -> None:
    lit = dt.datetime.combine(evening, dt.time(21, 15), ZONE)
    entry = Entry(lit, "N. K.")
    night_id = lamp.record_night(
        book,
        entry,
        site_id=site,
        evening=evening,
        lamp=LAMP,
        times=lamp.LampTimes(lit, lit + dt.timedelta(hours=4)),
    ).new_id
    for taxon in taxa:
        arrival = lamp.count_at_sheet(
            book,
            entry,
            night_id=night_id,
            at=lit + dt.timedelta(hours=1),
            taxon=taxon,
            sex=Sex.FEMALE,
            number=1,
        ).new_id
        if taxon == QUERCUS and evening.day == 24:
            mothers.keep_female(
                book,
                entry,
                night_id=night_id,
                taxon=taxon,
                arrival_id=arrival,
                code="W21-04",
            )


class Clock:
    """A clock that is set by hand."""

    def __init__(self, now: dt.datetime) -> None:
        self.now = now

    def __call__(self) -> dt.datetime:
        return self.now


class Room:
    """The lamp's page, its session and its clock."""

    def __init__(self, qtbot: QtBot, theme: Theme, book: Book) -> None:
        self.book, self.bot = book, qtbot
        self.clock = Clock(moment(21, 20))
        self.session = Session(book, load_all(), self.clock)
        self.page = LampPage(self.session, theme)
        self.session.changed.connect(self.page.refresh)
        qtbot.addWidget(self.page)
        self.page.resize(1180, 760)
        self.page.refresh(None)
        self.page.show()
        QTest.qWaitForWindowExposed(self.page)
        self.page.focus_first()

    def set_clock(self, hour: int, minute: int = 0) -> None:
        self.clock.now = moment(hour, minute)

    def press(self, *keys: str | Qt.Key) -> None:
        """Press keys wherever the keyboard is."""
        for key in keys:
            target = QApplication.focusWidget() or self.page.board
            if isinstance(key, str):
                QTest.keyClicks(target, key)
            else:
                QTest.keyClick(target, key)

    def light(self) -> None:
        """Light the lamp as the last night had it."""
        self.press(ENTER)
        while not self.page.board.ask.isHidden():
            self.press(ENTER)

    @property
    def echo(self) -> str:
        return self.page.board.echo.words.sentence

    @property
    def night_id(self) -> int:
        return self.page.hand.need().row.id

    @property
    def row(self) -> LampNightRow:
        return self.book.one(LampNightRow, self.night_id)

    def night(self) -> Night:
        return night(self.book, self.night_id, self.session.on)

    def totals(self) -> dict[tuple[str, Sex], int]:
        return {(one.taxon, one.sex): one.number for one in self.night().totals}
