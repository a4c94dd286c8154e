"""The line at the foot of the window: what was last, and the keys worth knowing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme


class Foot(QWidget):
    """Words at the left, hints at the right; the hints give way when room is short."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._words = ""
        self._hints = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    @property
    def words(self) -> str:
        """What stands at the left."""
        return self._words

    @property
    def hints(self) -> str:
        """What stands at the right."""
        return self._hints

    def say(self, words: str) -> None:
        """Put other words at the left."""
        self._words = words
        self._told()

    def hint(self, hints: str) -> None:
        """Put other hints at the right."""
        self._hints = hints
        self._told()

    def _told(self) -> None:
        self.setAccessibleName(". ".join(t for t in (self._words, self._hints) if t))
        self.update()

    def sizeHint(self) -> QSize:
        look = self._theme.look
        height = QFontMetricsF(look.faces.body).height()
        return QSize(look.px(300), int(height) + look.px(2))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(80), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        box = QRectF(self.rect()).adjusted(look.px(6), 0, -look.px(6), 0)
        face, ink = look.faces.body, look.colour("ink")
        used = write(painter, box, self._words, face, ink)
        wide = QFontMetricsF(face).horizontalAdvance(self._hints)
        if used + look.px(24) + wide <= box.width():
            write(painter, box, self._hints, face, ink, right=True)
        painter.end()
