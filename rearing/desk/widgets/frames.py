"""The frame of a field that is filled: a pencil line, blue and double when in hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPalette, QPen

from rearing.desk.widgets.marks import GRID, Mark, mark_path

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

_CHEVRON_MOST = 9.0


def paint_frame(painter: QPainter, field: QWidget, *, focus: bool) -> None:
    """Draw the frame round a field, from its own palette."""
    role = QPalette.ColorRole.Link if focus else QPalette.ColorRole.PlaceholderText
    wide = 2.0 if focus else 1.0
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(field.palette().color(role), wide))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    inner = wide / 2
    box = QRectF(field.rect()).adjusted(inner, inner, -inner, -inner)
    painter.drawRoundedRect(box, 2, 2)


def dim_caret(painter: QPainter, field: QWidget, caret: QRect) -> None:
    """Give the caret the view's ink on black ground, where Qt's own is white.

    Qt inverts what lies under it; black is inverted to white, which blinds at the lamp.
    """
    colours = field.palette()
    if colours.color(QPalette.ColorRole.Base) != QColor(Qt.GlobalColor.black):
        return
    painter.setCompositionMode(
        QPainter.CompositionMode.RasterOp_SourceAndDestination,
    )
    painter.fillRect(caret, colours.color(QPalette.ColorRole.Text))


def paint_ground(painter: QPainter, field: QWidget) -> None:
    """Fill a field with the page's colour."""
    painter.fillRect(field.rect(), field.palette().color(QPalette.ColorRole.Base))


def paint_chevron(painter: QPainter, field: QWidget) -> float:
    """Draw the sign that a list opens, at the right; return the room it takes."""
    # no further in than the style's own arrow, which an editable list leaves free
    side = min(field.fontMetrics().height() * 0.36, _CHEVRON_MOST)
    x, y = field.width() - side - 7, field.height() / 2
    path = QPainterPath(QPointF(x, y - side / 4))
    path.lineTo(x + side / 2, y + side / 4)
    path.lineTo(x + side, y - side / 4)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(field.palette().color(QPalette.ColorRole.Text), 1.4))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
    return side + 10


def paint_box(painter: QPainter, field: QWidget, side: float, *, ticked: bool) -> None:
    """Draw a box to tick at the left middle of a field."""
    colours = field.palette()
    top = (field.height() - side) / 2
    box = QRectF(1.5, top, side, side)
    role = QPalette.ColorRole.Link if field.hasFocus() else QPalette.ColorRole.Text
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colours.color(role), 2.0 if field.hasFocus() else 1.2))
    painter.setBrush(colours.color(QPalette.ColorRole.Base))
    painter.drawRoundedRect(box, 2, 2)
    if ticked:
        painter.save()
        painter.translate(box.left() + side * 0.1, box.top() + side * 0.1)
        painter.scale(side * 0.8 / GRID, side * 0.8 / GRID)
        painter.setPen(QPen(colours.color(QPalette.ColorRole.Text), 2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(mark_path(Mark.TICK))
        painter.restore()
