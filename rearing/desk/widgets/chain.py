"""Where a brood came from: a chain of links, each step with a word under it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent

    from rearing.desk.theme import Theme

_ARROW = 40


@dataclass(frozen=True, slots=True)
class Step:
    """One step: its words, what stands under them, and what a link leads to."""

    words: str
    under: str = ""
    kind: str = ""
    target: object = None


class Link(QAbstractButton):
    """Words that lead somewhere, with a remark under them; Enter or a click follows."""

    def __init__(self, theme: Theme, step: Step, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.step = step
        self.setText(step.words)
        self.setAccessibleName(f"{step.words}, {step.under}".rstrip(", "))
        leads = bool(step.kind)
        self.setFocusPolicy(
            Qt.FocusPolicy.StrongFocus if leads else Qt.FocusPolicy.NoFocus
        )
        if leads:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        theme.changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        look = self._theme.look
        words = QFontMetricsF(look.faces.lead_quiet).horizontalAdvance(self.step.words)
        under = QFontMetricsF(look.faces.small).horizontalAdvance(self.step.under)
        return QSize(int(max(words, under)) + look.px(6), look.px(42))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.click()
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        leads = bool(self.step.kind)
        if self.hasFocus():
            painter.fillRect(self.rect(), look.colour("blue_wash"))
        shade = look.colour("blue" if leads else "ink")
        box = QRectF(look.px(2), 0, self.width(), look.px(24))
        face = look.faces.lead_quiet
        wide = write(painter, box, self.step.words, face, shade)
        if leads:
            painter.setPen(QPen(shade, 1))
            y = box.bottom() - look.px(3)
            painter.drawLine(QPointF(box.left(), y), QPointF(box.left() + wide, y))
        box = QRectF(look.px(2), look.px(22), self.width(), look.px(18))
        write(painter, box, self.step.under, look.faces.small, look.colour("ink2"))
        painter.end()


class Chain(QWidget):
    """Steps from left to right with arrows between, going on below when full.

    `followed(kind, target)` when a link is followed.
    """

    followed = Signal(str, object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._links: list[Link] = []
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        theme.changed.connect(self._arrange)

    def links(self) -> tuple[Link, ...]:
        """Return the steps shown."""
        return tuple(self._links)

    def tell(self, steps: Sequence[Step]) -> None:
        """Show other steps."""
        for link in self._links:
            link.hide()
            link.deleteLater()
        self._links = [Link(self._theme, step, self) for step in steps]
        for link in self._links:
            link.clicked.connect(self._follow)
            link.show()
        self.setAccessibleName(", then ".join(step.words for step in steps))
        self._arrange()

    def _follow(self) -> None:
        link = self.sender()
        if isinstance(link, Link) and link.step.kind:
            self.followed.emit(link.step.kind, link.step.target)

    def _places(self, width: float) -> list[tuple[float, float]]:
        look = self._theme.look
        places: list[tuple[float, float]] = []
        x = y = 0.0
        for link in self._links:
            wide = link.sizeHint().width()
            if x and x + wide > width:
                x, y = float(look.px(_ARROW)), y + look.px(46)
            places.append((x, y))
            x += wide + look.px(_ARROW)
        return places

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        places = self._places(width)
        last = places[-1][1] if places else 0.0
        return int(last) + self._theme.look.px(44)

    def sizeHint(self) -> QSize:
        wide = self.width() or self._theme.look.px(500)
        return QSize(self._theme.look.px(300), self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(200), look.px(44))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()

    def _arrange(self) -> None:
        for link, (x, y) in zip(self._links, self._places(self.width()), strict=True):
            wide = min(link.sizeHint().width(), max(self.width() - int(x), 1))
            link.setGeometry(int(x), int(y), wide, link.sizeHint().height())
        self.updateGeometry()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = look.colour("ink2")
        for link in self._links[1:]:
            tip = link.x() - look.px(6)
            tail = tip - look.px(_ARROW - 12)
            y = link.y() + look.px(12)
            painter.setPen(QPen(ink, look.unit * 0.3))
            painter.drawLine(QPointF(tail, y), QPointF(tip - 2, y))
            head = QPainterPath(QPointF(tip, y))
            head.lineTo(tip - look.px(7), y - look.px(3))
            head.lineTo(tip - look.px(7), y + look.px(3))
            head.closeSubpath()
            painter.fillPath(head, ink)
        painter.end()
