"""Losses, one mark an animal: egg open, dead in shell dotted, larva filled."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from rearing.desk.theme import Theme

MOST_MARKS = 40
_ROW, _PITCH, _RADIUS = 26, 14, 5.2


class LossKind(Enum):
    """What was lost, which decides its mark."""

    EGG = auto()
    DEAD_IN_SHELL = auto()
    ANIMAL = auto()
    UNACCOUNTED = auto()


@dataclass(frozen=True, slots=True)
class Loss:
    """So many lost in one way, with its word."""

    kind: LossKind
    number: int
    word: str


class Losses(QWidget):
    """Draws the losses in a row that goes on below when it is full."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._name = name
        self._losses: tuple[Loss, ...] = ()
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        theme.changed.connect(self.updateGeometry)

    def tell(self, losses: Sequence[Loss]) -> None:
        """Show other losses; those of none are left out."""
        self._losses = tuple(loss for loss in losses if loss.number)
        self.setAccessibleName(f"{self._name}. {self.sentence()}")
        self.updateGeometry()
        self.update()

    def sentence(self) -> str:
        """Return all of it in words."""
        said = ", ".join(f"{loss.number} {loss.word}" for loss in self._losses)
        return said or "none"

    def _marks_width(self, loss: Loss) -> float:
        look = self._theme.look
        if loss.number > MOST_MARKS:
            return float(look.px(120))
        return float(loss.number * look.px(_PITCH))

    def _places(self, width: float) -> list[tuple[Loss, float, int]]:
        """Return each loss with its x and row."""
        look = self._theme.look
        ruler = QFontMetricsF(look.faces.body)
        places, x, row = [], 0.0, 0
        for loss in self._losses:
            words = ruler.horizontalAdvance(f"{loss.number} {loss.word}")
            wide = self._marks_width(loss) + words + look.px(16)
            if x and x + wide > width:
                x, row = 0.0, row + 1
            places.append((loss, x, row))
            x += wide + look.px(22)
        return places

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        places = self._places(width)
        rows = places[-1][2] + 1 if places else 1
        return rows * self._theme.look.px(_ROW)

    def sizeHint(self) -> QSize:
        wide = self.width() or self._theme.look.px(500)
        return QSize(self._theme.look.px(300), self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(200), look.px(_ROW))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        for loss, x, row in self._places(self.width()):
            box = QRectF(x, row * look.px(_ROW), self.width() - x, look.px(_ROW))
            self._marks(painter, loss, box)
            box.setLeft(x + self._marks_width(loss) + look.px(5))
            number = f"{loss.number} "
            wide = write(painter, box, number, look.faces.body_strong, ink)
            box.setLeft(box.left() + wide + look.px(2))
            write(painter, box, loss.word, look.faces.body, ink2)
        if not self._losses:
            box = QRectF(0, 0, self.width(), look.px(_ROW))
            write(painter, box, "none", look.faces.body, ink2)
        if self.hasFocus():
            painter.setPen(QPen(look.colour("blue"), 1, Qt.PenStyle.DashLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _marks(self, painter: QPainter, loss: Loss, box: QRectF) -> None:
        look = self._theme.look
        middle = box.center().y()
        if loss.number > MOST_MARKS:
            wide = self._marks_width(loss) - look.px(6)
            bar = QRectF(box.left(), middle - look.px(5), wide, look.px(10))
            self._pen(painter, loss.kind)
            painter.drawRect(bar)
            return
        radius = look.unit * _RADIUS / 4
        for at in range(loss.number):
            x = box.left() + look.px(_PITCH) * (at + 0.5)
            self._pen(painter, loss.kind)
            painter.drawEllipse(QPointF(x, middle), radius, radius)
            if loss.kind is LossKind.DEAD_IN_SHELL:
                painter.setBrush(look.colour("ink"))
                painter.drawEllipse(QPointF(x, middle), radius / 3.4, radius / 3.4)

    def _pen(self, painter: QPainter, kind: LossKind) -> None:
        look = self._theme.look
        pen = QPen(look.colour("ink"), look.unit * 0.34)
        if kind is LossKind.UNACCOUNTED:
            pen.setDashPattern([2.2, 1.8])
        painter.setPen(pen)
        filled = kind is LossKind.ANIMAL
        painter.setBrush(look.colour("ink") if filled else Qt.BrushStyle.NoBrush)
