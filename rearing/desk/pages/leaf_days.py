"""Leaf to cut day by day: bars of textures with bands, and beneath what is in reach."""

from __future__ import annotations

from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleValueChangeEvent,
    QFontMetricsF,
    QPainter,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.pages.leaf_words import day_reading, days_sentence
from rearing.desk.pages.season_strokes import dashed, hatch_inside, texture
from rearing.desk.widgets.date_scale import DateScale, short_day
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPaintEvent

    from rearing.desk.theme import Look, Theme
    from rearing.keeping.leaf_plan import LeafDay
    from rearing.keeping.leaf_view import HostView, LeafView, Reached

SHOWN = 28
"""Four weeks: two in which it can be mended, two that tell what follows."""

MOST_HOSTS = 6
_BARS, _DATES, _ROW = 168, 24, 22
_STEPS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000)


class LeafDays(QWidget):
    """Shows the days to come; ← → go from day to day while it has the keyboard.

    `moved()` when another day is in hand.
    """

    moved = Signal()

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._view: LeafView | None = None
        self._first = 0
        self._at = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def tell(self, view: LeafView) -> None:
        """Show another plan; the day in hand stays where it is."""
        self._view = view
        self._at = min(self._at, max(len(view.plan.days) - 1, 0))
        self._keep_in_sight()
        self.setAccessibleName(f"{self._name}. {days_sentence(view)}")
        self._say()
        self.updateGeometry()
        self.update()

    # what is shown

    @property
    def days(self) -> Sequence[LeafDay]:
        """The days drawn."""
        if self._view is None:
            return ()
        return self._view.plan.days[self._first : self._first + SHOWN]

    @property
    def hosts(self) -> Sequence[HostView]:
        """The hosts that have a row, most needed first."""
        return () if self._view is None else self._view.hosts[:MOST_HOSTS]

    def day_in_hand(self) -> LeafDay | None:
        """Return the day under the keeper's hand."""
        days = () if self._view is None else self._view.plan.days
        return days[self._at] if self._at < len(days) else None

    def words(self) -> str:
        """Return what the day in hand asks for, and where it is to be had."""
        day = self.day_in_hand()
        return "" if day is None or self._view is None else day_reading(day, self._view)

    def go(self, step: int) -> None:
        """Go so many days on, or back."""
        last = 0 if self._view is None else len(self._view.plan.days) - 1
        self._at = min(max(self._at + step, 0), max(last, 0))
        self._keep_in_sight()
        self._say()
        self.update()
        self.moved.emit()

    def _keep_in_sight(self) -> None:
        if self._at < self._first:
            self._first = self._at
        elif self._at >= self._first + SHOWN:
            self._first = self._at - SHOWN + 1

    def _say(self) -> None:
        self.setAccessibleDescription(self.words())
        if self.hasFocus():
            event = QAccessibleValueChangeEvent(self, self.words())
            QAccessible.updateAccessibility(event)

    # Qt's side

    def sizeHint(self) -> QSize:
        look = self._theme.look
        line = QFontMetricsF(look.faces.body).height()
        rows = len(self.hosts) * look.px(_ROW)
        high = look.px(_BARS) + look.px(_DATES) + rows + 2 * line + look.px(10)
        return QSize(look.px(420), int(high))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(240), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {
            Qt.Key.Key_Left: -1,
            Qt.Key.Key_Right: 1,
            Qt.Key.Key_PageUp: -7,
            Qt.Key.Key_PageDown: 7,
        }
        key = Qt.Key(event.key())
        if key in steps and not event.modifiers() & Qt.KeyboardModifier.AltModifier:
            self.go(steps[key])
        elif key is Qt.Key.Key_Home:
            self.go(-self._at)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        scale = self._scale()
        if scale is None:
            return
        share = (event.position().x() - scale.left) / (scale.right - scale.left)
        at = self._first + int(share * len(self.days))
        if 0 <= share < 1:
            self.go(at - self._at)
        self.setFocus()

    def _scale(self) -> DateScale | None:
        days = self.days
        if not days:
            return None
        look = self._theme.look
        ruler = QFontMetricsF(look.faces.small)
        longest = max((ruler.horizontalAdvance(h.host) for h in self.hosts), default=0)
        left = min(longest + look.px(34), self.width() * 0.3)
        return DateScale(days[0].on, days[-1].on, left, self.width() - 2.0)

    def paintEvent(self, event: QPaintEvent) -> None:
        scale = self._scale()
        if scale is None or self._view is None:
            return
        painter = QPainter(self)
        _DaysPainter(painter, self._theme.look, scale, self).paint()
        painter.end()

    @property
    def at_day(self) -> date | None:
        """The day in hand, None without any."""
        day = self.day_in_hand()
        return None if day is None else day.on


