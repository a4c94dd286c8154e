"""A season's session in which pages are shown and worked with the keys."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from rearing.desk.session import Session
from rearing.desk.widgets.form import EntryForm
from rearing.sheets.shelf import load_all
from tests.desk.karst_season import ON

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from rearing.desk.page import Page
    from rearing.desk.theme import Theme
    from rearing.records.book import Book
    from tests.desk.karst_season import Season

P = TypeVar("P", bound="Page")
Key = Qt.Key
SHELF = load_all()


def evening_of_the_day() -> dt.datetime:
    return dt.datetime(2021, 6, 25, 18, 0, tzinfo=dt.UTC)


class Karst:
    """The book, its ids, and a session as on Friday 25 June 2021."""

    def __init__(self, qtbot: QtBot, theme: Theme, book: Book, season: Season) -> None:
        self.bot, self.theme, self.book, self.season = qtbot, theme, book, season
        self.session = Session(book, SHELF, evening_of_the_day, on=ON)

    def open(self, kind: type[P], *, wide: int = 1140, high: int = 750) -> P:
        """Show a page that reads again after entries and on days, as in the window."""
        page = kind(self.session, self.theme)  # type: ignore[arg-type]  # every page takes both
        self.bot.addWidget(page)
        self.session.changed.connect(page.refresh)
        self.session.day_changed.connect(page.refresh)
        page.resize(wide, high)
        page.refresh(None)
        page.show()
        page.focus_first()
        return page

    def last(self) -> str:
        return self.book.journal(most=1)[0].sentence


def press(page: Page, *keys: Qt.Key | str) -> None:
    """Press keys where the keyboard is, or at the page."""
    for key in keys:
        focus = page.focusWidget()
        target = focus if page.isAncestorOf(focus) else page
        if isinstance(key, str):
            QTest.keyClicks(target, key)
        else:
            QTest.keyClick(target, key)
    QApplication.sendPostedEvents()


def is_asking(page: Page) -> bool:
    """Tell whether an entry form is open on the page."""
    return isinstance(page.panel, EntryForm)
