"""Past windows as dots: filled where one held, a crossed ring where it did not."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from rearing.desk.theme import Theme
    from rearing.keeping.past_windows import Account

_PITCH, _LINE, _HEAD, _GAP, _RADIUS = 10, 12, 20, 8, 3.6


class PastDots(QWidget):
    """Draws rows of dots, each under its name and figures."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._rows: tuple[tuple[str, Account], ...] = ()
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        theme.changed.connect(self.updateGeometry)

    def tell(self, rows: Sequence[tuple[str, Account]]) -> None:
        """Show other rows; those without a window are left out."""
        self._rows = tuple(row for row in rows if row[1].windows)
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.setVisible(bool(self._rows))
        self.updateGeometry()
        self.update()

    def sentence(self) -> str:
        """Return all of it in words."""
        return ". ".join(f"{name}: {figures(one)}" for name, one in self._rows)

    def _in_line(self, width: float) -> int:
        return max(int(width // self._theme.look.px(_PITCH)), 1)

    def _height(self, number: int, width: float) -> int:
        look = self._theme.look
        lines = ceil(number / self._in_line(width))
        return look.px(_HEAD) + lines * look.px(_LINE) + look.px(_GAP)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return sum(self._height(len(one.windows), width) for _, one in self._rows)

    def sizeHint(self) -> QSize:
        look = self._theme.look
        wide = self.width() if self.width() > look.px(200) else look.px(360)
        return QSize(look.px(360), self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._theme.look.px(200), self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        y, wide = 0.0, float(self.width())
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        for name, account in self._rows:
            head = QRectF(0, y, wide, look.px(_HEAD))
            write(painter, head, figures(account), look.faces.small, ink2, right=True)
            write(painter, head, name, look.faces.body_strong, ink)
            self._dots(painter, account, y + look.px(_HEAD))
            y += self._height(len(account.windows), wide)
        painter.end()

    def _dots(self, painter: QPainter, account: Account, top: float) -> None:
        look = self._theme.look
        in_line, radius = self._in_line(self.width()), look.unit * _RADIUS / 4
        ink = look.colour("ink")
        painter.setPen(QPen(ink, look.unit * 0.3))
        for at, past in enumerate(account.windows):
            x = look.px(_PITCH) * (at % in_line + 0.5)
            y = top + look.px(_LINE) * (at // in_line + 0.5)
            held = past.window.held
            painter.setBrush(ink if held else Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QPointF(x, y), radius, radius)
            if not held:
                a = radius * 1.25
                painter.drawLine(QPointF(x - a, y + a), QPointF(x + a, y - a))


def figures(account: Account) -> str:
    """Return how many held, with the interval and the mean error."""
    found = account.score
    if found is None:
        return "none"
    held = found.held
    calendar = found.calendar_error_days
    beside = "" if calendar is None else f", calendar {calendar:.1f} d"
    return (
        f"{account.held} of {found.number} held ({held.low:.0%} to {held.high:.0%}), "
        f"off by {found.error_days:.1f} d{beside}"
    )
