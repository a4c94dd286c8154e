"""Heads on a scale of ratios: a stroke a width, where each instar lies and ends."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPen

from rearing.desk.widgets.chart import Chart
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPainter

_ROOM = 1.08
_TICKS = (0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.7, 1, 1.5, 2, 3, 4, 5, 7, 10, 15, 20)
_MOST_HIGH = 6


@dataclass(frozen=True, slots=True)
class Peak:
    """Where the series puts an instar [mm]."""

    name: str
    mm: float


class WidthPlot(Chart):
    """Draws equal ratios equally far apart, so that a true series is evenly spaced."""

    high = 150
    _widths: tuple[float, ...] = ()
    _peaks: tuple[Peak, ...] = ()
    _borders: tuple[float, ...] = ()

    def tell(
        self,
        widths: Sequence[float],
        peaks: Sequence[Peak],
        borders: Sequence[float],
        words: str,
    ) -> None:
        """Show other widths; without peaks they were not placed."""
        self._widths, self._peaks = tuple(widths), tuple(peaks)
        self._borders = tuple(borders)
        self._say(words)

    def draw(self, painter: QPainter) -> None:
        if not self._widths:
            return
        look = self._theme.look
        all_mm = [*self._widths, *(peak.mm for peak in self._peaks)]
        low, high = min(all_mm) / _ROOM, max(all_mm) * _ROOM
        field = QRectF(
            *(look.px(16), look.px(42)),
            *(self.width() - look.px(32), self.height() - look.px(42 + 42)),
        )

        def x(mm: float) -> float:
            share = math.log(mm / low) / math.log(high / low)
            return field.left() + field.width() * share

        self._axis(painter, field, [(x(mm), mm) for mm in _TICKS if low <= mm <= high])
        pen = QPen(look.colour("pencil"), look.unit * 0.3, Qt.PenStyle.DashLine)
        for border in self._borders:
            painter.setPen(pen)
            painter.drawLine(
                QPointF(x(border), field.top() - look.px(8)),
                QPointF(x(border), field.bottom()),
            )
        self._strokes(painter, field, [(x(mm), n) for mm, n in self._counted()])
        self._names(painter, field, [(x(peak.mm), peak) for peak in self._peaks])

    def _counted(self) -> list[tuple[float, int]]:
        return sorted(Counter(self._widths).items())

    def _axis(
        self, painter: QPainter, field: QRectF, marks: list[tuple[float, float]]
    ) -> None:
        look = self._theme.look
        y = round(field.bottom()) + 0.5
        self._rule(painter, QPointF(0, y), QPointF(self.width(), y), strong=True)
        for at, _ in marks:
            self._rule(
                painter, QPointF(at, y), QPointF(at, y + look.px(4)), strong=True
            )
        words = [(at, f"{mm:g}") for at, mm in marks]
        self._scale_words(painter, words, y + look.px(4))
        box = QRectF(0, y + look.px(21), self.width(), look.px(18))
        ink2 = look.colour("ink2")
        write(painter, box, "width of the head, mm", look.faces.small, ink2)

    def _strokes(
        self, painter: QPainter, field: QRectF, marks: list[tuple[float, int]]
    ) -> None:
        """Draw a stroke a width; as many times as high as it was measured."""
        look = self._theme.look
        pen = QPen(look.colour("ink"), look.unit * 0.45)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        most = max(number for _, number in marks)
        one = field.height() / max(min(most, _MOST_HIGH), 2)
        for at, number in marks:
            high = min(number, _MOST_HIGH) * one
            painter.drawLine(
                QPointF(at, field.bottom()), QPointF(at, field.bottom() - high)
            )

    def _names(
        self, painter: QPainter, field: QRectF, marks: list[tuple[float, Peak]]
    ) -> None:
        """Write each instar over its place, its width under its name."""
        look = self._theme.look
        faces, ink, ink2 = look.faces, look.colour("ink"), look.colour("ink2")
        for at, peak in marks:
            painter.setPen(QPen(look.colour("madder"), look.unit * 0.4))
            painter.drawLine(
                QPointF(at, field.top() - look.px(7)), QPointF(at, field.top())
            )
            rows = (
                (peak.name, faces.body_strong, ink, 0),
                (f"{peak.mm:.2f}", faces.small, ink2, 17),
            )
            for word, face, colour, down in rows:
                wide = QFontMetricsF(face).horizontalAdvance(word)
                left = min(max(at - wide / 2, 0.0), self.width() - wide)
                box = QRectF(left, look.px(down), wide + 1, look.px(18))
                write(painter, box, word, face, colour)
