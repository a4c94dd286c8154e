"""How many still live, day by day: stairs with their limits, a tick who left alive."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainterPath, QPen

from rearing.desk.widgets.chart import Chart
from rearing.desk.widgets.marks import hatch
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPainter

_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_DAY_STEPS = (1, 2, 5, 10, 20, 50, 100, 200)
_LEAST_DAYS = 5


@dataclass(frozen=True, slots=True)
class Stair:
    """The share alive from a day on, with its limits, each 0 to 1."""

    day: int
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Survival:
    """One lot: its name, its stairs, the days on which some left, its last day."""

    name: str
    stairs: tuple[Stair, ...]
    left: tuple[int, ...]
    until: int

    @property
    def last(self) -> float:
        """The share alive at the end."""
        return self.stairs[-1].share if self.stairs else 1.0

    def at(self, day: int) -> float:
        """Return the share alive at the end of a day."""
        return next((s.share for s in reversed(self.stairs) if s.day <= day), 1.0)


class SurvivalPlot(Chart):
    """Draws one lot with its hatched limits; a second one is dashed, limits dotted."""

    high = 236

    def tell(self, lots: Sequence[Survival], words: str) -> None:
        """Show one lot or two, and what they show in words."""
        self._lots = tuple(lots)
        self._say(words)

    _lots: tuple[Survival, ...] = ()

    def draw(self, painter: QPainter) -> None:
        if not self._lots:
            return
        look = self._theme.look
        small = QFontMetricsF(look.faces.small)
        ends = QFontMetricsF(look.faces.body_strong)
        names = max(ends.horizontalAdvance(_end(lot)) for lot in self._lots)
        left = small.horizontalAdvance("100 %") + look.px(8)
        field = QRectF(
            left,
            look.px(12),
            max(self.width() - left - names - look.px(14), look.px(60)),
            self.height() - look.px(12 + 40),
        )
        days = max(max(lot.until for lot in self._lots), _LEAST_DAYS)
        self._grid(painter, field, days)
        for at, lot in enumerate(self._lots):
            self._limits(painter, field, days, lot, first=at == 0)
        for at, lot in enumerate(self._lots):
            self._line(painter, field, days, lot, first=at == 0)
            self._ticks(painter, field, days, lot)
        self._ends(painter, field)

    def _grid(self, painter: QPainter, field: QRectF, days: int) -> None:
        look = self._theme.look
        for share in _SHARES:
            y = round(_y(field, share)) + 0.5
            ends = QPointF(field.left(), y), QPointF(field.right(), y)
            self._rule(painter, *ends, strong=share == 0.0)
            box = QRectF(0, y - look.px(9), field.left() - look.px(8), look.px(18))
            ink2 = look.colour("ink2")
            words = f"{share * 100:.0f} %" if share in {0.0, 1.0} else f"{share:.0%}"
            words = words.replace("%", "").strip() if 0 < share < 1 else words
            write(painter, box, words, look.faces.small, ink2, right=True)
        apart = QFontMetricsF(look.faces.small).horizontalAdvance("100") + look.px(24)
        for_one = field.width() / days
        step = next((s for s in _DAY_STEPS if s * for_one >= apart), _DAY_STEPS[-1])
        marks = [(_x(field, days, d), str(d)) for d in range(0, days + 1, step)]
        for x, _ in marks:
            foot = QPointF(x, field.bottom())
            self._rule(painter, foot, foot + QPointF(0, look.px(4)), strong=True)
        self._scale_words(painter, marks, field.bottom() + look.px(4))
        box = QRectF(
            *(field.left(), field.bottom() + look.px(21)),
            *(self.width() - field.left(), look.px(18)),
        )
        words = "days since the first came"
        if any(lot.left for lot in self._lots):
            words += "; an upright tick: some left alive"
        write(painter, box, words, look.faces.small, look.colour("ink2"))

    def _limits(
        self, painter: QPainter, field: QRectF, days: int, lot: Survival, *, first: bool
    ) -> None:
        look = self._theme.look
        if not lot.stairs:
            return
        high = _path(field, days, lot, [(s.day, s.high) for s in lot.stairs])
        low = _path(field, days, lot, [(s.day, s.low) for s in lot.stairs])
        pen = QPen(look.colour("rule2"), 1)
        if first:
            area = QPainterPath(high)
            area.connectPath(low.toReversed())
            area.closeSubpath()
            painter.save()
            painter.setClipPath(area)
            shade = look.colour("rule2")
            hatch(painter, field, shade, spacing=look.px(6), width=look.unit / 5)
            painter.restore()
        else:
            pen = QPen(look.colour("ink2"), look.unit * 0.3, Qt.PenStyle.DotLine)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(high)
        painter.drawPath(low)

    def _line(
        self, painter: QPainter, field: QRectF, days: int, lot: Survival, *, first: bool
    ) -> None:
        look = self._theme.look
        pen = QPen(look.colour("ink" if first else "blue"), look.unit * 0.6)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if not first:
            pen.setDashPattern([4, 2.4])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        stairs = [(s.day, s.share) for s in lot.stairs]
        painter.drawPath(_path(field, days, lot, stairs))

    def _ticks(
        self, painter: QPainter, field: QRectF, days: int, lot: Survival
    ) -> None:
        look = self._theme.look
        painter.setPen(QPen(look.colour("ink"), look.unit * 0.4))
        for day in lot.left:
            at = QPointF(_x(field, days, day), _y(field, lot.at(day)))
            painter.drawLine(at - QPointF(0, look.px(6)), at + QPointF(0, look.px(3)))

    def _ends(self, painter: QPainter, field: QRectF) -> None:
        """Write name and share beside each end, moved apart where they would touch."""
        look = self._theme.look
        high = look.px(19)
        order = sorted(
            range(len(self._lots)), key=lambda i: _y(field, self._lots[i].last)
        )
        taken = -float(high)
        for at in order:
            lot = self._lots[at]
            middle = max(_y(field, lot.last), taken + high)
            box = QRectF(field.right() + look.px(10), middle - high / 2, 0, high)
            box.setRight(self.width())
            ink = look.colour("ink" if at == 0 else "blue")
            write(painter, box, _end(lot), look.faces.body_strong, ink)
            taken = middle


def _end(lot: Survival) -> str:
    said = f"{lot.last * 100:.0f} %"
    return f"{lot.name} {said}" if lot.name else said


def _x(field: QRectF, days: int, day: float) -> float:
    return field.left() + field.width() * day / days


def _y(field: QRectF, share: float) -> float:
    return field.bottom() - field.height() * share


def _path(
    field: QRectF, days: int, lot: Survival, stairs: Sequence[tuple[int, float]]
) -> QPainterPath:
    """Return stairs from all alive at day 0 to the lot's last day."""
    path = QPainterPath(QPointF(_x(field, days, 0), _y(field, 1.0)))
    share = 1.0
    for day, after in stairs:
        path.lineTo(_x(field, days, day), _y(field, share))
        path.lineTo(_x(field, days, day), _y(field, after))
        share = after
    path.lineTo(_x(field, days, lot.until), _y(field, share))
    return path
