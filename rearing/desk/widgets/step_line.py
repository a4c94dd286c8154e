"""How a number went: a stepped line from the first egg to what is alive now."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.date_scale import DateScale, short_day
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme


@dataclass(frozen=True, slots=True)
class Point:
    """A number from a day on, and the word written over it, if any."""

    on: date
    number: int
    word: str = ""


class StepLine(QWidget):
    """Draws the steps to a common nought; the last number stands at its end."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._points: tuple[Point, ...] = ()
        self._until: date | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def tell(self, points: Sequence[Point], until: date) -> None:
        """Show other steps, the last of them holding up to a day."""
        self._points, self._until = tuple(points), until
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.update()

    def sentence(self) -> str:
        """Return the steps in words."""
        said = [
            f"{short_day(p.on)} {p.number}{f', {p.word}' if p.word else ''}"
            for p in self._points
        ]
        return "; ".join(said) or "nothing entered"

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(300), look.px(92))

    def minimumSizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(220), look.px(92))

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._points or self._until is None:
            return
        look = self._theme.look
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        last = QFontMetricsF(look.faces.body_strong)
        right = self.width() - last.horizontalAdvance(str(self._points[-1].number))
        scale = DateScale(self._points[0].on, self._until, 0, right - look.px(10))
        top, floor = look.px(22), self.height() - look.px(22)
        most = max(max(point.number for point in self._points), 1)
        at = [
            (scale.x(p.on), floor - (floor - top) * p.number / most)
            for p in self._points
        ]
        self._draw(painter, at, scale.right, floor)
        self._write(painter, at, scale, floor)
        if self.hasFocus():
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _draw(
        self,
        painter: QPainter,
        at: Sequence[tuple[float, float]],
        right: float,
        floor: float,
    ) -> None:
        look = self._theme.look
        painter.setPen(QPen(look.colour("rule2"), 1))
        painter.drawLine(QPointF(0, floor + 0.5), QPointF(right, floor + 0.5))
        path = QPainterPath(QPointF(*at[0]))
        for (_, before), (x, y) in pairwise(at):
            path.lineTo(x, before)
            path.lineTo(x, y)
        path.lineTo(right, at[-1][1])
        pen = QPen(look.colour("ink"), look.unit * 0.5)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)

    def _write(
        self,
        painter: QPainter,
        at: Sequence[tuple[float, float]],
        scale: DateScale,
        floor: float,
    ) -> None:
        look = self._theme.look
        small, ink2 = look.faces.small, look.colour("ink2")
        ruler = QFontMetricsF(small)
        taken = -1.0
        for point, (x, y) in zip(self._points, at, strict=True):
            wide = ruler.horizontalAdvance(point.word)
            left = min(max(x, 0.0), scale.right - wide)
            if point.word and left > taken:
                # clear of the line wherever it runs under the word
                over = [y, *(b for a, b in at if left <= a <= left + wide)]
                before = [b for a, b in at if a <= left]
                top = min(over + before[-1:])
                box = QRectF(left, top - look.px(20), wide, look.px(18))
                write(painter, box, point.word, small, ink2)
                taken = left + wide + look.px(6)
        box = QRectF(0, at[-1][1] - look.px(10), self.width(), look.px(20))
        number = str(self._points[-1].number)
        strong = look.faces.body_strong
        write(painter, box, number, strong, look.colour("ink"), right=True)
        box = QRectF(0, floor + look.px(3), scale.right, look.px(18))
        years = scale.first.year != scale.last.year
        for day, right in ((scale.first, False), (scale.last, True)):
            words = f"{short_day(day)} {day.year}" if years else short_day(day)
            write(painter, box, words, small, ink2, right=right)
