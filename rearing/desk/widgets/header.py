"""The head of a page: its title or code, a few words, the verdict, a double rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from rearing.desk.page import INSET
from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent, QResizeEvent

    from rearing.desk.theme import Look, Theme


@dataclass(frozen=True, slots=True)
class Heading:
    """What a page's head says; a page has a title, a brood a code and a species."""

    title: str = ""
    code: str = ""
    species: str = ""
    words: str = ""
    verdict: str = ""
    under: str = ""

    @property
    def sentence(self) -> str:
        """The same as one sentence, for those who hear it."""
        parts = (self.title, self.code, self.species, self.words)
        said = [" ".join(part for part in parts if part), self.verdict, self.under]
        return ". ".join(part for part in said if part)


class PageHeader(QWidget):
    """Draws a heading with its names on one baseline and the double rule below."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._heading = Heading()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.updateGeometry)

    @property
    def heading(self) -> Heading:
        """What is shown."""
        return self._heading

    def tell(self, heading: Heading) -> None:
        """Show another heading."""
        self._heading = heading
        self.setAccessibleName(heading.sentence)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        look = self._theme.look
        return QSize(look.px(400), look.px(69) + self._words_row() + self._second_row())

    def minimumSizeHint(self) -> QSize:
        return QSize(look_width(self._theme.look), self.sizeHint().height())

    def _room(self) -> int:
        look = self._theme.look
        return self.width() - 2 * look.px(INSET)

    def _words_row(self) -> int:
        """Return the height of the words' own row when they don't fit beside."""
        head = self._heading
        alone = not (head.title or head.code)
        if alone or not head.words or self._left_width() <= self._room():
            return 0
        return self._theme.look.px(28)

    def _second_row(self) -> int:
        """Return the height of the verdict's own row when it doesn't fit beside."""
        look = self._theme.look
        if not (self._heading.verdict or self._heading.under):
            return 0
        needs = self._left_width() + self._right_width() + look.px(24)
        return 0 if needs <= self._room() else look.px(42)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.updateGeometry()

    def _left(self) -> list[tuple[str, QFont, str, float]]:
        look, head = self._theme.look, self._heading
        faces = look.faces
        parts = [
            (head.title, faces.title, "ink", look.px(18)),
            (head.code, faces.code, "ink", look.px(16)),
            (head.species, faces.species_title, "ink", look.px(18)),
            (head.words, faces.subtitle, "ink2", 0.0),
        ]
        return [part for part in parts if part[0]]

    def _left_width(self) -> float:
        return sum(
            QFontMetricsF(face).horizontalAdvance(text) + gap
            for text, face, _, gap in self._left()
        )

    def _right_width(self) -> float:
        faces, head = self._theme.look.faces, self._heading
        return max(
            QFontMetricsF(faces.section).horizontalAdvance(head.verdict),
            QFontMetricsF(faces.small).horizontalAdvance(head.under),
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self._theme.look
        painter = QPainter(self)
        left, right = look.px(INSET), self.width() - look.px(INSET)
        self._names(painter, look, left, right)
        second = self._second_row()
        side = QRectF(left, look.px(20), right - left, look.px(22))
        if second:
            side.moveTop(look.px(58) + self._words_row())
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        beside = second == 0
        head = self._heading
        write(painter, side, head.verdict, look.faces.section, ink, right=beside)
        side.translate(0, look.px(19))
        write(painter, side, head.under, look.faces.small, ink2, right=beside)
        y = self.height() - look.px(6)
        painter.setPen(QPen(ink, look.unit * 0.4))
        painter.drawLine(QPointF(left, y), QPointF(right, y))
        painter.setPen(QPen(ink, look.unit * 0.2))
        y += look.px(3.6)
        painter.drawLine(QPointF(left, y), QPointF(right, y))
        painter.end()

    def _names(self, painter: QPainter, look: Look, left: float, right: float) -> None:
        beside = self._second_row() == 0
        taken = self._right_width() if beside else 0
        end = right - (taken + look.px(16) if taken else 0)
        baseline = float(look.px(48))
        below = self._words_row()
        x = left
        for text, face, token, gap in self._left():
            ruler = QFontMetricsF(face)
            if below and face is look.faces.subtitle:
                x, baseline = left, baseline + below
            room = max(end - x, 0.0)
            # the capital height centred on the box puts every face on one baseline
            box = QRectF(x, baseline - ruler.capHeight(), room, ruler.capHeight())
            x += write(painter, box, text, face, look.colour(token)) + gap


def look_width(look: Look) -> int:
    """Return the least width at which a heading can still be read."""
    return look.px(240)
