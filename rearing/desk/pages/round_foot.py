"""The foot of the round: what leaf to fetch, and which eggs hatch next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from rearing.desk.page import INSET

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme


class RoundFoot(QWidget):
    """Two sentences under the lines, in the words of the round itself."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._leaf, self._hatch = QLabel(self), QLabel(self)
        self._column = QVBoxLayout(self)
        for label in (self._leaf, self._hatch):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            self._column.addWidget(label)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        theme.changed.connect(self._dress)
        self._dress()

    def tell(self, leaf: str, hatch: str) -> None:
        """Show the two sentences; an empty one takes no room."""
        for label, words in ((self._leaf, leaf), (self._hatch, hatch)):
            label.setText(words)
            label.setAccessibleName(words)
            label.setVisible(bool(words))

    @property
    def words(self) -> str:
        """Both sentences."""
        return f"{self._leaf.text()}\n{self._hatch.text()}".strip()

    def _dress(self) -> None:
        look = self._theme.look
        inset = look.px(INSET)
        self._column.setContentsMargins(inset, look.px(10), inset, look.px(11))
        self._column.setSpacing(look.px(4))
        self._leaf.setFont(look.faces.lead)
        self._hatch.setFont(look.faces.body)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(self._theme.look.colour("rule2"))
        painter.drawLine(0, 0, self.width(), 0)
        painter.end()
