"""The keys of the sheet: a species with its count, and what sex is counted now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from rearing.desk.lamp.lamp_look import LampLook, paint_sex, short_name
from rearing.desk.widgets.writing import write
from rearing.terms import Sex

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

_WORDS = {
    Sex.MALE: "males",
    Sex.FEMALE: "females",
    Sex.NOT_LOOKED: "sex not looked at",
}
_SIX, _EACH = 6.0, 14.0


@dataclass(frozen=True, slots=True)
class PadWords:
    """What a pad shows: its key, its species, and the night's numbers by sex."""

    cap: str
    taxon: str = ""
    numbers: tuple[tuple[Sex, str], ...] = ()
    expected: bool = False
    """True at dusk, when the species is only suggested."""
    last: bool = False
    """True for the one counted last."""

    @property
    def sentence(self) -> str:
        """The same for those who hear it."""
        if not self.taxon:
            return f"key {self.cap}, free"
        told = ", ".join(f"{number} {_WORDS[sex]}" for sex, number in self.numbers)
        return f"key {self.cap}, {self.taxon}, {told or 'none yet'}"


class LampKey(QAbstractButton):
    """A key drawn on the page; the keyboard never stops at it, the mouse may press."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.look: LampLook | None = None

    def dress(self, look: LampLook) -> None:
        """Draw in another look."""
        self.look = look
        self.update()


def paint_cap(
    painter: QPainter, look: LampLook, box: QRectF, cap: str, *, pressed: bool
) -> None:
    """Draw a keycap; the pressed one is filled, its letter cut out."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    frame = look.colour("ink")
    painter.setPen(QPen(frame, max(look.px(2), 1)))
    painter.setBrush(frame if pressed else Qt.BrushStyle.NoBrush)
    corner = look.px(4)
    painter.drawRoundedRect(box, corner, corner)
    painter.setPen(look.colour("page" if pressed else "ink"))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cap)


class KeyPad(LampKey):
    """One species on its key."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.words = PadWords("")

    def tell(self, words: PadWords) -> None:
        """Show another species or count."""
        if words != self.words:
            self.words = words
            self.setAccessibleName(words.sentence)
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        look, words = self.look, self.words
        if look is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._frame(painter, look)
        inset, side = look.px(9), look.px(35)
        cap = QRectF(inset, inset, side, side)
        room = QRectF(cap.right() + look.px(11), cap.top(), 0, side)
        room.setRight(self.width() - inset)
        painter.setFont(look.key)
        if not words.taxon:
            painter.setPen(look.colour("rule2"))
            painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, words.cap)
            write(painter, room, "free", look.quiet, look.colour("rule2"))
            return
        paint_cap(painter, look, cap, words.cap, pressed=words.last)
        name, face = short_name(words.taxon), look.species
        shade = look.colour("pencil" if words.expected else "ink")
        write(painter, room, name, _fitting(face, name, room.width()), shade)
        under = QRectF(inset, cap.bottom(), self.width() - 2 * inset, 0)
        under.setBottom(self.height() - look.px(4))
        if words.numbers:
            self._numbers(painter, look, under)
        else:
            said = "expected" if words.expected else "none yet"
            write(painter, under, said, look.quiet, look.colour("pencil"))

    def _frame(self, painter: QPainter, look: LampLook) -> None:
        words = self.words
        wide = look.px(4 if words.last else 2)
        pen = QPen(look.colour("ink" if words.last else "rule2"), max(wide, 1.0))
        if not words.taxon or words.expected:
            pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        if words.last or self.isDown():
            painter.setBrush(look.colour("wash"))
        edge = pen.widthF() / 2
        corner = look.px(6)
        box = QRectF(self.rect()).adjusted(edge, edge, -edge, -edge)
        painter.drawRoundedRect(box, corner, corner)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _numbers(self, painter: QPainter, look: LampLook, room: QRectF) -> None:
        numbers = self.words.numbers
        face = QFont(look.total)
        wide = _numbers_width(look, face, numbers)
        if wide > room.width():
            face.setPointSizeF(face.pointSizeF() * max(room.width() / wide, 0.6))
        ruler = QFontMetricsF(face)
        side = ruler.capHeight() * 1.15
        x = room.left()
        pen = QPen(look.colour("ink"), max(look.px(2.6), 1.4))
        for sex, number in numbers:
            sign = QRectF(x, room.center().y() - side / 2, side, side)
            paint_sex(painter, sign, sex, pen)
            x = sign.right() + look.px(_SIX)
            box = QRectF(x, room.top(), room.right() - x, room.height())
            x += write(painter, box, number, face, look.colour("ink"))
            x += look.px(_EACH)


def _numbers_width(
    look: LampLook, face: QFont, numbers: tuple[tuple[Sex, str], ...]
) -> float:
    ruler = QFontMetricsF(face)
    side = ruler.capHeight() * 1.15 + look.px(_SIX + _EACH)
    return sum(side + ruler.horizontalAdvance(number) for _, number in numbers)


def _fitting(face: QFont, text: str, width: float) -> QFont:
    """Return the face, made a little smaller where a long name needs it."""
    wide = QFontMetricsF(face).horizontalAdvance(text)
    if wide <= width:
        return face
    small = QFont(face)
    small.setPointSizeF(face.pointSizeF() * max(width / wide * 0.98, 0.75))
    return small


class SexKey(LampKey):
    """A sex's key; the one in force has a frame, a filled cap and the words."""

    def __init__(self, sex: Sex, cap: str, word: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.sex, self.cap, self.word = sex, cap, word
        self._on = False
        self.tell(on=False)

    def tell(self, *, on: bool) -> None:
        """Set whether this sex is counted now."""
        self._on = on
        self.setAccessibleName(f"key {self.cap}, {self.said}")
        self.update()

    @property
    def said(self) -> str:
        """The words beside the sign."""
        return f"{self.word}, counting now" if self._on else self.word

    def wanted_width(self, look: LampLook) -> float:
        """Return the width the words need."""
        face = look.strong if self._on else look.action
        wide = QFontMetricsF(face).horizontalAdvance(self.said)
        return wide + look.px(9 + 35 + 10 + 28 + 10 + 16)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = self.look
        if look is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = look.pen("ink" if self._on else "rule2", 4 if self._on else 2)
        painter.setPen(pen)
        if self._on or self.isDown():
            painter.setBrush(look.colour("wash"))
        edge, corner = pen.widthF() / 2, look.px(6)
        box = QRectF(self.rect()).adjusted(edge, edge, -edge, -edge)
        painter.drawRoundedRect(box, corner, corner)
        side = look.px(33)
        cap = QRectF(look.px(9), (self.height() - side) / 2, side, side)
        painter.setFont(look.key)
        paint_cap(painter, look, cap, self.cap, pressed=self._on)
        sign = QRectF(QPointF(cap.right() + look.px(10), 0), self.size())
        sign.setWidth(look.px(28))
        shade = "ink" if self._on else "ink2"
        pen = QPen(look.colour(shade), max(look.px(2.4), 1.4))
        paint_sex(painter, sign, self.sex, pen)
        room = QRectF(sign.right() + look.px(8), 0, self.width(), self.height())
        face = look.strong if self._on else look.action
        write(painter, room, self.said, face, look.colour(shade))
