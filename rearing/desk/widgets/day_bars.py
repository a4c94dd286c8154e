"""A solid bar a day for what was weighed; a day not weighed is a hole with its word."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.date_scale import DateScale, short_day
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme

_HEIGHT = 118


@dataclass(frozen=True, slots=True)
class DayBar:
    """A day's weight [g]; `whole` is False where something was not weighed."""

    on: date
    grams: float
    whole: bool = True


class DayBars(QWidget):
    """Draws the days from the first to today on one axis."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._bars: tuple[DayBar, ...] = ()
        self._until: date | None = None
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def tell(self, bars: Sequence[DayBar], until: date) -> None:
        """Show other days, up to one."""
        self._bars, self._until = tuple(bars), until
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.updateGeometry()
        self.update()

    def sentence(self) -> str:
        """Return the heaviest day and the last in words."""
        weighed = [bar for bar in self._bars if bar.grams]
        if not weighed:
            return "nothing weighed"
        most, last = max(weighed, key=lambda bar: bar.grams), weighed[-1]
        return (
            f"most on {short_day(most.on)}, {most.grams:.0f} g; "
            f"last {short_day(last.on)}, {last.grams:.0f} g"
        )

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(420), look.px(_HEIGHT))

    def minimumSizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(200), look.px(_HEIGHT))

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._bars or self._until is None:
            return
        look = self._theme.look
        painter = QPainter(self)
        ruler = QFontMetricsF(look.faces.small)
        most = max(bar.grams for bar in self._bars)
        left = ruler.horizontalAdvance(f"{most:.0f} g") + look.px(10)
        scale = DateScale(self._bars[0].on, self._until, left, self.width() - 1.0)
        top, floor = float(look.px(12)), float(self.height() - look.px(22))
        self._axis(painter, scale, top, floor, most)
        for bar in self._bars:
            self._bar(painter, scale, bar, floor, (floor - top) / max(most, 1))
        if self.hasFocus():
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _axis(
        self, painter: QPainter, scale: DateScale, top: float, floor: float, most: float
    ) -> None:
        look = self._theme.look
        face, ink2 = look.faces.small, look.colour("ink2")
        for part in (1.0, 0.5):
            y = round(floor - (floor - top) * part) + 0.5
            painter.setPen(QPen(look.colour("rule"), 1))
            painter.drawLine(QPointF(scale.left, y), QPointF(scale.right, y))
            box = QRectF(0, y - look.px(9), scale.left - look.px(6), look.px(18))
            write(painter, box, f"{most * part:.0f} g", face, ink2, right=True)
        painter.setPen(QPen(look.colour("rule2"), 1))
        painter.drawLine(
            QPointF(scale.left, floor + 0.5), QPointF(scale.right, floor + 0.5)
        )
        apart = QFontMetricsF(face).horizontalAdvance("27 March") + look.px(14)
        for day in scale.ticks(apart):
            wide = QFontMetricsF(face).horizontalAdvance(short_day(day))
            box = QRectF(scale.edge(day), floor + look.px(3), wide, look.px(18))
            if box.right() <= scale.right:
                write(painter, box, short_day(day), face, ink2)

    def _bar(
        self, painter: QPainter, scale: DateScale, bar: DayBar, floor: float, one: float
    ) -> None:
        look = self._theme.look
        wide = max(scale.x(bar.on) - scale.edge(bar.on), 0.5) * 2
        room = min(wide * 0.76, float(look.px(26)))
        left = scale.x(bar.on) - room / 2
        box = QRectF(left, floor - bar.grams * one, room, bar.grams * one)
        if bar.grams:
            painter.fillRect(box, look.colour("larva"))
        if not bar.whole:
            # the same broken outline as everything that is known to be wanting
            pen = QPen(look.colour("ink2"), 1)
            pen.setDashPattern([3, 2])
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            top = box.top() - look.px(7)
            painter.drawRect(QRectF(left, top, room, look.px(7)))
