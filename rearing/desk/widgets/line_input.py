"""A line of words to fill, and what stands beside it in a row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QWidget

from rearing.desk.widgets.frames import dim_caret, paint_frame

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent


_CARET_BESIDE = 5
"""Pixels that Qt tells more on the left of the caret than it draws, one less right."""


class TypedLine(QLineEdit):
    """A line to type on; its caret is never brighter than the ink."""

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self.hasFocus():
            return
        painter = QPainter(self)
        around = self.cursorRect()
        dim_caret(
            painter, self, around.adjusted(_CARET_BESIDE, 0, 1 - _CARET_BESIDE, 0)
        )
        painter.end()


class LineInput(TypedLine):
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


def in_a_row(holder: QWidget, first: QWidget) -> QHBoxLayout:
    """Begin a row of parts; the first of them takes the keyboard for the whole."""
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    row.addWidget(first)
    holder.setFocusProxy(first)
    return row
