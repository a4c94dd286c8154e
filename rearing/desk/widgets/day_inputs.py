"""Days and times, typed in any of the ways they are written."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from rearing.desk.typed import day_words, parse_day, parse_time, time_words
from rearing.desk.widgets.line_input import LineInput, in_a_row
from rearing.problems import Refusal

if TYPE_CHECKING:
    from PySide6.QtGui import QFocusEvent, QKeyEvent

    from rearing.desk.widgets import fields as asked

_DAY_LETTERS = 21  # Wed 25 November 2026, in wide letters
_TIME_LETTERS = 6


class DayInput(LineInput):
    """A day, typed in any of the ways a day is written; Up and Down step it."""

    def __init__(self, value: date | None, today: date) -> None:
        super().__init__("" if value is None else day_words(value))
        self._today = today
        self.narrow(_DAY_LETTERS)
        self.setPlaceholderText("12.6. or today")
        self.editingFinished.connect(self._write_out)

    def answer(self) -> object:
        return parse_day(self.text(), self._today)

    def _write_out(self) -> None:
        try:
            day = parse_day(self.text(), self._today)
        except Refusal:
            return
        if day is not None:
            self.setText(day_words(day))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        try:
            day = parse_day(self.text(), self._today)
        except Refusal:
            return
        shown = self._today if day is None else day + timedelta(days=step)
        self.setText(day_words(shown))

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.selectAll()


class TimeInput(LineInput):
    """A time of day, 22:40 or 2240; empty when it isn't known."""

    def __init__(self, value: time | None) -> None:
        super().__init__("" if value is None else time_words(value))
        self.narrow(_TIME_LETTERS)
        # no time of day as an example: a pale one reads as if it were filled in
        self.setPlaceholderText("time")
        self.editingFinished.connect(self._write_out)

    def answer(self) -> object:
        return parse_time(self.text())

    def _write_out(self) -> None:
        try:
            at = parse_time(self.text())
        except Refusal:
            return
        if at is not None:
            self.setText(time_words(at))


class MomentInput(QWidget):
    """A day and a time of day beside it."""

    def __init__(self, ask: asked.MomentField, today: date) -> None:
        super().__init__()
        self.day = DayInput(ask.day, today)
        self.time = TimeInput(ask.at)
        row = in_a_row(self, self.day)
        row.addWidget(self.time)
        row.addStretch(1)

    def answer(self) -> object:
        return self.day.answer(), self.time.answer()

    def focus_part(self) -> QWidget:
        return self.day
