"""A line of words to fill, and what stands beside it in a row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QWidget

from rearing.desk.widgets.frames import paint_frame

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent


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


def in_a_row(holder: QWidget, first: QWidget) -> QHBoxLayout:
    """Begin a row of parts; the first of them takes the keyboard for the whole."""
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    row.addWidget(first)
    holder.setFocusProxy(first)
    return row
