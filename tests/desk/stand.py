"""A book stand with the sample season open on it, driven by keys."""

from __future__ import annotations

import datetime as dt
import shutil
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from rearing.belongings import sample
from rearing.desk.book_stand import SAMPLE, BookStand
from rearing.desk.pages.round_page import RoundPage
from rearing.desk.starting import set_up
from rearing.desk.widgets.lines import State

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.desk.open_book import OpenBook
    from rearing.desk.pages.round_list import RoundList
    from rearing.desk.widgets.lines import Line
    from rearing.desk.window import Window
    from rearing.records.book import Book
    from rearing.records.rows import Row

ON = dt.date(2021, 6, 12)
EVENING = dt.datetime(2021, 6, 12, 17, 30, tzinfo=dt.UTC)
"""Half past seven by the clock on the wall: the sample's zone is two hours on."""


def evening() -> dt.datetime:
    return EVENING


class Stand:
    """Opens books as the program does, with a clock that stands still."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.desk = set_up(["rearing"], folder / "window.ini")
        self.stand = BookStand(self.desk, folder, evening)

    def sample(self) -> Path:
        path = self.folder / "season.rearing"
        shutil.copy(sample(SAMPLE), path)
        return path

    def open(self, path: Path, on: dt.date | None = ON) -> None:
        self.stand.begin_with(path, on=on)
        self.window.resize(1280, 800)
        QTest.qWaitForWindowActive(self.window)

    def close(self) -> None:
        self.stand.clear_away()
        self.desk.theme.deleteLater()

    @property
    def opened(self) -> OpenBook:
        found = self.stand.open_book
        assert found is not None
        return found

    @property
    def window(self) -> Window:
        return self.opened.window

    @property
    def book(self) -> Book:
        return self.opened.session.book

    @property
    def round(self) -> RoundPage:
        page = self.window.page_at(1)
        assert isinstance(page, RoundPage)
        return page

    @property
    def walk(self) -> RoundList:
        return self.round.sheet.list

    @property
    def line(self) -> Line:
        line = self.walk.current_line()
        assert line is not None
        return line

    @property
    def due(self) -> list[Line]:
        return [line for line in self.walk.lines() if line.state is State.DUE]

    def number_of(self, kind: type[Row]) -> int:
        return len(self.book.all(kind))

    def last(self) -> str:
        return self.book.journal(most=1)[0].sentence

    def go_to(self, code: str) -> Line:
        """Put the hand on a line by its code."""
        found = next(line for line in self.walk.lines() if line.cells[0] == code)
        assert self.walk.set_current(found.key)
        return found


def kind_of(line: Line) -> str:
    """Return "box" or "pot": the round's keys are (kind, id)."""
    assert isinstance(line.key, tuple)
    return str(line.key[0])


def focus() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def press(*keys: str | Qt.Key) -> None:
    """Press keys one after the other, wherever the keyboard is."""
    for key in keys:
        if isinstance(key, str):
            QTest.keyClicks(focus(), key)
        else:
            QTest.keyClick(focus(), key)


def press_with(modifier: Qt.KeyboardModifier, key: Qt.Key) -> None:
    QTest.keyClick(focus(), key, modifier)


def control(key: Qt.Key) -> None:
    press_with(Qt.KeyboardModifier.ControlModifier, key)


def type_words(words: str) -> None:
    QTest.keyClicks(focus(), words)