class _DaysPainter:
    """Draws axis, bars, dates, rows of supply, and the reading of the day in hand."""

    def __init__(
        self, painter: QPainter, look: Look, scale: DateScale, shown: LeafDays
    ) -> None:
        self._painter, self._look, self._scale = painter, look, scale
        self._shown = shown
        self._ceiling = float(look.px(8))
        self._floor = float(look.px(_BARS))

    def paint(self) -> None:
        """Draw everything."""
        top = max(max((day.total.high for day in self._shown.days), default=0.0), 10.0)
        self._hand()
        self._axis(top)
        a_gram = (self._floor - self._ceiling) / (top * 1.04)
        for day in self._shown.days:
            self._day(day, a_gram)
        self._dates()
        for at, host in enumerate(self._shown.hosts):
            self._supply(at, host)
        self._reading()

    def _hand(self) -> None:
        """Wash the day in hand the whole way down, blue while it has the keyboard."""
        day = self._shown.at_day
        if day is None:
            return
        look, bottom = self._look, self._floor + self._look.px(_DATES)
        bottom += len(self._shown.hosts) * look.px(_ROW)
        left = self._scale.edge(day)
        right = self._scale.edge(day + timedelta(days=1))
        box = QRectF(left, 0, right - left, bottom)
        self._painter.fillRect(box, look.colour("blue_wash"))
        if self._shown.hasFocus():
            edge = QRectF(left, 0, look.px(3), bottom)
            self._painter.fillRect(edge, look.colour("blue"))

    def _axis(self, top: float) -> None:
        look, painter, scale = self._look, self._painter, self._scale
        tall = self._floor - self._ceiling
        lines = max(int(tall // look.px(34)), 1)
        step = next((s for s in _STEPS if top / s <= lines), _STEPS[-1])
        face, ink2 = look.faces.small, look.colour("ink2")
        for at in range(1, ceil(top * 1.04 / step)):
            y = self._floor - at * step * tall / (top * 1.04)
            painter.setPen(QPen(look.colour("rule"), 1))
            painter.drawLine(QPointF(scale.left, y), QPointF(scale.right, y))
            grams = at * step
            value = f"{grams / 1000:g} kg" if top >= 1000 else f"{grams} g"
            room = QRectF(0, y - look.px(8), scale.left - look.px(6), look.px(16))
            write(painter, room, value, face, ink2, right=True)
        painter.setPen(QPen(look.colour("ink2"), 1))
        floor = self._floor + 0.5
        painter.drawLine(QPointF(scale.left, floor), QPointF(scale.right, floor))

    def _day(self, day: LeafDay, a_gram: float) -> None:
        look, painter = self._look, self._painter
        gap = max((self._scale.right - self._scale.left) / len(self._shown.days), 3.0)
        left = self._scale.edge(day.on) + gap * 0.12
        wide = gap * 0.76
        y, leaf = self._floor, look.colour("leaf")
        names = [host.host for host in self._shown.hosts]
        order = sorted(day.hosts, key=lambda h: names.index(h) if h in names else 99)
        for host in order:
            tall = day.hosts[host].expected * a_gram
            box = QRectF(left, y - tall, wide, tall)
            if tall >= 1:
                at = names.index(host) if host in names else MOST_HOSTS
                texture(painter, look, box, at, leaf, expected=True)
            y -= tall
        x = left + wide / 2
        painter.setPen(QPen(look.colour("ink"), look.unit * 0.35))
        low, high = (self._floor - g * a_gram for g in (day.total.low, day.total.high))
        painter.drawLine(QPointF(x, low), QPointF(x, high))

    def _dates(self) -> None:
        look, painter, scale = self._look, self._painter, self._scale
        face, ink2 = look.faces.small, look.colour("ink2")
        ruler = QFontMetricsF(face)
        apart = ruler.horizontalAdvance("Wed 27 March") + look.px(10)
        for day in scale.ticks(apart):
            said = short_day(day, weekday=True)
            room = QRectF(
                scale.edge(day),
                self._floor + look.px(4),
                ruler.horizontalAdvance(said) + 2,
                look.px(16),
            )
            painter.setPen(QPen(ink2, 1))
            x = scale.edge(day) + 0.5
            tick = self._floor + look.px(4)
            painter.drawLine(QPointF(x, self._floor), QPointF(x, tick))
            if room.right() <= scale.right:
                write(painter, room, said, face, ink2)

    def _supply(self, at: int, host: HostView) -> None:
        """Draw where a host is to be had: solid what lies cut, a line an open tree."""
        look, painter = self._look, self._painter
        top = self._floor + look.px(_DATES) + at * look.px(_ROW)
        face = look.faces.small
        swatch = QRectF(0, top + look.px(5), look.px(18), look.px(11))
        texture(painter, look, swatch, at, look.colour("leaf"))
        name = QRectF(look.px(24), top, 0, look.px(_ROW))
        name.setRight(self._scale.left - look.px(8))
        write(painter, name, host.host, face, look.colour("ink"))
        for span in host.reached:
            self._span(span, top + look.px(_ROW) / 2)

    def _span(self, span: Reached, y: float) -> None:
        look, painter, scale = self._look, self._painter, self._scale
        first = max(span.first, scale.first)
        last = min(span.last, scale.last)
        if first > last:
            return
        left = scale.edge(first) + 1
        right = scale.edge(last + timedelta(days=1)) - 1
        half = look.px(4)
        if span.lies_cut:
            box = QRectF(left, y - half, right - left, 2 * half)
            painter.fillRect(box, look.colour("leaf"))
        elif not span.why:
            painter.setPen(dashed(look.colour("leaf"), look.unit * 0.4))
            painter.drawLine(QPointF(left, y), QPointF(right, y))
        else:
            self._wanting(QRectF(left, y - half, right - left, 2 * half), span.why)

    def _wanting(self, box: QRectF, why: str) -> None:
        """Hatch days on which there is none, and write why where there is room."""
        from PySide6.QtGui import QPainterPath

        look, painter = self._look, self._painter
        madder, face = look.colour("madder"), look.faces.small_strong
        path = QPainterPath()
        path.addRect(box)
        hatch_inside(painter, look, path, box, madder)
        painter.setPen(dashed(madder))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        wide = QFontMetricsF(face).horizontalAdvance(why)
        if wide + look.px(12) > box.width():
            return
        room = QRectF(box.center().x() - wide / 2 - look.px(4), 0, 0, look.px(16))
        room.setWidth(wide + look.px(8))
        room.moveTop(box.center().y() - look.px(8))
        painter.fillRect(room, look.colour("page"))
        room.setLeft(room.left() + look.px(4))
        write(painter, room, why, face, madder)

    def _reading(self) -> None:
        """Write the day in hand under the rows, over two lines if it must be."""
        from rearing.desk.widgets.writing import wrap

        look, painter = self._look, self._painter
        face = look.faces.body
        line = QFontMetricsF(face).height()
        top = self._floor + look.px(_DATES) + look.px(4)
        top += len(self._shown.hosts) * look.px(_ROW)
        room = QRectF(0, top, self._scale.right, line)
        for words in wrap(self._shown.words(), face, room.width())[:2]:
            write(painter, room, words, face, look.colour("ink"))
            room.translate(0, line)
