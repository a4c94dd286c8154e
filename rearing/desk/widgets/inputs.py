"""The fields of a form: one class for each kind of answer, all typed into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPalette
from PySide6.QtWidgets import QCheckBox, QFrame, QLabel, QPlainTextEdit, QWidget

from rearing.desk.typed import parse_amount, parse_count
from rearing.desk.widgets.choice_inputs import ChoiceInput, SearchInput
from rearing.desk.widgets.day_inputs import DayInput, MomentInput, TimeInput
from rearing.desk.widgets.frames import dim_caret, paint_box
from rearing.desk.widgets.line_input import LineInput, in_a_row
from rearing.problems import Refusal
from rearing.terms import Quality

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.widgets import fields as asked

__all__ = [
    "AmountInput",
    "AnyInput",
    "ChoiceInput",
    "CountInput",
    "DayInput",
    "LineInput",
    "MomentInput",
    "NoteInput",
    "SearchInput",
    "TimeInput",
    "YesNoInput",
]

_NUMBER_LETTERS = 9


class CountInput(QWidget):
    """A whole number and, when asked, how exact it is; ~40 and 34+ say it too."""

    def __init__(self, ask: asked.CountField) -> None:
        super().__init__()
        self._most = ask.most
        self.line = LineInput("" if ask.value is None else str(ask.value))
        self.line.narrow(_NUMBER_LETTERS)
        self.line.setInputMethodHints(Qt.InputMethodHint.ImhPreferNumbers)
        self._quality: ChoiceInput | None = None
        row = in_a_row(self, self.line)
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
        row = in_a_row(self, self.line)
        if ask.unit:
            row.addWidget(QLabel(ask.unit))
        row.addStretch(1)

    def answer(self) -> object:
        return parse_amount(self.line.text())

    def focus_part(self) -> QWidget:
        return self.line


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

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self.viewport())
            dim_caret(painter, self, self.cursorRect())
            painter.end()

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
