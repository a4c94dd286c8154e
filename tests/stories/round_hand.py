"""A hand that keeps a book from the Round page alone, with keys only.

Nothing here writes but what a key does: lines are gone to with the arrows, forms are
opened by their letter, filled from field to field with Tab, and entered with Enter.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QPlainTextEdit, QWidget

from rearing.desk.book_stand import BookStand
from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages.round_page import RoundPage
from rearing.desk.starting import set_up
from rearing.desk.widgets.form import EntryForm
from rearing.desk.widgets.lines import State, cell_text
from rearing.keeping.life import Life, life_of
from rearing.keeping.round_lines import Task
from rearing.records import tables as t
from rearing.records.rows import BroodRow
from tests.stories.reader import ZONE

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.desk.widgets.lines import Line
    from rearing.desk.window import Window
    from rearing.records.book import Book

Key = Qt.Key
_MOST_FIELDS = 40
_MOST_LINES = 200
_LONGEST_MS = 20_000
EVENING = dt.time(20)


class Hand:
    """One keeper at the Round page, evening after evening."""

    def __init__(self, folder: Path, path: Path) -> None:
        self.now = dt.datetime(2020, 1, 1, tzinfo=dt.UTC)
        self.desk = set_up(["rearing"], folder / "window.ini")
        self.stand = BookStand(self.desk, folder, self._clock)
        self.stand.begin_with(path)
        self.window.resize(1280, 800)
        QTest.qWaitForWindowActive(self.window)

    def _clock(self) -> dt.datetime:
        return self.now

    def close(self) -> None:
        self.stand.clear_away()
        self.desk.theme.deleteLater()

    # where it is

    @property
    def window(self) -> Window:
        found = self.stand.open_book
        assert found is not None
        return found.window

    @property
    def page(self) -> RoundPage:
        page = self.window.page
        assert isinstance(page, RoundPage), "the story is kept from the round alone"
        return page

    @property
    def book(self) -> Book:
        found = self.stand.open_book
        assert found is not None
        return found.session.book

    def evening(self, day: dt.date, at: dt.time = EVENING) -> None:
        """Open the book in the evening (or at another time) of a day."""
        self.now = dt.datetime.combine(day, at, ZONE).astimezone(dt.UTC)
        found = self.stand.open_book
        assert found is not None
        found.session.show_on(None)

    # what the page says

    def lines(self) -> dict[str, Line]:
        """Return the lines by their codes."""
        return {cell_text(x.cells[0]): x for x in self.page.sheet.list.lines()}

    def line(self, code: str) -> Line:
        """Return a line; everything is shown first where it is not due."""
        if code not in self.lines():
            self.press("A")
        assert code in self.lines(), f"{code} is not among {sorted(self.lines())}"
        return self.lines()[code]

    def task(self, code: str) -> str:
        """Return what is asked for at a box or pot."""
        return cell_text(self.line(code).cells[2])

    def why(self, code: str) -> str:
        """Return the reason that stands there, or there where it points to."""
        words = cell_text(self.line(code).cells[3])
        other = f"{code.partition(' ')[0]} {words.removeprefix('as ')}"
        return self.why(other) if other in self.lines() else words

    def number(self, code: str) -> int:
        """Return the number that stands there."""
        return int(cell_text(self.line(code).cells[4]))

    def known(self, code: str) -> str:
        """Return how that number is known."""
        return cell_text(self.line(code).cells[5])

    def due(self) -> dict[str, str]:
        """Return what is still to do, by code."""
        return {
            code: cell_text(line.cells[2])
            for code, line in self.lines().items()
            if line.state is State.DUE
        }

    def resting(self) -> dict[str, str]:
        """Return what is to be left alone, and until when, by code."""
        return {
            code: line.until
            for code, line in self.lines().items()
            if line.state is State.REST
        }

    def foot(self) -> str:
        """Return the sentences at the foot of the round."""
        return self.page.sheet.foot.words

    def last(self) -> str:
        """Return the sentence at the lower left."""
        return self.window.said

    # keys

    def press(self, *keys: str | Qt.Key) -> None:
        """Press keys wherever the keyboard is."""
        for key in keys:
            if isinstance(key, str):
                for sign in key:  # the first may move the keyboard into a form
                    QTest.keyClicks(_focus(), sign)
            else:
                QTest.keyClick(_focus(), key)

    def chord(self, modifier: Qt.KeyboardModifier, key: Qt.Key) -> None:
        """Press a key with another held."""
        QTest.keyClick(_focus(), key, modifier)

    def go_to(self, code: str) -> None:
        """Go to a line with the arrows."""
        self.line(code)
        ruled = self.page.sheet.list
        if not ruled.hasFocus():
            self.press(Key.Key_Tab)
        assert ruled.hasFocus(), f"the keyboard is at {_focus()}"
        self.press(Key.Key_Home)
        for _ in range(_MOST_LINES):
            here = ruled.current_line()
            if here is not None and cell_text(here.cells[0]) == code:
                return
            self.press(Key.Key_Down)
        raise AssertionError(f"the arrows never came to {code}")

    def at(self, code: str, key: str, **answers: object) -> None:
        """Press a key at a line, and fill the form it opens."""
        self.go_to(code)
        self.press(key)
        self.fill(**answers)

    def count(self, code: str, number: int, **answers: object) -> None:
        """Type a count at a line, and fill the form its first digit opens."""
        self.go_to(code)
        self.press(str(number))
        self.fill(**answers)

    def enter(self, letter: str, **answers: object) -> None:
        """Open a form of the menu with F2 and its letter, and fill it."""
        self.press(Key.Key_F2, letter)
        self.fill(**answers)

    # forms

    @property
    def form(self) -> EntryForm:
        form = self.page.panel
        assert isinstance(form, EntryForm), f"no form: {self.page.notices.words}"
        return form

    def fill(self, **answers: object) -> None:
        """Fill fields by their names (blanks as underscores), and enter the form."""
        self.type(**answers)
        self.take()

    def question(self, **answers: object) -> str:
        """Fill a form that asks first, answer N, and leave it; return the question."""
        self.type(**answers)
        self._accept()
        words = self.form.question.words
        assert not self.form.question.isHidden(), "nothing was asked"
        self.press("N", Key.Key_Escape)
        return words

    def type(self, **answers: object) -> None:
        """Fill fields of the open form."""
        form = self.form
        for name, words in answers.items():
            self._to(form, name.replace("_", " "))
            self._write(str(words))

    def take(self) -> None:
        """Enter the form; it must be taken without a question."""
        form = self.form
        line = len(self.book.journal(most=100_000))
        self._accept()
        assert form.question.isHidden(), f"asked: {form.question.words}"
        taken = len(self.book.journal(most=100_000)) > line
        assert taken, f"refused: {_refusals(form)}"
        if self.page.panel is form:
            self.press(Key.Key_Escape)

    def _accept(self) -> None:
        if isinstance(_focus(), QPlainTextEdit):
            self.chord(Qt.KeyboardModifier.ControlModifier, Key.Key_Return)
        else:
            self.press(Key.Key_Return)

    def _to(self, form: EntryForm, name: str) -> None:
        seen, way = [], Key.Key_Tab
        for _ in range(_MOST_FIELDS):
            here = _focus()
            if not form.isAncestorOf(here):
                way = Key.Key_Backtab
            seen.append(here.accessibleName())
            if here.accessibleName().casefold() == name.casefold():
                return
            self.press(way)
        raise AssertionError(f"no field {name!r} among {sorted(set(seen))}")

    def _write(self, words: str) -> None:
        field = _focus()
        if isinstance(field, QComboBox) and not field.isEditable():
            self.press(Key.Key_Home)
            for _ in range(field.count()):
                # a box that stands is offered with its place and number behind it
                if field.currentText().split(" · ")[0] == words:
                    return
                self.press(Key.Key_Down)
            options = [field.itemText(row) for row in range(field.count())]
            raise AssertionError(f"{words!r} is not offered: {options}")
        self.chord(Qt.KeyboardModifier.ControlModifier, Key.Key_A)
        self.press(words or Key.Key_Delete)

    # panels that are read

    def panel_words(self, *, while_saying: str = "") -> str:
        """Return what the panel at the side says, when it no longer says some words."""
        panel = self.page.panel
        assert isinstance(panel, HelpPanel)
        for _ in range(_LONGEST_MS // 50):
            if not while_saying or while_saying not in panel.words:
                break
            QTest.qWait(50)
        # without a window manager nobody gives the keyboard back after a while
        self.window.activateWindow()
        QTest.qWaitForWindowActive(self.window)
        return panel.words

    # an evening's walk

    def walk(self) -> dict[str, str]:
        """Answer all that one key answers, as each line asks; return what was done."""
        done: dict[str, str] = {}
        for _ in range(_MOST_LINES):
            left = {x: task for x, task in self.due().items() if task in _ONE_KEY}
            if not left:
                return done
            code, task = next(iter(left.items()))
            self.go_to(code)
            self.press(_ONE_KEY[task])
            assert code not in self.due(), f"{code} is due after {_ONE_KEY[task]}"
            done[code] = task
        raise AssertionError("the walk has no end")

    # what the story must answer

    def life(self, code: str, on: dt.date) -> Life:
        """Return a brood's numbers."""
        brood = self.book.find(BroodRow, t.Brood.code == code)
        assert brood is not None
        return life_of(self.book, brood, on)


_ONE_KEY = {
    Task.FRESH_LEAF.value: "F",
    Task.CLEAN_AND_LEAF.value: "C",
    Task.CLEAN.value: "C",
    Task.LOOK.value: "W",
    Task.LOOK_FOR_HATCHING.value: "W",
    Task.EGGS_OVERDUE.value: "W",
    Task.MORE_ROOM.value: "W",
}
"""A count is no single key: the keeper counts on the days of the story."""


def _focus() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def _refusals(form: EntryForm) -> list[str]:
    keys = ["", *(field.key for field in form._ask)]
    return [words for words in map(form.message, keys) if words]
