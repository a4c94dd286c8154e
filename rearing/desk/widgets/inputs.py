"""The fields themselves: one class for each kind of answer, all typed into."""

from __future__ import annotations

from datetime import date, time, timedelta
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPalette
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QCompleter,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QSizePolicy,
    QWidget,
)

from rearing.desk.typed import (
    day_words,
    parse_amount,
    parse_count,
    parse_day,
    parse_time,
    time_words,
)
from rearing.desk.widgets.frames import (
    paint_box,
    paint_chevron,
    paint_frame,
    paint_ground,
)
from rearing.problems import Refusal
from rearing.terms import Quality

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent

    from rearing.desk.widgets import fields as asked

_NUMBER_LETTERS = 9
_DAY_LETTERS = 19
_TIME_LETTERS = 6
_SEARCH_LETTERS = 18


class Answering(Protocol):
    """What a form needs of each of its fields."""

    def answer(self) -> object:
        """Return what was filled in; Refusal when it can't be understood."""

    def focus_part(self) -> QWidget:
        """Return the part that takes the keyboard."""


class LineInput(QLineEdit):
    """A line of words."""

    def __init__(self, text: str = "") -> None:
        super().__init__(text)
        self._letters = 0
        self.setFrame(False)
        self._fit()

    def answer(self) -> object:
        """Return the words."""
        return self.text().strip()

    def focus_part(self) -> QWidget:
        """Return itself."""
        return self

    def narrow(self, letters: int) -> None:
        """Make it as wide as so many letters."""
        self._letters = letters
        self._fit()

    def _fit(self) -> None:
        letter = QFontMetricsF(self.font()).horizontalAdvance("0")
        self.setTextMargins(int(letter * 0.8), 2, int(letter * 0.4), 2)
        if self._letters:
            self.setFixedWidth(int(letter * (self._letters + 2)))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        paint_frame(painter, self, focus=self.hasFocus())
        painter.end()


class CountInput(QWidget):
    """A whole number and, when asked, how exact it is; ~40 and 34+ say it too."""

    def __init__(self, ask: asked.CountField) -> None:
        super().__init__()
        self._most = ask.most
        self.line = LineInput("" if ask.value is None else str(ask.value))
        self.line.narrow(_NUMBER_LETTERS)
        self.line.setInputMethodHints(Qt.InputMethodHint.ImhPreferNumbers)
        self._quality: ChoiceInput | None = None
        row = _row(self, self.line)
        if ask.ask_quality:
            words = [(quality, quality.value) for quality in Quality]
            self._quality = ChoiceInput(words, ask.quality)
            self.line.editingFinished.connect(self._take_sign)
            row.addWidget(self._quality)
        row.addStretch(1)

    def name_quality(self, name: str) -> None:
        """Name the choice beside the number for those who hear it."""
        if self._quality is not None:
            self._quality.setAccessibleName(name)
            self._quality.view().setAccessibleName(f"{name}, list")

    def _take_sign(self) -> None:
        """Move a typed ~ or + over to the choice beside the number."""
        try:
            said = parse_count(self.line.text())
        except Refusal:
            return
        if said is not None and said[1] is not Quality.EXACT and self._quality:
            self._quality.setCurrentText(said[1].value)
            self.line.setText(str(said[0]))

    def answer(self) -> object:
        said = parse_count(self.line.text())
        if said is None:
            return None
        number, quality = said
        if number > self._most:
            raise Refusal(f"{number} is more than {self._most}.")
        if self._quality is None:
            if quality is not Quality.EXACT:
                raise Refusal("Only a whole number here.")
            return number
        if quality is Quality.EXACT:
            quality = Quality(self._quality.currentText())
        return number, quality

    def focus_part(self) -> QWidget:
        return self.line


class AmountInput(QWidget):
    """A number with decimals and its unit."""

    def __init__(self, ask: asked.AmountField) -> None:
        super().__init__()
        self.line = LineInput("" if ask.value is None else f"{ask.value:g}")
        self.line.narrow(_NUMBER_LETTERS)
        row = _row(self, self.line)
        if ask.unit:
            row.addWidget(QLabel(ask.unit))
        row.addStretch(1)

    def answer(self) -> object:
        return parse_amount(self.line.text())

    def focus_part(self) -> QWidget:
        return self.line


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
        self.setPlaceholderText("22:40")
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
        row = _row(self, self.day)
        row.addWidget(self.time)
        row.addStretch(1)

    def answer(self) -> object:
        return self.day.answer(), self.time.answer()

    def focus_part(self) -> QWidget:
        return self.day


