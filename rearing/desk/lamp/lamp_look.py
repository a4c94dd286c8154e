"""The lamp's own sizes: faces read at arm's length, fitted to the window."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainterPath, QPen

from rearing.desk.fonts import SCALE_LEAST
from rearing.terms import Sex

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from rearing.desk.theme import Look, Theme

WIDTH, HEIGHT = 1120.0, 700.0
"""The room the page is drawn for at 100 % [px]; in less it is drawn smaller."""


@dataclass(frozen=True, slots=True)
class LampLook:
    """Colours, faces and lengths of the lamp's page."""

    look: Look
    scale: float
    title: QFont
    site: QFont
    clock: QFont
    species: QFont
    key: QFont
    total: QFont
    echo: QFont
    echo_name: QFont
    action: QFont
    strong: QFont
    words: QFont
    told: QFont
    strip: QFont
    quiet: QFont

    def px(self, at_100: float) -> float:
        """Return a length given for 100 % in pixels."""
        return at_100 * self.scale

    def colour(self, token: str) -> QColor:
        """Return a token as a colour of Qt's."""
        return self.look.colour(token)

    def pen(self, token: str, width: float) -> QPen:
        """Return a pen of a colour, never thinner than a pixel."""
        return QPen(self.colour(token), max(self.px(width), 1.0))


def lamp_look(theme: Theme, width: float, height: float) -> LampLook:
    """Return the lamp's look for a page of this size."""
    fits = min(width / WIDTH, height / HEIGHT)
    scale = max(min(theme.scale, fits), min(SCALE_LEAST, theme.scale))
    faces = theme.look.faces
    sans, plain, serif = faces.code, faces.body, faces.species_title

    def sized(face: QFont, points: float) -> QFont:
        made = QFont(face)
        made.setPointSizeF(points * scale)
        return made

    return LampLook(
        look=theme.look,
        scale=scale,
        title=sized(faces.title, 25),
        site=sized(faces.subtitle, 24),
        clock=sized(sans, 32),
        species=sized(serif, 24),
        key=sized(sans, 24),
        total=sized(sans, 34),
        echo=sized(sans, 38),
        echo_name=sized(serif, 38),
        action=sized(plain, 24),
        strong=sized(sans, 24),
        words=sized(plain, 24),
        told=sized(plain, 20),
        strip=sized(plain, 16),
        quiet=sized(faces.pencil, 24),
    )


def short_name(taxon: str) -> str:
    """Return a name as it stands on a key: S. pyri."""
    genus, _, rest = taxon.partition(" ")
    is_binomen = bool(rest) and genus[:1].isupper() and rest[:1].islower()
    return f"{genus[0]}. {rest}" if is_binomen else taxon


def paint_sex(painter: QPainter, box: QRectF, sex: Sex, pen: QPen) -> None:
    """Draw a sex's sign into a square: never left to whether a face has it."""
    side = min(box.width(), box.height())
    middle = box.center()
    painter.save()
    painter.setRenderHint(painter.RenderHint.Antialiasing)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    around = side * 0.27
    path = QPainterPath()
    if sex is Sex.MALE:
        centre = QPointF(middle.x() - side * 0.13, middle.y() + side * 0.13)
        end = QPointF(middle.x() + side * 0.40, middle.y() - side * 0.40)
        reach = side * 0.24
        path.moveTo(centre + QPointF(around, -around) * 0.72)
        path.lineTo(end)
        path.moveTo(end + QPointF(-reach, 0))
        path.lineTo(end)
        path.lineTo(end + QPointF(0, reach))
    elif sex is Sex.FEMALE:
        centre = QPointF(middle.x(), middle.y() - side * 0.17)
        foot = middle.y() + side * 0.46
        path.moveTo(centre.x(), centre.y() + around)
        path.lineTo(centre.x(), foot)
        across = foot - side * 0.17
        path.moveTo(centre.x() - side * 0.18, across)
        path.lineTo(centre.x() + side * 0.18, across)
    else:
        centre = QPointF(middle.x(), middle.y() + side * 0.08)
    path.addEllipse(centre, around, around)
    painter.drawPath(path)
    painter.restore()
