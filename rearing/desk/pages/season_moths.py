"""Draws the moths of a ribbon: ticks by sex, and the nights both sexes fly."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from rearing.desk.pages.season_strokes import faint
from rearing.desk.widgets.marks import Mark, paint_mark
from rearing.desk.widgets.writing import write
from rearing.keeping.season_rows import flown_words
from rearing.terms import Sex

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Look
    from rearing.desk.widgets.date_scale import DateScale
    from rearing.keeping.outlook import Emerging, Nights
    from rearing.keeping.season_facts import Flown
    from rearing.keeping.season_rows import Ribbon

_TICK_LEAST, _TICK_MOST = 3.0, 15.0


class MothPainter:
    """Draws moths on a scale of days: males up, females down."""

    def __init__(self, painter: QPainter, look: Look, scale: DateScale) -> None:
        self._painter = painter
        self._look = look
        self._scale = scale

    def paint(self, ribbon: Ribbon, y: float) -> None:
        """Draw ticks of what flew and is expected, with their words."""
        painter, look = self._painter, self._look
        blue = look.colour("blue")
        self.ticks(ribbon.flown, y)
        most = max((one.number / 2 for one in ribbon.emerging), default=1.0)
        pen = QPen(blue, look.unit * 0.4)
        pen.setDashPattern([1.0, 1.2])
        painter.setPen(pen)
        for x, tall in self._expected(ribbon.emerging, most):
            painter.drawLine(QPointF(x, y - tall), QPointF(x, y + tall))
        self._moth_words(ribbon, y)
        self._together(ribbon.together, y)

    def ticks(self, flown: Sequence[Flown], y: float) -> None:
        """Draw moths that flew: males up, females down, those not sexed both ways."""
        painter, look = self._painter, self._look
        most = float(max((moths.number for moths in flown), default=1))
        painter.setPen(QPen(look.colour("blue"), look.unit * 0.5))
        for moths in flown:
            x, tall = self._scale.x(moths.on), self._tall(moths.number, most)
            up = 0.0 if moths.sex is Sex.FEMALE else tall
            down = 0.0 if moths.sex is Sex.MALE else tall
            painter.drawLine(QPointF(x, y - up), QPointF(x, y + down))

    def _expected(
        self, emerging: Sequence[Emerging], most: float
    ) -> list[tuple[float, float]]:
        """Return x and height of expected ticks, no closer than can be told apart."""
        ticks: list[tuple[float, float]] = []
        apart = self._look.px(4)
        for one in emerging:
            x = self._scale.x(one.on)
            if not ticks or x - ticks[-1][0] >= apart:
                ticks.append((x, self._tall(one.number / 2, most)))
        return [tick for tick in ticks if tick[0] <= self._scale.right]

    def _tall(self, number: float, most: float) -> float:
        share = min(number / max(most, 1e-9), 1.0)
        look = self._look
        return look.px(_TICK_LEAST) + share * (look.px(_TICK_MOST - _TICK_LEAST))

    def _moth_words(self, ribbon: Ribbon, y: float) -> None:
        days = [moths.on for moths in ribbon.flown]
        days += [one.on for one in ribbon.emerging]
        if not days:
            return
        painter, look = self._painter, self._look
        left, right = self._scale.x(min(days)), self._scale.x(max(days))
        side = look.px(10)
        if self._scale.left < left < self._scale.right:
            box = QRectF(left - side - 3, y - look.px(15), side, side)
            paint_mark(painter, Mark.MALE, box, look.colour("ink2"))
        if self._scale.left < right < self._scale.right:
            box = QRectF(right + 3, y + look.px(5), side, side)
            paint_mark(painter, Mark.FEMALE, box, look.colour("ink2"))
        flown = [moths.on for moths in ribbon.flown]
        end = self._scale.x(min(flown)) - look.px(18) if flown else 0.0
        if self._scale.left < end < self._scale.right:
            words, face = flown_words(ribbon), look.faces.small
            wide = QFontMetricsF(face).horizontalAdvance(words) + 2
            room = QRectF(end - wide, y - look.px(20), wide, look.px(14))
            if room.left() >= self._scale.left:
                painter.fillRect(room, faint(look.colour("page"), 0.75))
                write(painter, room, words, face, look.colour("ink2"))

    def _band(self, run: Nights, y: float) -> QRectF | None:
        """Return where a run of nights is shaded, None out of sight."""
        left = self._scale.edge(run.first)
        right = self._scale.edge(run.last + timedelta(days=1))
        if right < self._scale.left or left > self._scale.right:
            return None
        look = self._look
        return QRectF(left, y - look.px(19), right - left, look.px(38))

    def bands(self, nights: Sequence[Nights], y: float) -> None:
        """Shade the nights on which both sexes are likely on the wing."""
        look, painter = self._look, self._painter
        for box in filter(None, (self._band(run, y) for run in nights)):
            painter.fillRect(box, faint(look.colour("blue"), 0.16))
            painter.setPen(QPen(look.colour("blue"), 1))
            painter.drawLine(box.topLeft(), box.topRight())

    def _together(self, nights: Sequence[Nights], y: float) -> None:
        """Say in words when both sexes are likely on the wing."""
        look, painter = self._look, self._painter
        for run in nights:
            box = self._band(run, y)
            if box is None:
                continue
            words, face = together_words(run), look.faces.pencil_small
            wide = QFontMetricsF(face).horizontalAdvance(words)
            left = box.right() + look.px(16)
            if left + wide > self._scale.right:
                left = min(box.left() - look.px(16), self._scale.right) - wide
            room = QRectF(left, y - look.px(20), wide, look.px(14))
            painter.fillRect(room, faint(look.colour("page"), 0.75))
            write(painter, room, words, face, look.colour("ink2"))


def together_words(run: Nights) -> str:
    """Return when both sexes are likely on the wing."""
    first, last = run.first, run.last
    same = (first.year, first.month) == (last.year, last.month)
    begin = str(first.day) if same else f"{first.day} {first:%B}"
    if first == last:
        return f"both sexes likely {last.day} {last:%B}"
    return f"both sexes likely {begin} to {last.day} {last:%B}"
