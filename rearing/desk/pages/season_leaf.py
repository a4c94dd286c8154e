"""Draws the leaf to cut by week: bars of textures a host, on the ribbons' own days."""

from __future__ import annotations

from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from rearing.desk.page import INSET
from rearing.desk.pages.season_strokes import dashed, texture
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from rearing.desk.pages.season_plan import Plan
    from rearing.desk.theme import Look
    from rearing.desk.widgets.date_scale import DateScale
    from rearing.keeping.leaf_need import LeafWeek

_STEPS = (5, 10, 20, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10_000, 20_000)
_HEAD, _FLOOR = 40, 20
_EXPECTED = (
    "expected: hatched, fading; whiskers hold 80 in 100",
    "expected: hatched; whiskers: 80 in 100",
    "expected: hatched",
    "hatched",
)
"""What stands under the days to come: the longest that there is room for."""


def hosts_of(weeks: Iterable[LeafWeek]) -> tuple[str, ...]:
    """Return every host of the season, most leaf first, which gives them textures."""
    sums: dict[str, float] = {}
    for week in weeks:
        for host, grams in week.given.items():
            sums[host] = sums.get(host, 0.0) + grams
        for host, need in week.hosts.items():
            sums[host] = sums.get(host, 0.0) + need.expected
    return tuple(sorted(sums, key=lambda host: (-sums[host], host)))


def top_grams(weeks: Iterable[LeafWeek]) -> float:
    """Return the most leaf a day that is drawn, whisker and all."""
    tops = [
        week.total.high if week.total else sum(week.given.values()) for week in weeks
    ]
    return max(tops, default=0.0)


