"""Two things side by side while there is room, one under the other when there isn't."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent

    from rearing.desk.theme import Theme


class Beside(QWidget):
    """`main` takes the room, `side` its own width; `needs` is the width for both.

    Lengths are given for 100 % text and grow with it.
    """

    def __init__(
        self, theme: Theme, main: QWidget, side: QWidget, *, needs: int, gap: int = 24
    ) -> None:
        super().__init__()
        self._theme = theme
        self._needs, self._gap = needs, gap
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.addWidget(main, 1)
        self._box.addWidget(side, 0, Qt.AlignmentFlag.AlignTop)
        theme.changed.connect(self._arrange)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        look = self._theme.look
        beside = self.width() >= look.px(self._needs)
        way = QBoxLayout.Direction
        wanted = way.LeftToRight if beside else way.TopToBottom
        if self._box.direction() != wanted:
            self._box.setDirection(wanted)
        self._box.setSpacing(look.px(self._gap if beside else 6))


def stacked(theme: Theme, *parts: QWidget) -> QWidget:
    """Return the parts one under the other, as one section's content."""
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(theme.look.px(5))
    for part in parts:
        column.addWidget(part)
    return whole
