"""Eggs by night: one solid bar a night, its number above, its evening beneath."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.date_scale import short_day
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from PySide6.QtGui import QColor, QPaintEvent

    from rearing.desk.theme import Theme

_SLOT, _BAR = 76, 30


@dataclass(frozen=True, slots=True)
class NightBar:
    """The eggs of one night; None where nobody wrote any down."""

    evening: date
    number: int | None
    about: str = ""

    @property
    def words(self) -> str:
        """The night and its number in words."""
        number = "not entered" if self.number is None else f"{self.about}{self.number}"
        return f"{short_day(self.evening, weekday=True)} {number}"


class NightBars(QWidget):
    """Draws the nights from left to right; one not entered is a hole, not nought."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._bars: tuple[NightBar, ...] = ()
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def tell(self, bars: Sequence[NightBar]) -> None:
        """Show other nights."""
        self._bars = tuple(bars)
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.updateGeometry()
        self.update()

    def sentence(self) -> str:
        """Return the nights in words."""
        return ", ".join(bar.words for bar in self._bars) or "none entered"

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(_SLOT) * max(len(self._bars), 1), look.px(116))

    def minimumSizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(200), look.px(116))

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._bars:
            return
        look = self._theme.look
        painter = QPainter(self)
        slot = min(float(look.px(_SLOT)), self.width() / len(self._bars))
        floor = self.height() - look.px(22)
        most = max(max(bar.number or 0 for bar in self._bars), 1)
        whole = floor - look.px(24)
        painter.setPen(QPen(look.colour("rule2"), 1))
        end = slot * len(self._bars)
        painter.drawLine(QPointF(0, floor + 0.5), QPointF(end, floor + 0.5))
        for at, bar in enumerate(self._bars):
            room = QRectF(at * slot, 0, slot, floor)
            self._bar(painter, bar, room, whole * (bar.number or 0) / most)
        if self.hasFocus():
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _bar(
        self, painter: QPainter, bar: NightBar, room: QRectF, height: float
    ) -> None:
        look = self._theme.look
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        middle, floor = room.center().x(), room.bottom()
        wide = min(look.px(_BAR), room.width() - 4)
        if bar.number is None:
            word, face, shade = "not entered", look.faces.pencil_small, ink2
        else:
            word, face, shade = f"{bar.about}{bar.number}", look.faces.numeral, ink
            box = QRectF(middle - wide / 2, floor - height, wide, height)
            painter.fillRect(box, ink)
        above = QRectF(room.left(), floor - height - look.px(20), room.width(), 0)
        above.setHeight(look.px(18))
        self._centred(painter, above, word, face, shade)
        beneath = QRectF(room.left(), floor + look.px(3), room.width(), look.px(18))
        night = short_day(bar.evening)
        self._centred(painter, beneath, night, look.faces.small, ink2)

    def _centred(
        self, painter: QPainter, box: QRectF, text: str, face: QFont, shade: QColor
    ) -> None:
        wide = QFontMetricsF(face).horizontalAdvance(text)
        left = max((box.width() - wide) / 2, 0.0)
        write(painter, box.adjusted(left, 0, 0, 0), text, face, shade)
