"""Stages as they were seen: a column a day of looking, nothing drawn in between."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPen

from rearing.desk.widgets.chart import Chart
from rearing.desk.widgets.date_scale import DateScale, short_day
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from PySide6.QtGui import QPainter

_WIDEST, _LEAST = 40, 6
_SHORT = {"wandering": "wa", "pupa": "pu", "adult": "ad", "egg": "e"}


@dataclass(frozen=True, slots=True)
class LookColumn:
    """One day's looks: how many in which stage, youngest first."""

    on: date
    parts: tuple[tuple[str, int], ...]

    @property
    def number(self) -> int:
        """How many were looked at."""
        return sum(number for _, number in self.parts)


class LookColumns(Chart):
    """Draws shares from the youngest at the foot up, the number looked at above."""

    high = 200
    _columns: tuple[LookColumn, ...] = ()

    def tell(self, columns: Sequence[LookColumn], words: str) -> None:
        """Show other days."""
        self._columns = tuple(columns)
        self._say(words)

    def draw(self, painter: QPainter) -> None:
        if not self._columns:
            return
        look = self._theme.look
        half = look.px(_WIDEST) / 2
        first, last = self._columns[0].on, self._columns[-1].on
        scale = DateScale(first, last, half, self.width() - half)
        if first == last:
            scale = DateScale(first, last, 0, half * 2)
        top, floor = look.px(22), self.height() - look.px(24)
        self._rule(painter, QPointF(0, floor + 0.5), QPointF(self.width(), floor + 0.5))
        wide = self._wide(scale)
        for column in self._columns:
            box = QRectF(scale.x(column.on) - wide / 2, top, wide, floor - top)
            self._column(painter, column, box)
        dates = [(scale.x(c.on), short_day(c.on)) for c in self._columns]
        self._scale_words(painter, dates, floor + look.px(4))

    def _wide(self, scale: DateScale) -> float:
        """Return as much as leaves the nearest two days apart."""
        look = self._theme.look
        days = [column.on for column in self._columns]
        near = min(
            (b - a for a, b in pairwise(days)),
            default=timedelta(days=365),
        )
        a_day = scale.x(days[0] + timedelta(days=1)) - scale.x(days[0])
        room = a_day * near.days - look.px(3)
        return max(min(float(look.px(_WIDEST)), room), float(look.px(_LEAST)))

    def _column(self, painter: QPainter, column: LookColumn, box: QRectF) -> None:
        look = self._theme.look
        ruler = QFontMetricsF(look.faces.small)
        y = box.bottom()
        for stage, number in column.parts:
            high = box.height() * number / column.number
            part = QRectF(box.left(), y - high, box.width(), high)
            fill, ink = self._shades(stage)
            painter.fillRect(part, fill)
            painter.setPen(QPen(look.colour("rule2"), 1))
            painter.drawRect(part)
            word = _SHORT.get(stage, stage)
            wide = ruler.horizontalAdvance(word)
            if wide <= part.width() - 2 and high >= ruler.capHeight() + look.px(4):
                room = QRectF(part)
                room.setLeft(part.center().x() - wide / 2)
                write(painter, room, word, look.faces.small, ink)
            y -= high
        above = str(column.number)
        wide = QFontMetricsF(look.faces.small_strong).horizontalAdvance(above)
        head = QRectF(box.center().x() - wide / 2, 0, wide + 1, look.px(20))
        if wide <= box.width() + look.px(6):
            write(painter, head, above, look.faces.small_strong, look.colour("ink"))

    def _shades(self, stage: str) -> tuple[str, str]:
        tokens = self._theme.look.tokens
        if stage.startswith("L") and stage[1:].isdecimal():
            return tokens.instar(int(stage[1:]))
        return tokens.wash, tokens.ink
