"""The foot of the round: days away, leaf to fetch, room, and which eggs hatch next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from rearing.desk.page import INSET

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme


_LEADS = (True, True, False, False)
_VAST = 175
"""Text from this size on [%] leaves room for the first two sentences only."""


class RoundFoot(QWidget):
    """Sentences under the lines, in the words of the round itself."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._away, self._leaf = QLabel(self), QLabel(self)
        self._room, self._hatch = QLabel(self), QLabel(self)
        self._column = QVBoxLayout(self)
        for label in self._labels():
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            self._column.addWidget(label)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        theme.changed.connect(self._dress)
        self._dress()

    def _labels(self) -> tuple[QLabel, ...]:
        return (self._away, self._leaf, self._room, self._hatch)

    def tell(self, *sentences: str) -> None:
        """Show away, leaf, room and hatch; an empty one takes no room."""
        for label, words in zip(self._labels(), sentences, strict=True):
            label.setText(words)
            label.setAccessibleName(words)
        self._show()

    def _show(self) -> None:
        vast = self._theme.look.px(100) > _VAST
        for label, lead in zip(self._labels(), _LEADS, strict=True):
            label.setVisible(bool(label.text()) and (lead or not vast))

    @property
    def words(self) -> str:
        """All of them."""
        return "\n".join(label.text() for label in self._labels() if label.text())

    def _dress(self) -> None:
        look = self._theme.look
        inset = look.px(INSET)
        self._column.setContentsMargins(inset, look.px(10), inset, look.px(11))
        self._column.setSpacing(look.px(4))
        for label, lead in zip(self._labels(), _LEADS, strict=True):
            label.setFont(look.faces.lead if lead else look.faces.body)
        self._show()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(self._theme.look.colour("rule2"))
        painter.drawLine(0, 0, self.width(), 0)
        painter.end()
