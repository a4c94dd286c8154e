"""Draws one brood's ribbon: beads, a swelling larva, a capsule, ticks for moths."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QFontMetricsF,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
)

from rearing.desk.pages.season_moths import MothPainter
from rearing.desk.pages.season_strokes import dashed, faint, hatch_inside
from rearing.desk.widgets.writing import write
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Look
    from rearing.desk.widgets.date_scale import DateScale
    from rearing.keeping.ribbons import Piece
    from rearing.keeping.season_rows import Ribbon

_HALF = (3.0, 4.5, 6.5, 9.0, 12.5)
_PUPA_HALF, _BEAD, _BEAD_PITCH = 5.5, 2.5, 8.0
_RAMP_DAYS = 2.0


class RibbonPainter:
    """Draws ribbons on one scale of days; past of `today` in ink, beyond in pencil."""

    def __init__(
        self, painter: QPainter, look: Look, scale: DateScale, today: date
    ) -> None:
        self._painter = painter
        self._look = look
        self._scale = scale
        self._moths = MothPainter(painter, look, scale)
        self._today = scale.edge(today + timedelta(days=1))

    def x(self, days: float) -> float:
        """Return where days (date ordinals with their part) stand."""
        scale = self._scale
        whole = (scale.last - scale.first).days + 1
        into = (days - scale.first.toordinal()) / whole
        return scale.left + into * (scale.right - scale.left)

    def paint(self, ribbon: Ribbon, y: float) -> None:
        """Draw a brood's ribbon about the height y."""
        self._moths.bands(ribbon.together, y)
        larva = [p for p in ribbon.pieces if p.stage.is_larva]
        larva += [p for p in ribbon.pieces if p.stage is Stage.WANDERING]
        for piece in ribbon.pieces:
            if piece.stage is Stage.EGG:
                self._eggs(piece, y)
            elif piece.stage is Stage.PUPA:
                self._pupa(piece, ribbon, y)
        if larva:
            self._larva(larva, y)
        self._moths.paint(ribbon, y)

    def outline(self, ribbon: Ribbon, y: float) -> None:
        """Draw what was expected before, as an outline in pencil alone."""
        larva = [p for p in ribbon.pieces if p.stage is not Stage.EGG]
        shape = [p for p in larva if p.stage is not Stage.PUPA]
        if not shape:
            return
        painter = self._painter
        painter.save()
        painter.setClipRect(self._beyond(), Qt.ClipOperation.IntersectClip)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(dashed(self._look.colour("pencil")))
        painter.drawPath(self._larva_path(shape, y))
        painter.restore()

    # where ink ends

    def _before(self) -> QRectF:
        left = self._scale.left
        return QRectF(left, -1e5, max(self._today - left, 0.0), 2e5)

    def _beyond(self) -> QRectF:
        left = max(self._today, self._scale.left)
        return QRectF(left, -1e5, max(self._scale.right - left, 0.0), 2e5)

    def _end(self, piece: Piece) -> float:
        return self._scale.right + 40 if piece.open_end else self.x(piece.end)

    def _shape(self, path: QPainterPath, token: str, fade: tuple[float, float]) -> None:
        """Fill a shape solid where it is past, fading and hatched where it is not."""
        painter, colour = self._painter, self._look.colour(token)
        box = path.boundingRect()
        if box.left() < self._today:
            painter.save()
            painter.setClipRect(self._before(), Qt.ClipOperation.IntersectClip)
            painter.fillPath(path, colour)
            painter.restore()
        if box.right() <= self._today:
            return
        painter.save()
        painter.setClipRect(self._beyond(), Qt.ClipOperation.IntersectClip)
        begin = max(box.left(), self._today)
        end = max(min(box.right(), self._scale.right), begin + 1)
        gradient = QLinearGradient(begin, 0, end, 0)
        gradient.setColorAt(0, faint(colour, fade[0]))
        gradient.setColorAt(1, faint(colour, fade[1]))
        painter.fillPath(path, gradient)
        within = QRectF(begin, box.top(), end - begin, box.height())
        hatch_inside(painter, self._look, path, within, faint(colour, 0.45))
        painter.setPen(dashed(colour))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(path)
        painter.restore()

    # the stages

    def _eggs(self, piece: Piece, y: float) -> None:
        painter, look = self._painter, self._look
        colour = look.colour("egg")
        pitch, half = look.px(_BEAD_PITCH), look.px(_BEAD * 10) / 10
        x, end = self.x(piece.begin) + half, self._end(piece) - half
        if x < self._scale.left:
            x += pitch * int((self._scale.left - x) // pitch + 1)
        end = min(end, self._scale.right)
        while x <= end:
            if x <= self._today:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(colour)
            else:
                painter.setPen(QPen(colour, 1))
                painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(QPointF(x, y), half, half)
            x += pitch

    def _half(self, piece: Piece, pieces: Sequence[Piece]) -> float:
        if piece.stage is Stage.WANDERING:
            return self._look.px(_PUPA_HALF)
        instars = max(sum(one.stage.is_larva for one in pieces), 1)
        number = int(piece.stage[1:])
        last = max(instars, len(_HALF), number)
        place = (number - 1) * (len(_HALF) - 1) / (last - 1)
        at = min(int(place), len(_HALF) - 2)
        grown = _HALF[at] + (place - at) * (_HALF[at + 1] - _HALF[at])
        return self._look.px(grown * 4) / 4

    def _larva_path(self, pieces: Sequence[Piece], y: float) -> QPainterPath:
        """Return the swelling outline, upper edge out and lower edge back."""
        halves = [self._half(piece, pieces) for piece in pieces]
        edge: list[tuple[float, float]] = []
        before = halves[0]
        for piece, half in zip(pieces, halves, strict=True):
            begin, end = self.x(piece.begin), self._end(piece)
            days = min(_RAMP_DAYS, (piece.end - piece.begin) * 0.4)
            ramp = max(self.x(piece.begin + days) - begin, 0.0)
            edge += [(begin, before), (min(begin + ramp, end), half), (end, half)]
            before = half
        path = QPainterPath(QPointF(edge[0][0], y - edge[0][1]))
        _swell(path, [(x, y - half) for x, half in edge])
        path.lineTo(edge[-1][0], y + edge[-1][1])
        _swell(path, [(x, y + half) for x, half in reversed(edge)])
        path.closeSubpath()
        return path

    def _larva(self, pieces: Sequence[Piece], y: float) -> None:
        self._shape(self._larva_path(pieces, y), "larva", (0.40, 0.14))
        for piece in pieces:
            if piece.stage.is_larva and int(piece.stage[1:]) >= 4:
                self._letter(piece, y)

    def _letter(self, piece: Piece, y: float) -> None:
        """Write the number of a thick instar into it."""
        look, painter = self._look, self._painter
        left = max(self.x(piece.begin), self._scale.left)
        right = min(self._end(piece), self._scale.right)
        text, face = piece.stage[1:], look.faces.small_strong
        ruler = QFontMetricsF(face)
        wide = ruler.horizontalAdvance(text)
        if right - left < wide + look.px(8):
            return
        middle = (left + right) / 2
        is_past = middle + wide / 2 < self._today
        if not is_past:
            page = faint(look.colour("page"), 0.8)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(page)
            side = look.px(7)
            painter.drawEllipse(QPointF(middle, y), side, side)
        colour = look.colour("page" if is_past else "ink")
        box = QRectF(middle - wide / 2, y - look.px(8), wide, look.px(16))
        write(painter, box, text, face, colour)

    def _pupa(self, piece: Piece, ribbon: Ribbon, y: float) -> None:
        half = self._look.px(_PUPA_HALF)
        left, right = self.x(piece.begin) + 1, self._end(piece)
        if right <= left:
            return
        path = QPainterPath()
        path.addRoundedRect(QRectF(left, y - half, right - left, 2 * half), half, half)
        flown = [moths.on for moths in ribbon.flown]
        if flown and ribbon.is_open:
            # those that flew are drawn in the capsule's gap; the rest lie on
            gap = QPainterPath()
            since, until = self._scale.edge(min(flown)), self._scale.x(max(flown))
            edge = self._look.px(6)
            gap.addRect(
                QRectF(since - edge, y - half - 2, until - since + 2 * edge, 99)
            )
            path = path.subtracted(gap)
        self._shape(path, "pupa", (0.55, 0.05))


def _swell(path: QPainterPath, points: Sequence[tuple[float, float]]) -> None:
    """Go along points; rising parts are drawn as a soft shoulder."""
    x0, y0 = points[0]
    for x, y in points[1:]:
        if y == y0 or x == x0:
            path.lineTo(x, y)
        else:
            middle = (x0 + x) / 2
            path.cubicTo(QPointF(middle, y0), QPointF(middle, y), QPointF(x, y))
        x0, y0 = x, y
