"""The strokes of the season: hatches inside a shape, whiskers, textures of hosts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

if TYPE_CHECKING:
    from rearing.desk.theme import Look

TEXTURES = (
    *("solid", "slanting", "dotted", "lying", "standing"),
    *("crossed", "netted", "falling"),
)
_DASH = (3.0, 2.0)


def faint(colour: QColor, alpha: float) -> QColor:
    """Return a colour let through so far."""
    other = QColor(colour)
    other.setAlphaF(alpha)
    return other


def dashed(colour: QColor, width: float = 1.0) -> QPen:
    """Return the pen of expected outlines."""
    pen = QPen(colour, width)
    pen.setDashPattern(list(_DASH))
    return pen


def hatch_inside(
    painter: QPainter, look: Look, path: QPainterPath, within: QRectF, colour: QColor
) -> None:
    """Hatch the part of a shape that lies within a box."""
    painter.save()
    painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
    painter.setPen(QPen(colour, look.unit / 4))
    # all lines at once: one by one they took longer than everything else together
    painter.drawLines(_aslant(within, look.px(5), rising=True))
    painter.restore()


def whisker(
    painter: QPainter,
    look: Look,
    y: float,
    span: tuple[float, float, float],
    colour: QColor,
    *,
    open_end: bool = False,
) -> None:
    """Draw an 80 % window as a line with ends and a tick at its middle."""
    low, middle, high = span
    half = look.px(3)
    painter.setPen(QPen(colour, look.unit * 0.3))
    painter.drawLine(QPointF(low, y), QPointF(high, y))
    painter.drawLine(QPointF(low, y - half), QPointF(low, y + half))
    if not open_end:
        painter.drawLine(QPointF(high, y - half), QPointF(high, y + half))
    painter.setPen(QPen(colour, look.unit * 0.65))
    tall = look.px(4)
    painter.drawLine(QPointF(middle, y - tall), QPointF(middle, y + tall))


def texture(
    painter: QPainter,
    look: Look,
    box: QRectF,
    at: int,
    colour: QColor,
    *,
    expected: bool = False,
) -> None:
    """Fill a bar with the texture of a host and frame it, broken when expected."""
    kind = TEXTURES[at % len(TEXTURES)]
    # whole pixels: a bar that begins within one takes four times as long to fill
    box = QRectF(box.toRect())
    if kind == "solid":
        painter.fillRect(box, faint(colour, 0.4) if expected else colour)
    else:
        painter.fillRect(box, faint(colour, 0.08 if expected else 0.22))
        _lines(painter, look, box, kind, faint(colour, 0.6 if expected else 1.0))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    painter.setPen(dashed(colour) if expected else QPen(colour, 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    painter.restore()


def _lines(
    painter: QPainter, look: Look, box: QRectF, kind: str, colour: QColor
) -> None:
    painter.save()
    painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
    pen = QPen(colour, look.unit / 4)
    if kind == "dotted":
        pen = QPen(colour, look.unit * 0.4)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setDashPattern([0.1, look.px(4) / pen.widthF()])
    painter.setPen(pen)
    lines: list[QLineF] = []
    if kind in {"slanting", "crossed"}:
        lines += _aslant(box, look.px(5), rising=True)
    if kind in {"falling", "crossed"}:
        lines += _aslant(box, look.px(5), rising=False)
    if kind in {"standing", "netted"}:
        lines += [
            QLineF(x, box.top(), x, box.bottom())
            for x in _every(box.left(), box.right(), look.px(4))
        ]
    if kind in {"lying", "netted", "dotted"}:
        lines += [
            QLineF(box.left() + 1.5, y, box.right(), y)
            for y in _every(box.top(), box.bottom(), look.px(4))
        ]
    painter.drawLines(lines)
    painter.restore()


def _every(low: float, high: float, apart: float) -> list[float]:
    """Return places so far apart that neighbours' lines run on."""
    return [
        step * apart + apart / 2
        for step in range(int(low // apart), int(high // apart) + 1)
    ]


def _aslant(box: QRectF, apart: float, *, rising: bool) -> list[QLineF]:
    """Return lines at 45° over a box, that run on from box to box."""
    way = 1 if rising else -1
    low, high = sorted((way * box.top(), way * box.bottom()))
    found = []
    for step in range(
        int((box.left() + low) // apart), int((box.right() + high) // apart) + 1
    ):
        at = step * apart
        top, bottom = at - way * box.top(), at - way * box.bottom()
        found.append(QLineF(bottom, box.bottom(), top, box.top()))
    return found
