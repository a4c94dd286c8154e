"""Writing a line of text into a box, whatever the face, on one baseline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFontMetricsF

if TYPE_CHECKING:
    from PySide6.QtCore import QRectF
    from PySide6.QtGui import QFont, QPainter


def write(
    painter: QPainter,
    box: QRectF,
    text: str,
    face: QFont,
    colour: QColor | str,
    *,
    right: bool = False,
) -> float:
    """Write `text` at the box's left or right, shortened to fit; return its width.

    The height of the capitals is centred, so that serif and sans share a baseline.
    """
    ruler = QFontMetricsF(face)
    short = ruler.elidedText(text, Qt.TextElideMode.ElideRight, box.width() + 1)
    wide = ruler.horizontalAdvance(short)
    x = box.right() - wide if right else box.left()
    painter.setFont(face)
    painter.setPen(QColor(colour))
    painter.drawText(QPointF(x, box.center().y() + ruler.capHeight() / 2), short)
    return wide


def wrap(
    text: str, face: QFont, width: float, *, ruler: QFontMetricsF | None = None
) -> tuple[str, ...]:
    """Break words into lines that fit a width; a word too long has its own line.

    `ruler` measures where it is not the screen that is written on.
    """
    ruler = QFontMetricsF(face) if ruler is None else ruler
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and ruler.horizontalAdvance(longer) > width:
            lines.append(line)
            longer = word
        line = longer
    return (*lines, line) if line else tuple(lines)
