"""Paints the whole sheet of the season from its plan: months, rows, leaf, the foot."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from rearing.desk.page import INSET
from rearing.desk.pages.season_leaf import LeafPainter
from rearing.desk.pages.season_plan import MOST_WHISKERS, number_words
from rearing.desk.pages.season_ribbon import RibbonPainter
from rearing.desk.pages.season_strokes import whisker
from rearing.desk.widgets.writing import wrap, write
from rearing.keeping.ribbons import in_days

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtGui import QColor

    from rearing.desk.pages.season_plan import Plan
    from rearing.desk.widgets.date_scale import DateScale
    from rearing.keeping.season import Forecast, Span
    from rearing.keeping.season_rows import Ribbon, SeasonView

_MIDDLE, _WHISKER_AT, _WHISKER_STEP = 20, 38, 8
_MAJOR = ("hatch", "wander", "emerge")
_MONTH_NAMES = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


class SheetPainter:
    """One painting of the sheet."""

    def __init__(
        self, painter: QPainter, plan: Plan, scale: DateScale, view: SeasonView
    ) -> None:
        self._painter = painter
        self._plan = plan
        self._scale = scale
        self._view = view
        self._look = plan.look
        self._ribbons = RibbonPainter(painter, plan.look, scale, view.on)

    def paint(
        self, offset: float, current: int | None, supposed: Ribbon | None
    ) -> None:
        """Paint everything but the foot, rows scrolled by `offset`."""
        self._months()
        self._rows(offset, current, supposed)
        if self._plan.leaf.height():
            self._rule(self._plan.leaf.top(), "rule2")
            leaf = LeafPainter(self._painter, self._plan, self._scale, self._view.on)
            on_leaf = current == len(self._view.ribbons)
            leaf.paint(self._view.weeks, current=on_leaf)
        self._today()

    def _rule(self, y: float, token: str) -> None:
        left = self._look.px(INSET)
        self._painter.setPen(QPen(self._look.colour(token), 1))
        y = int(y) + 0.5
        self._painter.drawLine(QPointF(left, y), QPointF(self._plan.right, y))

    def _months(self) -> None:
        look, painter, strip = self._look, self._painter, self._plan.months
        floor = self._plan.leaf.bottom()
        for begin, end in _months_in(self._scale):
            left = max(self._scale.edge(begin), strip.left())
            right = min(self._scale.edge(end), strip.right())
            if begin > self._scale.first:
                painter.setPen(QPen(look.colour("rule"), 1))
                painter.drawLine(QPointF(left, 0), QPointF(left, floor))
            face = look.faces.lead_quiet
            ruler = QFontMetricsF(face)
            name = _MONTH_NAMES[begin.month - 1]
            if begin.month == 1 or begin <= self._scale.first:
                name = f"{name} {begin.year}"
            for words in (name, _MONTH_NAMES[begin.month - 1], f"{begin:%b}"):
                wide = ruler.horizontalAdvance(words)
                if wide + look.px(8) <= right - left:
                    box = QRectF((left + right - wide) / 2, strip.top(), wide + 2, 0)
                    box.setHeight(strip.height())
                    write(painter, box, words, face, look.colour("ink"))
                    break

    def _today(self) -> None:
        x = self._scale.edge(self._view.on + timedelta(days=1))
        if self._scale.left <= x <= self._scale.right:
            pen = QPen(self._look.colour("madder"), self._look.unit * 0.45)
            self._painter.setPen(pen)
            floor = self._plan.leaf.bottom() - self._look.px(18)
            if not self._plan.leaf.height():
                floor = self._plan.rows.bottom()
            self._painter.drawLine(QPointF(x, self._look.px(4)), QPointF(x, floor))

    # rows

    def _rows(
        self, offset: float, current: int | None, supposed: Ribbon | None
    ) -> None:
        painter, area = self._painter, self._plan.rows
        painter.save()
        painter.setClipRect(area, Qt.ClipOperation.IntersectClip)
        top, below = area.top() - offset, 0
        rows = zip(self._view.ribbons, self._plan.row_heights, strict=True)
        for row, (ribbon, tall) in enumerate(rows):
            if top + tall > area.bottom() + 1 and tall <= area.height():
                below += 1  # never half a brood: the rest is told in words
            elif top + tall >= area.top() and top <= area.bottom():
                room = QRectF(0, top, self._plan.width, tall)
                other = supposed
                if other is not None and other.brood_id != ribbon.brood_id:
                    other = None
                self._row(ribbon, room, other, current=row == current)
            top += tall
        painter.restore()
        if below:
            self._more(below)

    def _more(self, number: int) -> None:
        """Say beside the months how many broods are further down."""
        look, plan = self._look, self._plan
        left = float(look.px(INSET))
        room = QRectF(left, plan.months.top(), plan.left - left, plan.months.height())
        words = f"↓ {number} more below"
        write(self._painter, room, words, look.faces.pencil_small, look.colour("ink2"))

    def _row(
        self, ribbon: Ribbon, room: QRectF, supposed: Ribbon | None, *, current: bool
    ) -> None:
        painter, look = self._painter, self._look
        if current:
            inset = look.px(INSET) - look.px(10)
            wash = QRectF(inset, room.top() + 1, self._plan.left - inset, 0)
            wash.setHeight(room.height() - 1)
            painter.fillRect(wash, look.colour("blue_wash"))
            wash.setWidth(look.px(4))
            painter.fillRect(wash, look.colour("blue"))
        self._name(ribbon, room)
        painter.save()
        wide = self._plan.right - self._plan.left
        days = QRectF(self._plan.left, room.top(), wide, room.height())
        painter.setClipRect(days, Qt.ClipOperation.IntersectClip)
        y = room.top() + look.px(_MIDDLE)
        self._ribbons.paint(supposed or ribbon, y)
        if supposed is not None:
            self._ribbons.outline(ribbon, y)
        self._whiskers(ribbon, supposed, room.top() + look.px(_WHISKER_AT))
        painter.restore()
        self._rule(room.bottom() - 1, "rule")

    def _name(self, ribbon: Ribbon, room: QRectF) -> None:
        look, painter = self._look, self._painter
        left = float(look.px(INSET))
        wide = self._plan.left - left - look.px(10)
        line = QRectF(left, room.top() + look.px(5), wide, look.px(18))
        ink, face = look.colour("ink"), look.faces.code_line
        used = write(painter, line, ribbon.code, face, ink)
        rest = line.adjusted(used + look.px(10), 0, 0, 0)
        write(painter, rest, ribbon.short, look.faces.species, ink)
        line.translate(0, look.px(18))
        ink2 = look.colour("ink2")
        write(painter, line, number_words(ribbon), look.faces.small, ink2)

    def _whiskers(self, ribbon: Ribbon, supposed: Ribbon | None, y: float) -> None:
        ink, pencil = self._look.colour("ink"), self._look.colour("pencil")
        if supposed is not None:
            for group in ribbon.groups[:1]:
                self._group(group, y - self._look.px(3), pencil)
            for group in supposed.groups[:1]:
                self._group(group, y + self._look.px(3), ink)
            return
        leading = ribbon.leading
        ordered = sorted(ribbon.groups, key=lambda group: group is not leading)
        for at, group in enumerate(ordered[:MOST_WHISKERS]):
            colour = ink if at == 0 else self._look.colour("ink2")
            self._group(group, y + at * self._look.px(_WHISKER_STEP), colour)

    def _group(self, group: Forecast, y: float, colour: QColor) -> None:
        taken: list[tuple[float, float]] = []
        gap = self._look.px(6)
        for span in _in_order_of_weight(group):
            ends = [in_days(end) for end in (span.low, span.middle, span.high)]
            low, middle, high = (self._ribbons.x(end) for end in ends)
            if any(low < b + gap and a - gap < high for a, b in taken):
                continue
            taken.append((low, high))
            ends_at = (low, middle, high)
            painter, look = self._painter, self._look
            whisker(painter, look, y, ends_at, colour, open_end=span.open_end)

    # the foot

    def foot(self, words: str) -> None:
        """Write the reading line at the foot."""
        look, painter, box = self._look, self._painter, self._plan.foot
        painter.fillRect(box.adjusted(-40, 0, 40, 0), look.colour("page"))
        self._rule(box.top(), "rule2")
        face = look.faces.body
        line = QFontMetricsF(face).height()
        lines = wrap(words, face, box.width())
        most = self._plan.foot_lines
        shown = list(lines[:most])
        if len(lines) > most:
            shown[-1] = " ".join(lines[most - 1 :])
        room = QRectF(box.left(), box.top() + look.px(7), box.width(), line)
        for text in shown:
            write(painter, room, text, face, look.colour("ink"))
            room.translate(0, line)


def _in_order_of_weight(group: Forecast) -> Iterator[Span]:
    """Give the great events first, then those next in time: so room is theirs."""
    windows = [w for w in group.windows if w.half is not None]
    windows.sort(key=lambda window: window.event not in _MAJOR)
    for window in windows:
        if window.half is not None:
            yield window.half


def _months_in(scale: DateScale) -> Iterator[tuple[date, date]]:
    begin = scale.first.replace(day=1)
    while begin <= scale.last:
        end = (begin + timedelta(days=32)).replace(day=1)
        yield begin, end
        begin = end
