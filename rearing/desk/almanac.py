"""The corner at the foot of the rail: the home's name and what it is told to say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPalette, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.theme import Theme


@dataclass(frozen=True, slots=True)
class AlmanacLine:
    """A name at the left and its value at the right; without a value, a remark."""

    name: str
    value: str = ""


class Almanac(QWidget):
    """Shows only what it is given; nothing in it can be pressed.

    `refitted` when it may want another width.
    """

    refitted = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._home = ""
        self._lines: tuple[AlmanacLine, ...] = ()
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Window)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    def tell(self, home: str, lines: tuple[AlmanacLine, ...] = ()) -> None:
        """Show the home's name and a few lines under it."""
        self._home, self._lines = home, lines
        said = [home, *(f"{line.name} {line.value}".strip() for line in lines)]
        self.setAccessibleName(". ".join(part for part in said if part))
        self.updateGeometry()
        self.update()
        self.refitted.emit()

    def sizeHint(self) -> QSize:
        look = self._theme.look
        if not self._home and not self._lines:
            return QSize(look.px(140), look.px(8))
        name, value = self._rulers()
        widest = max(
            (
                name.horizontalAdvance(line.name) + value.horizontalAdvance(line.value)
                for line in self._lines
            ),
            default=0,
        )
        home = QFontMetricsF(look.faces.lead_quiet).horizontalAdvance(self._home)
        width = max(widest + look.px(8), home) + look.px(38)
        height = look.px(40 + 19 * len(self._lines) + 18)
        return QSize(int(width), height)

    def _rulers(self) -> tuple[QFontMetricsF, QFontMetricsF]:
        faces = self._theme.look.faces
        return QFontMetricsF(faces.small), QFontMetricsF(faces.small_strong)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        painter.setPen(QPen(look.colour("rule2"), 1))
        right = self.width() - 0.5
        painter.drawLine(QPointF(right, 0), QPointF(right, self.height()))
        if self._home or self._lines:
            left, end = look.px(20), self.width() - look.px(17)
            painter.drawLine(QPointF(left, 0.5), QPointF(end, 0.5))
            row = QRectF(left, look.px(4), end - left, look.px(25))
            write(painter, row, self._home, look.faces.lead_quiet, look.colour("ink"))
            row = QRectF(left, look.px(36), end - left, look.px(19))
            for line in self._lines:
                ink2, ink = look.colour("ink2"), look.colour("ink")
                strong = look.faces.small_strong
                wide = write(painter, row, line.value, strong, ink, right=True)
                # a long name is shortened, its value never
                left_of = row.adjusted(0, 0, -wide - look.px(8) if wide else 0, 0)
                write(painter, left_of, line.name, look.faces.small, ink2)
                row.translate(0, look.px(19))
        painter.end()
