"""Windows as stairs of hatched bands, what was seen as solid bars, and today's line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.date_scale import DateScale, short_day, span_words
from rearing.desk.widgets.marks import pencil_band
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from rearing.desk.theme import Look, Theme

_BAND, _STEP, _ROW_PAD = 9, 16, 11
_SOON = timedelta(days=14)
_NAME_SHARE = 0.3
_LEAST_AXIS_SHARE = 0.42
_NAME_LINE = 20


@dataclass(frozen=True, slots=True)
class Band:
    """An 80 % window: earliest, middle and latest day, and the word at its left."""

    word: str
    low: date
    middle: date
    high: date
    open_end: bool = False
    """The latest day lies beyond what was looked at."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A stretch that was seen, drawn solid."""

    low: date
    high: date


@dataclass(frozen=True, slots=True)
class WindowRow:
    """One event: its name, its windows, what was seen, a remark instead of dates.

    A heading names the group that the rows after it are of.
    """

    name: str
    bands: tuple[Band, ...] = ()
    seen: tuple[Seen, ...] = ()
    remark: str = ""
    heading: bool = False


def _day(when: date) -> date:
    return when.date() if isinstance(when, datetime) else when


class WindowsPlot(QWidget):
    """Draws rows of windows on one axis, with the dates in words at the right."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._rows: tuple[WindowRow, ...] = ()
        self._today: date = date.min
        self._measured: tuple[float, float] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self._dress)

    def _dress(self) -> None:
        self._measured = None
        self.updateGeometry()

    def tell(self, rows: Sequence[WindowRow], today: date) -> None:
        """Show other windows, seen from `today` (a day or a local moment)."""
        self._rows, self._today = tuple(rows), today
        self._measured = None
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.updateGeometry()
        self.update()

    def sentence(self) -> str:
        """Return all of it in words."""
        said = []
        for row in self._rows:
            parts = [row.remark] if row.remark else []
            parts += [f"{b.word} {self._words(b)}".strip() for b in row.bands]
            said.append(f"{row.name}: {', '.join(parts)}")
        return ". ".join(said)

    def _words(self, band: Band) -> str:
        soon = _day(band.middle) - _day(self._today) <= _SOON
        days = (_day(band.low), _day(band.middle), _day(band.high))
        said = span_words(*days, weekday=soon)
        return f"{said.removesuffix(')')} or later)" if band.open_end else said

    # measuring

    def _row_height(self, row: WindowRow) -> int:
        look = self._theme.look
        if row.heading:
            return look.px(_NAME_LINE + 4)
        above = look.px(_NAME_LINE) if self._names_above() else 0
        return look.px(_STEP) * max(len(row.bands), 1) + look.px(_ROW_PAD) + above

    def sizeHint(self) -> QSize:
        look = self._theme.look
        rows = sum(self._row_height(row) for row in self._rows)
        return QSize(look.px(560), rows + look.px(26 + 24))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(300), self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._dress()

    def _names_above(self) -> bool:
        """Tell whether names stand above their bands, for want of room beside."""
        left, right = self._beside()
        return right - left < self.width() * _LEAST_AXIS_SHARE

    def _columns(self) -> tuple[float, float]:
        """Return where the axis begins and ends: after the names, before the dates."""
        left, right = self._beside()
        return (0.0 if self._names_above() else left), right

    def _beside(self) -> tuple[float, float]:
        if self._measured is None:
            self._measured = self._measure()
        return self._measured

    def _measure(self) -> tuple[float, float]:
        look = self._theme.look
        name = QFontMetricsF(look.faces.body_strong)
        words = QFontMetricsF(look.faces.pencil)
        rows = [row for row in self._rows if not row.heading]
        names = max((name.horizontalAdvance(r.name) for r in rows), default=0)
        dates = max(
            (
                max(
                    [words.horizontalAdvance(r.remark)]
                    + [words.horizontalAdvance(self._words(b)) for b in r.bands]
                )
                for r in rows
            ),
            default=0,
        )
        most = self.width() * _NAME_SHARE
        left = min(names, most) + look.px(24)
        return left, max(self.width() - dates - look.px(14), left + look.px(60))

    def _scale(self) -> DateScale:
        days = [_day(self._today)]
        for row in self._rows:
            days += [_day(d) for band in row.bands for d in (band.low, band.high)]
            days += [_day(d) for seen in row.seen for d in (seen.low, seen.high)]
        first, last = min(days) - timedelta(days=1), max(days) + timedelta(days=2)
        left, right = self._columns()
        word = QFontMetricsF(self._theme.look.faces.pencil_small)
        room = word.horizontalAdvance("first") + self._theme.look.px(8)
        return DateScale(first, last, left + room, right)

    # drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._rows:
            return
        painter = QPainter(self)
        scale = self._scale()
        look = self._theme.look
        top, bottom = look.px(24), self.height() - look.px(22)
        self._axis(painter, scale, top, bottom)
        y = float(top)
        for row in self._rows:
            self._row(painter, scale, row, y)
            y += self._row_height(row)
        self._today_line(painter, scale, top, bottom)
        y = float(top)
        for row in self._rows:
            if row.heading:
                self._heading(painter, row, y)
            y += self._row_height(row)
        if self.hasFocus():
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _axis(
        self, painter: QPainter, scale: DateScale, top: float, bottom: float
    ) -> None:
        look = self._theme.look
        face = look.faces.small
        apart = QFontMetricsF(face).horizontalAdvance("27 March") + look.px(14)
        for day in scale.ticks(apart):
            x = round(scale.edge(day)) + 0.5
            painter.setPen(QPen(look.colour("rule"), 1))
            painter.drawLine(QPointF(x, top), QPointF(x, bottom))
            wide = QFontMetricsF(face).horizontalAdvance(short_day(day))
            box = QRectF(x - wide / 2, 0, wide, look.px(20))
            if box.right() <= scale.right + wide / 2:
                write(painter, box, short_day(day), face, look.colour("ink2"))

    def _today_line(
        self, painter: QPainter, scale: DateScale, top: float, bottom: float
    ) -> None:
        look = self._theme.look
        x = scale.x(self._today)
        madder = look.colour("madder")
        painter.setPen(QPen(madder, look.unit * 0.45))
        painter.drawLine(QPointF(x, top), QPointF(x, bottom + look.px(2)))
        face = look.faces.small_strong
        wide = QFontMetricsF(face).horizontalAdvance("today")
        box = QRectF(x - wide / 2, bottom + look.px(3), wide, look.px(16))
        write(painter, box, "today", face, madder)

    def _row(
        self, painter: QPainter, scale: DateScale, row: WindowRow, top: float
    ) -> None:
        look = self._theme.look
        if row.heading:
            return
        left, _ = self._columns()
        y = top + look.px(_ROW_PAD) / 2
        name = QRectF(0, top, left - look.px(12), self._row_height(row))
        if self._names_above():
            name = QRectF(0, y, self.width(), look.px(_NAME_LINE))
            y += look.px(_NAME_LINE)
        write(painter, name, row.name, look.faces.body_strong, look.colour("ink"))
        middle = y + look.px(_STEP) / 2
        for seen in row.seen:
            box = self._box(scale, seen.low, seen.high, middle)
            painter.fillRect(box, look.colour("ink"))
        if row.remark:
            box = QRectF(0, y, self.width(), look.px(_STEP))
            face, ink2 = look.faces.body, look.colour("ink2")
            write(painter, box, row.remark, face, ink2, right=True)
        for band in row.bands:
            self._band(painter, scale, band, middle)
            middle += look.px(_STEP)

    def _heading(self, painter: QPainter, row: WindowRow, top: float) -> None:
        look = self._theme.look
        box = QRectF(0, top, self.width(), look.px(_NAME_LINE + 4))
        ruler = QFontMetricsF(look.faces.lead)
        wide = ruler.horizontalAdvance(row.name) + look.px(8)
        painter.fillRect(QRectF(0, top, wide, box.height()), look.colour("page"))
        write(painter, box, row.name, look.faces.lead, look.colour("ink"))
        ink2 = look.colour("ink2")
        write(painter, box, row.remark, look.faces.body, ink2, right=True)

    def _box(self, scale: DateScale, low: date, high: date, middle: float) -> QRectF:
        look = self._theme.look
        half = look.px(_BAND) / 2
        left, right = scale.x(low), scale.x(high)
        return QRectF(left, middle - half, max(right - left, 2.0), half * 2)

    def _band(
        self, painter: QPainter, scale: DateScale, band: Band, middle: float
    ) -> None:
        look = self._theme.look
        box = self._box(scale, band.low, band.high, middle)
        painter.fillRect(box, look.colour("page"))
        pencil_band(painter, look, box, look.colour("ink2"))
        x = scale.x(band.middle)
        painter.setPen(QPen(look.colour("ink"), look.unit * 0.65))
        over = look.px(2)
        painter.drawLine(QPointF(x, box.top() - over), QPointF(x, box.bottom() + over))
        self._band_words(painter, look, box, band, scale.x(self._today))

    def _band_words(
        self, painter: QPainter, look: Look, box: QRectF, band: Band, today: float
    ) -> None:
        face, pencil = look.faces.pencil_small, look.colour("ink2")
        wide = QFontMetricsF(face).horizontalAdvance(band.word)
        row = QRectF(0, box.center().y() - look.px(8), 0, look.px(16))
        left = box.left() - wide - look.px(6)
        if left < today + 3 and today - 3 < box.left():
            left = box.right() + look.px(6)
        row.setLeft(left)
        row.setRight(left + wide)
        if band.word:
            behind = row.adjusted(-2, 1, 2, -1)
            painter.fillRect(behind, look.colour("page"))
            write(painter, row, band.word, face, pencil)
        row.setLeft(0)
        row.setRight(self.width())
        face = look.faces.pencil
        write(painter, row, self._words(band), face, pencil, right=True)