class ChoiceInput(QComboBox):
    """One of a few, by arrow keys or first letter."""

    def __init__(self, options: Sequence[tuple[object, str]], value: object) -> None:
        super().__init__()
        for _, words in options:
            self.addItem(words)
        self._values = [one for one, _ in options]
        self.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def answer(self) -> object:
        """Return the value chosen, None when none was."""
        at = self.currentIndex()
        return self._values[at] if at >= 0 else None

    def focus_part(self) -> QWidget:
        """Return itself."""
        return self

    def sizeHint(self) -> QSize:
        ruler = QFontMetricsF(self.font())
        texts = [self.itemText(row) for row in range(self.count())] or [""]
        widest = max(ruler.horizontalAdvance(text) for text in texts)
        wide = widest + ruler.averageCharWidth() * 2 + 24
        return QSize(int(wide), super().sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_ground(painter, self)
        room = paint_chevron(painter, self)
        paint_frame(painter, self, focus=self.hasFocus())
        painter.setPen(self.palette().color(QPalette.ColorRole.Text))
        inset = int(self.fontMetrics().averageCharWidth())
        box = self.rect().adjusted(inset, 0, -int(room), 0)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, self.currentText())
        painter.end()


class SearchInput(QComboBox):
    """One of many: any part of a name, typed, narrows the list."""

    def __init__(self, ask: asked.SearchField) -> None:
        super().__init__()
        self._free = ask.free
        self._options = ask.options
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        for _, words in ask.options:
            self.addItem(words)
        self.setCurrentIndex(-1)
        for value, words in ask.options:
            if value == ask.value:
                self.setCurrentText(words)
        if ask.free and isinstance(ask.value, str) and not self.currentText():
            self.setCurrentText(ask.value)
        finder = QCompleter(self.model(), self)
        finder.setFilterMode(Qt.MatchFlag.MatchContains)
        finder.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        finder.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.setCompleter(finder)
        self.setMinimumContentsLength(_SEARCH_LETTERS)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_ground(painter, self)
        paint_chevron(painter, self)
        paint_frame(painter, self, focus=self.hasFocus())
        painter.end()

    def answer(self) -> object:
        typed = self.currentText().strip()
        if not typed:
            return None
        exact = [
            v for v, words in self._options if words.casefold() == typed.casefold()
        ]
        if exact:
            return exact[0]
        if self._free:
            return typed
        near = [v for v, words in self._options if typed.casefold() in words.casefold()]
        if len(near) == 1:
            return near[0]
        raise Refusal(
            f"“{typed}” is not among them."
            if not near
            else f"“{typed}” may be one of {len(near)}. Choose one."
        )

    def focus_part(self) -> QWidget:
        return self


class YesNoInput(QCheckBox):
    """A box to tick, its words beside it."""

    def sizeHint(self) -> QSize:
        ruler = self.fontMetrics()
        wide = ruler.horizontalAdvance(self.text().replace("&", ""))
        return QSize(int(wide + ruler.height() * 1.5), int(ruler.height() * 1.35))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        side = self.fontMetrics().height() * 0.72
        paint_box(painter, self, side, ticked=self.isChecked())
        painter.setPen(self.palette().color(QPalette.ColorRole.Text))
        words = self.rect().adjusted(int(side * 1.6), 0, 0, 0)
        how = Qt.AlignmentFlag.AlignVCenter.value | Qt.TextFlag.TextShowMnemonic.value
        painter.drawText(words, how, self.text())
        painter.end()

    def answer(self) -> object:
        return self.isChecked()

    def focus_part(self) -> QWidget:
        return self


class NoteInput(QPlainTextEdit):
    """Words over several lines; Tab goes on to the next field."""

    def __init__(self, value: str) -> None:
        super().__init__(value)
        self.setFrameShape(QFrame.Shape.Box)
        self.setTabChangesFocus(True)
        self._fit()

    def _fit(self) -> None:
        self.setFixedHeight(int(QFontMetricsF(self.font()).lineSpacing() * 3.4))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def answer(self) -> object:
        return self.toPlainText().strip()

    def focus_part(self) -> QWidget:
        return self


AnyInput = (
    LineInput
    | CountInput
    | AmountInput
    | MomentInput
    | ChoiceInput
    | SearchInput
    | YesNoInput
    | NoteInput
)


def _row(holder: QWidget, first: QWidget) -> QHBoxLayout:
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    row.addWidget(first)
    holder.setFocusProxy(first)
    return row