class LeafPainter:
    """Draws the weeks into the plan's leaf area."""

    def __init__(
        self, painter: QPainter, plan: Plan, scale: DateScale, today: date
    ) -> None:
        self._painter = painter
        self._plan = plan
        self._look: Look = plan.look
        self._scale = scale
        self._today = today
        box, look = plan.leaf, plan.look
        self._floor = box.bottom() - look.px(_FLOOR)
        self._ceiling = box.top() + look.px(14)

    def paint(self, weeks: Sequence[LeafWeek], *, current: bool) -> None:
        """Draw axis, bars, legend and the words on today's side and beyond."""
        hosts = hosts_of(weeks)
        shown = [
            week
            for week in weeks
            if week.sunday >= self._scale.first and week.monday <= self._scale.last
        ]
        top = max(top_grams(shown) * 1.06, 10.0)
        self._names(hosts, current=current)
        if shown:
            self._axis(top)
        else:
            self._say_none()
        textures = {host: at for at, host in enumerate(hosts)}
        self._painter.save()
        box = self._plan.leaf
        self._painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
        for week in shown:
            self._week(week, textures, (self._floor - self._ceiling) / top)
        self._painter.restore()
        self._floor_words()

    def _names(self, hosts: Sequence[str], *, current: bool) -> None:
        look, painter, box = self._look, self._painter, self._plan.leaf
        left = float(look.px(INSET))
        room = QRectF(left, box.top() + look.px(6), box.left() - left - look.px(56), 0)
        room.setHeight(look.px(18))
        face = look.faces.section
        write(painter, room, "Leaf to cut", face, look.colour("ink"))
        room.translate(0, look.px(17))
        small, ink2 = look.faces.small, look.colour("ink2")
        write(painter, room, "a day, by week", small, ink2)
        if current:
            edge = QRectF(look.px(INSET) - look.px(10), box.top(), look.px(4), 0)
            edge.setHeight(box.height() - look.px(_FLOOR))
            painter.fillRect(edge, look.colour("blue"))
        line = look.px(18)
        free = int((self._floor - room.bottom() - look.px(4)) // line)
        for at, host in enumerate(hosts[:free]):
            y = room.bottom() + look.px(6) + at * line
            swatch = QRectF(left, y + look.px(2), look.px(20), look.px(12))
            texture(painter, look, swatch, at, look.colour("leaf"))
            name = QRectF(swatch.right() + look.px(6), y, 0, line - look.px(2))
            name.setRight(room.right())
            write(painter, name, host, small, look.colour("ink"))

    def _say_none(self) -> None:
        look, painter, box = self._look, self._painter, self._plan.leaf
        face, words = look.faces.pencil, "no leaf weighed or expected in these weeks"
        wide = QFontMetricsF(face).horizontalAdvance(words)
        left = max((box.width() - wide) / 2, 0.0)
        room = QRectF(box.left() + left, box.top(), wide + 2, box.height())
        write(painter, room, words, face, look.colour("ink2"))

    def _axis(self, top: float) -> None:
        look, painter, box = self._look, self._painter, self._plan.leaf
        tall = self._floor - self._ceiling
        lines = max(int(tall // look.px(36)), 1)
        step = next((s for s in _STEPS if top / s <= lines), _STEPS[-1])
        in_kilos = top >= 1000
        for at in range(1, ceil(top / step)):
            y = self._floor - at * step * tall / top
            painter.setPen(QPen(look.colour("rule"), 1))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            value = f"{at * step / 1000:g} kg" if in_kilos else f"{at * step} g"
            room = QRectF(0, y - look.px(8), box.left() - look.px(6), look.px(16))
            ink2 = look.colour("ink2")
            write(painter, room, value, look.faces.small, ink2, right=True)
        painter.setPen(QPen(look.colour("ink2"), 1))
        floor = self._floor + 0.5
        painter.drawLine(QPointF(box.left(), floor), QPointF(box.right(), floor))

    def _week(self, week: LeafWeek, textures: Mapping[str, int], a_gram: float) -> None:
        tomorrow = self._today + timedelta(days=1)
        after = week.sunday + timedelta(days=1)
        if week.total is None:
            until = min(after, tomorrow)
            box = self._column(week.monday, until)
            self._stack(box, week.given, textures, a_gram, expected=False)
            if week.has_unweighed:
                self._not_weighed(box, sum(week.given.values()) * a_gram)
            return
        box = self._column(max(week.monday, tomorrow), after)
        parts = {host: need.expected for host, need in week.hosts.items()}
        self._stack(box, parts, textures, a_gram, expected=True)
        x = box.center().x()
        low = self._floor - week.total.low * a_gram
        high = self._floor - week.total.high * a_gram
        self._painter.setPen(QPen(self._look.colour("ink"), self._look.unit * 0.35))
        self._painter.drawLine(QPointF(x, low), QPointF(x, high))

    def _column(self, begin: date, end: date) -> QRectF:
        gap = self._look.px(2)
        left, right = self._scale.edge(begin) + gap, self._scale.edge(end) - gap
        return QRectF(left, self._floor, max(right - left, 2.0), 0)

    def _stack(
        self,
        column: QRectF,
        parts: Mapping[str, float],
        textures: Mapping[str, int],
        a_gram: float,
        *,
        expected: bool,
    ) -> None:
        """Stack the hosts in the order of their textures, one upon the other."""
        y = self._floor
        leaf = self._look.colour("leaf")
        for host in sorted(parts, key=lambda host: textures[host]):
            tall = parts[host] * a_gram
            box = QRectF(column.left(), y - tall, column.width(), tall)
            if tall >= 1:
                at = textures[host]
                texture(self._painter, self._look, box, at, leaf, expected=expected)
            y -= tall

    def _not_weighed(self, column: QRectF, tall: float) -> None:
        """Mark leaf that nobody weighed by a broken top and its word, not by nought."""
        look, painter = self._look, self._painter
        y = self._floor - tall - look.px(3)
        painter.setPen(dashed(look.colour("pencil"), look.unit * 0.4))
        painter.drawLine(QPointF(column.left(), y), QPointF(column.right(), y))
        face = look.faces.pencil_small
        words = "some not weighed" if tall else "not weighed"
        wide = QFontMetricsF(face).horizontalAdvance(words)
        if wide > y - self._ceiling or column.width() < look.px(12):
            return
        painter.save()
        painter.translate(column.center().x(), y - look.px(4))
        painter.rotate(-90)
        room = QRectF(0, -look.px(8), wide, look.px(16))
        write(painter, room, words, face, look.colour("ink2"))
        painter.restore()

    def _floor_words(self) -> None:
        """Write under the axis which side of today is ink and which is pencil."""
        look, painter, box = self._look, self._painter, self._plan.leaf
        face, strong = look.faces.small, look.faces.small_strong
        today = f"today, {self._today.day} {self._today:%B}"
        wide = QFontMetricsF(strong).horizontalAdvance(today)
        x = self._scale.edge(self._today + timedelta(days=1))
        row = QRectF(box.left(), self._floor + look.px(2), 0, look.px(_FLOOR - 2))
        if not box.left() <= x <= box.right():
            said = "expected: hatched" if x < box.left() else "seen: solid"
            row.setRight(box.right())
            write(painter, row, said, face, look.colour("ink2"))
            return
        left = min(max(x - wide / 2, box.left()), box.right() - wide)
        row.setLeft(left)
        row.setRight(left + wide + 2)
        write(painter, row, today, strong, look.colour("madder"))
        gap = look.px(20)
        before = QRectF(box.left(), row.top(), left - gap - box.left(), row.height())
        ruler = QFontMetricsF(face)
        for said in ("seen and weighed: solid", "weighed: solid", "solid"):
            if ruler.horizontalAdvance(said) <= before.width():
                write(painter, before, said, face, look.colour("ink2"), right=True)
                break
        after = QRectF(row.right() + gap, row.top(), 0, row.height())
        after.setRight(box.right())
        pencil = look.faces.pencil_small
        ruler = QFontMetricsF(pencil)
        for said in _EXPECTED:
            if ruler.horizontalAdvance(said) <= after.width():
                write(painter, after, said, pencil, look.colour("ink2"))
                break
