"""A small book of places with computed readings, and the Heat page on it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from rearing.desk.pages.heat_page import HeatPage
from rearing.desk.pages.import_panel import ImportPanel
from rearing.desk.session import Session
from rearing.keeping import facts, places
from rearing.keeping.temperatures_in import Origin, take_daily_in, take_readings_in
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.readings import readings_between
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key
SHELF = load_all()
ZONE = ZoneInfo("Europe/Ljubljana")
ON = dt.date(2021, 6, 12)
NOW = dt.datetime(2021, 6, 12, 20, 0, tzinfo=ZONE)
ENTRY = Entry(NOW, "")
HOUR_S = 3600
ATTIC = 3


def evening() -> dt.datetime:
    return NOW.astimezone(dt.UTC)


def midnight_s(day: dt.date) -> int:
    return int(dt.datetime.combine(day, dt.time(), ZONE).timestamp())


def fill(path: Path) -> None:
    """Write a book: a shelf at 20° read by the hour, a porch by the day, an attic.

    Everything is computed: the shelf stands at exactly 20 °C by night and 24 °C by day
    (07:00 to 19:00), so that a day brings 12 degree-days above 10 °C.
    """
    with Book.make(path) as book:
        facts.set_home(book, ENTRY, name="Hiša", zone_name="Europe/Ljubljana")
        shelf = places.add_place(book, ENTRY, name="Kitchen shelf", set_point_c=21)
        porch = places.add_place(book, ENTRY, name="Porch", outdoors=True)
        places.add_place(book, ENTRY, name="Attic")
        start = midnight_s(dt.date(2021, 4, 1))
        at_s = np.arange(start, midnight_s(dt.date(2021, 6, 13)), HOUR_S)
        hour = (at_s - start) // HOUR_S % 24
        celsius = np.where((hour >= 7) & (hour < 19), 24.0, 20.0)
        origin = Origin(shelf.new_id, "shelf.csv", "Temp")
        take_readings_in(book, ENTRY, origin=origin, at_s=at_s, celsius=celsius)
        day = np.arange("2020-01-01", "2021-06-12", dtype="datetime64[D]")
        low = np.full(len(day), 8.0)
        origin = Origin(porch.new_id, "station.csv", "min max")
        take_daily_in(book, ENTRY, origin=origin, day=day, low_c=low, high_c=low + 10)


def write(path: Path, *lines: str) -> Path:
    """Write a file of these lines."""
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def taken(room: HeatRoom, place_id: int = ATTIC) -> list[float]:
    """Return all that was read at a place by the instant."""
    return [float(c) for c in readings_between(room.book, place_id, 0, 2e10)[1]]


class HeatRoom:
    """The page on a copy of the book, worked with keys."""

    def __init__(self, qtbot: QtBot, theme: Theme, book: Book) -> None:
        self.bot, self.theme, self.book = qtbot, theme, book
        self.session = Session(book, SHELF, evening, on=ON)
        self.page = HeatPage(self.session, theme)
        qtbot.addWidget(self.page)
        self.session.changed.connect(self.page.refresh)
        self.page.resize(1140, 750)
        self.page.refresh(None)
        self.page.show()
        self.page.focus_first()

    def close(self) -> None:
        """End the threads that the page began."""
        self.settle()
        if self.page.tasks is not None:
            self.page.tasks.close()

    def settle(self) -> None:
        """Wait until nothing is being read or written."""
        self.bot.waitUntil(self._is_idle, timeout=20_000)

    def _is_idle(self) -> bool:
        return self.page.tasks is None or not self.page.tasks.busy

    def press(self, *keys: Qt.Key | str) -> None:
        """Press keys where the keyboard is, or at the page."""
        for key in keys:
            target = self.page.focusWidget() or self.page  # type: ignore[truthy-bool]  # None without focus
            if isinstance(key, str):
                QTest.keyClicks(target, key)
            else:
                QTest.keyClick(target, key)
        QApplication.sendPostedEvents()

    def importing(self) -> ImportPanel:
        """Return the panel of the import that is open."""
        panel = self.page.panel
        assert isinstance(panel, ImportPanel)
        return panel

    def look_at(self, path: Path) -> ImportPanel:
        """Open an import, type a file's path, and wait until all of it is read."""
        if self.page.panel is None:
            self.press("I")
        panel = self.importing()
        panel.head.path.setText(str(path))
        QTest.keyClick(panel.head.path, Key.Key_Return)
        self.settle()
        return panel

    def words_of(self, name: str) -> str:
        """Return the note of a section, empty when it is not shown."""
        for section in self.page.sheet.sections():
            if section.name == name:
                return "" if section.isHidden() else f"{name} {section.note}"
        raise LookupError(name)
