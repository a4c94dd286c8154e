"""Small signs drawn as paths on a 12-unit grid: what is due, done, left, seen."""

from __future__ import annotations

from enum import Enum, auto
from math import ceil, floor
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainterPath, QPen

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from rearing.desk.theme import Look

GRID = 12.0
_STROKE = 1.4


class Mark(Enum):
    """The sign at the head of a line; the word beside it says the same."""

    NONE = auto()
    TICK = auto()
    SQUARE = auto()
    EYE_RING = auto()
    TALLY = auto()
    DIAMOND = auto()
    BARS = auto()
    CROSS = auto()
    MALE = auto()
    FEMALE = auto()
    NOT_LOOKED = auto()


def mark_path(mark: Mark) -> QPainterPath:
    """Return a mark's strokes on the 12-unit grid."""
    path = QPainterPath()
    draw = _STROKES.get(mark)
    if draw is not None:
        draw(path)
    return path


def _lines(path: QPainterPath, *points: tuple[float, float]) -> None:
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)


def _tick(path: QPainterPath) -> None:
    _lines(path, (0.8, 6.8), (4.2, 10.4), (11.4, 1.8))


def _square(path: QPainterPath) -> None:
    path.addRoundedRect(QRectF(1.5, 1.5, 9, 9), 1, 1)


def _eye_ring(path: QPainterPath) -> None:
    path.addEllipse(QPointF(6, 6), 5, 5)
    path.addEllipse(QPointF(6, 6), 1.3, 1.3)


def _tally(path: QPainterPath) -> None:
    for x in (1.5, 4.5, 7.5, 10.5):
        _lines(path, (x, 1.2), (x, 10.8))
    _lines(path, (-0.4, 8.6), (12.4, 3.4))


def _diamond(path: QPainterPath) -> None:
    _lines(path, (6, -0.6), (12.6, 6), (6, 12.6), (-0.6, 6))
    path.closeSubpath()


def _bars(path: QPainterPath) -> None:
    _lines(path, (3.6, 1.6), (3.6, 10.4))
    _lines(path, (8.4, 1.6), (8.4, 10.4))


def _cross(path: QPainterPath) -> None:
    _lines(path, (1.8, 1.8), (10.2, 10.2))
    _lines(path, (10.2, 1.8), (1.8, 10.2))


def _male(path: QPainterPath) -> None:
    path.addEllipse(QPointF(4.8, 7.2), 3.9, 3.9)
    _lines(path, (7.6, 4.4), (11.4, 0.6))
    _lines(path, (8.2, 0.6), (11.4, 0.6), (11.4, 3.8))


def _female(path: QPainterPath) -> None:
    path.addEllipse(QPointF(6, 4), 3.7, 3.7)
    _lines(path, (6, 7.7), (6, 12.4))
    _lines(path, (3.6, 10.2), (8.4, 10.2))


def _not_looked(path: QPainterPath) -> None:
    path.addEllipse(QPointF(6, 6), 4.4, 4.4)


_STROKES = {
    Mark.TICK: _tick,
    Mark.SQUARE: _square,
    Mark.EYE_RING: _eye_ring,
    Mark.TALLY: _tally,
    Mark.DIAMOND: _diamond,
    Mark.BARS: _bars,
    Mark.CROSS: _cross,
    Mark.MALE: _male,
    Mark.FEMALE: _female,
    Mark.NOT_LOOKED: _not_looked,
}
_WEIGHTS = {Mark.TICK: 1.9, Mark.BARS: 1.8, Mark.CROSS: 1.8}


def paint_mark(
    painter: QPainter,
    mark: Mark,
    box: QRectF,
    colour: QColor | str,
    *,
    weight: float = 0,
) -> None:
    """Draw a mark to fill `box`, with strokes in one colour."""
    painter.save()
    painter.setRenderHint(painter.RenderHint.Antialiasing)
    painter.translate(box.topLeft())
    side = min(box.width(), box.height())
    painter.scale(side / GRID, side / GRID)
    pen = QPen(QColor(colour), weight or _WEIGHTS.get(mark, _STROKE))
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(mark_path(mark))
    painter.restore()


def hatch(
    painter: QPainter,
    area: QRectF,
    colour: QColor | str,
    *,
    spacing: float,
    width: float = 1.0,
) -> None:
    """Fill an area with rising 45° lines that run on from area to neighbour.

    Qt's own hatch patterns keep their pixel size on dense screens; these scale.
    """
    painter.save()
    painter.setClipRect(area, Qt.ClipOperation.IntersectClip)
    painter.setRenderHint(painter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(colour), width))
    first = ceil((area.left() + area.top()) / spacing)
    last = floor((area.right() + area.bottom()) / spacing)
    for step in range(first, last + 1):
        at = step * spacing
        painter.drawLine(
            QPointF(at - area.bottom(), area.bottom()),
            QPointF(at - area.top(), area.top()),
        )
    painter.restore()


def pencil_band(
    painter: QPainter, look: Look, band: QRectF, colour: QColor | str
) -> None:
    """Draw an expected band: hatched, with a thin outline."""
    shade = QColor(colour)
    hatch(painter, band, shade, spacing=look.px(5), width=look.unit / 4)
    painter.save()
    painter.setRenderHint(painter.RenderHint.Antialiasing, on=False)
    painter.setPen(QPen(shade, 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(band)
    painter.restore()


def keycap_width(look: Look, cap: str) -> float:
    """Return the width of a keycap lettered `cap`."""
    wide = QFontMetricsF(look.faces.key).horizontalAdvance(cap)
    return max(wide + look.px(13), float(look.px(21)))


def keycap_height(look: Look) -> float:
    """Return the height of a keycap."""
    return QFontMetricsF(look.faces.key).height() + look.px(1)


def paint_keycap(
    painter: QPainter, look: Look, at: QPointF, cap: str, *, quiet: bool = False
) -> QRectF:
    """Draw a key to press with its left middle at `at`; return the room it took."""
    height = keycap_height(look)
    box = QRectF(at.x(), at.y() - height / 2, keycap_width(look, cap), height)
    painter.save()
    painter.setRenderHint(painter.RenderHint.Antialiasing)
    frame = QColor(look.tokens.pencil if quiet else look.tokens.ink)
    painter.setPen(QPen(frame, 1.2))
    painter.setBrush(QBrush(QColor(look.tokens.page)))
    corner = look.px(3)
    painter.drawRoundedRect(box, corner, corner)
    painter.setFont(look.faces.key)
    painter.setPen(QColor(look.tokens.ink2 if quiet else look.tokens.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cap)
    painter.restore()
    return box
