"""What small charts of a notebook's page share: their size, their frame in hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme


class Chart(QWidget):
    """A drawing that Tab comes to and that says in words what it shows.

    A subclass draws in `draw` and sets `words`; `high` is its height at 100 % text.
    """

    high = 220

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._words = ""
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def sentence(self) -> str:
        """Return what is drawn, in words."""
        return self._words

    def _say(self, words: str) -> None:
        self._words = words
        self.setAccessibleName(f"{self._name}. {words}")
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(560), look.px(self.high))

    def minimumSizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(260), look.px(self.high))

    def draw(self, painter: QPainter) -> None:
        """Draw it."""
        raise NotImplementedError

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.draw(painter)
        if self.hasFocus():
            look = self._theme.look
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    # what the drawings share

    def _scale_words(
        self, painter: QPainter, marks: Iterable[tuple[float, str]], top: float
    ) -> None:
        """Write words centred under their x, within the drawing."""
        look = self._theme.look
        ruler = QFontMetricsF(look.faces.small)
        taken = -1.0
        for x, words in marks:
            wide = ruler.horizontalAdvance(words)
            left = min(max(x - wide / 2, 0.0), self.width() - wide)
            if left < taken:
                continue
            box = QRectF(left, top, wide, look.px(18))
            write(painter, box, words, look.faces.small, look.colour("ink2"))
            taken = left + wide + look.px(8)

    def _rule(
        self, painter: QPainter, start: QPointF, end: QPointF, *, strong: bool = False
    ) -> None:
        look = self._theme.look
        painter.setPen(QPen(look.colour("rule2" if strong else "rule"), 1))
        painter.drawLine(start, end)
