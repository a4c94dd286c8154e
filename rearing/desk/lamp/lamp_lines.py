"""What is written round the keys: the night's head, the lamp's side, and the echo."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QFont,
    QFontMetricsF,
    QPainter,
    QPen,
)
from PySide6.QtWidgets import QWidget

from rearing.desk.lamp.key_pad import paint_cap
from rearing.desk.lamp.lamp_look import LampLook, paint_sex, short_name
from rearing.desk.widgets.writing import wrap, write

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.terms import Sex


class LampPart(QWidget):
    """A part drawn in the lamp's look; it says itself to those who hear it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.look: LampLook | None = None

    def dress(self, look: LampLook) -> None:
        """Draw in another look."""
        self.look = look
        self.update()

    def draw(self, painter: QPainter, look: LampLook) -> None:
        """Draw it; subclasses do."""

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.look is not None:
            painter = QPainter(self)
            self.draw(painter, self.look)
            painter.end()


class LampHead(LampPart):
    """The night, its site and lamp, and the clock."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._words = ("", "", "")

    def tell(self, title: str, site: str, clock: str) -> None:
        """Show another night, or another minute."""
        if self._words != (title, site, clock):
            self._words = (title, site, clock)
            self.setAccessibleName(". ".join(part for part in self._words if part))
            self.update()

    def draw(self, painter: QPainter, look: LampLook) -> None:
        title, site, clock = self._words
        line = QRectF(self.rect()).adjusted(0, 0, 0, -look.px(6))
        ink = look.colour("ink")
        right = write(painter, line, clock, look.clock, ink, right=True)
        wide = write(painter, line, title, look.title, ink)
        beside = line.adjusted(wide + look.px(20), 0, -right - look.px(20), 0)
        write(painter, beside, site, look.site, look.colour("ink2"))
        painter.setPen(look.pen("rule2", 2))
        y = self.height() - look.px(3)
        painter.drawLine(QPointF(0, y), QPointF(self.width(), y))


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One check at the side: its time, its number, and whether it is still open."""

    clock: str
    number: int
    open: bool = False


@dataclass(frozen=True, slots=True)
class Aside:
    """What stands beside the keys."""

    lamp_words: str
    lamp_time: str
    heading: str
    checks: tuple[CheckLine, ...]
    actions: tuple[tuple[str, str], ...]
    lines: tuple[str, ...] = ()
    """Words in place of the checks: the evening's sky, at dusk."""

    @property
    def sentence(self) -> str:
        """The same for those who hear it."""
        told = [f"{self.lamp_words} {self.lamp_time}".strip(), *self.lines]
        told += [f"{c.clock} {c.number}{' so far' * c.open}" for c in self.checks]
        told += [f"{cap}: {word}" for cap, word in self.actions]
        return ". ".join(told)


class LampAside(LampPart):
    """Lamp time, the checks as bars, and the keys worth knowing."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._aside = Aside("", "", "", (), ())

    def tell(self, aside: Aside) -> None:
        """Show other words."""
        if aside != self._aside:
            self._aside = aside
            self.setAccessibleName(aside.sentence)
            self.update()

    def draw(self, painter: QPainter, look: LampLook) -> None:
        aside = self._aside
        width, y = float(self.width()), 0.0
        if aside.lamp_words:
            line = QRectF(0, 0, width, look.px(40))
            write(
                painter, line, aside.lamp_time, look.key, look.colour("ink"), right=True
            )
            write(painter, line, aside.lamp_words, look.site, look.colour("ink2"))
            y = self._rule(painter, look, line.bottom())
        keys = look.px(39) * len(aside.actions)
        room = self.height() - y - keys - look.px(8)
        y = self._checks(painter, look, y, room)
        y = self._words(painter, look, y)
        for cap, word in aside.actions:
            line = QRectF(0, y, width, look.px(39))
            self._action(painter, look, line, cap, word)
            y = line.bottom()

    def _rule(self, painter: QPainter, look: LampLook, y: float) -> float:
        painter.setPen(look.pen("rule2", 1))
        painter.drawLine(QPointF(0, y), QPointF(self.width(), y))
        return y + look.px(6)

    def _words(self, painter: QPainter, look: LampLook, y: float) -> float:
        aside = self._aside
        for said in aside.lines:
            for part in wrap(said, look.strip, self.width()):
                line = QRectF(0, y, self.width(), look.px(24))
                write(painter, line, part, look.strip, look.colour("ink2"))
                y = line.bottom()
            y += look.px(5)
        return self._rule(painter, look, y + look.px(2)) if aside.lines else y

    def _checks(
        self, painter: QPainter, look: LampLook, y: float, room: float
    ) -> float:
        aside, width = self._aside, float(self.width())
        if not aside.heading:
            return y
        step = look.px(33)
        line = QRectF(0, y, width, look.px(28))
        write(painter, line, aside.heading, look.strip, look.colour("ink2"))
        y = line.bottom()
        fit = max(int((room - look.px(30)) / step), 1)
        shown = aside.checks[-fit:]
        most = max((check.number for check in shown), default=0) or 1
        for check in shown:
            line = QRectF(0, y, width, step)
            face = look.strong if check.open else look.action
            shade = look.colour("ink" if check.open else "ink2")
            said = f"{check.number}{' so far' if check.open else ''}"
            clock = write(painter, line, check.clock, face, shade)
            wide = write(painter, line, said, face, shade, right=True)
            left = max(clock, look.px(58)) + look.px(14)
            end = width - max(wide, look.px(34)) - look.px(12)
            bar = QRectF(left, line.center().y() - look.px(6), 0, look.px(13))
            bar.setWidth(max((end - left) * check.number / most, 0.0))
            if check.open:
                _hatched(painter, look, bar)
            else:
                painter.fillRect(bar, look.colour("ink2"))
            y = line.bottom()
        return self._rule(painter, look, y + look.px(4))

    def _action(
        self, painter: QPainter, look: LampLook, line: QRectF, cap: str, word: str
    ) -> None:
        wide = QFontMetricsF(look.strong).horizontalAdvance(cap) + look.px(16)
        side = look.px(31)
        box = QRectF(0, line.center().y() - side / 2, max(wide, side), side)
        painter.setFont(look.strong)
        paint_cap(painter, look, box, cap, pressed=False)
        beside = line.adjusted(box.width() + look.px(12), 0, 0, 0)
        write(painter, beside, word, look.action, look.colour("ink"))


def _hatched(painter: QPainter, look: LampLook, bar: QRectF) -> None:
    """Draw a bar that is not closed yet: outline and strokes."""
    painter.setPen(look.pen("ink", 1.2))
    painter.drawRect(bar)
    painter.save()
    painter.setClipRect(bar)
    step, x = look.px(7), bar.left() - bar.height()
    while x < bar.right():
        foot, head = QPointF(x, bar.bottom()), QPointF(x + bar.height(), bar.top())
        painter.drawLine(foot, head)
        x += step
    painter.restore()


@dataclass(frozen=True, slots=True)
class EchoWords:
    """What was just written: how many of what, and what the night counts now."""

    number: str = ""
    sex: Sex | None = None
    taxon: str = ""
    totals: tuple[tuple[Sex, str], ...] = ()
    words: str = ""
    """A sentence instead: a check that closed, or why something was refused."""
    refused: bool = False
    beside: tuple[str, ...] = ()
    """Smaller, at the right: what was taken back last, struck out."""

    @property
    def sentence(self) -> str:
        """The echo as it is heard."""
        if self.words:
            return self.words
        sex = "" if self.sex is None else f"{self.sex} "
        totals = ", ".join(f"{number} {kind}" for kind, number in self.totals)
        return f"{self.number} {sex}{self.taxon}, now {totals}".strip()


class Echo(LampPart):
    """The one loud line of the page."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.words = EchoWords()

    def tell(self, words: EchoWords) -> None:
        """Say something else, aloud too where somebody listens."""
        self.words = words
        self.setAccessibleName(words.sentence)
        if QAccessible.isActive():
            told = QAccessibleEvent(self, QAccessible.Event.NameChanged)
            QAccessible.updateAccessibility(told)
        self.update()

    def draw(self, painter: QPainter, look: LampLook) -> None:
        words = self.words
        room = QRectF(self.rect())
        painter.setPen(look.pen("rule2", 2))
        painter.drawLine(QPointF(0, 1), QPointF(self.width(), 1))
        room.setRight(room.right() - self._beside(painter, look, room))
        if words.words:
            self._sentence(painter, look, room)
            return
        ink = look.colour("ink")
        x = room.left()
        x += write(painter, room, words.number, look.echo, ink) + look.px(10)
        if words.sex is not None:
            x = self._sign(painter, look, x, words.sex, look.echo)
        name = short_name(words.taxon)
        rest = room.adjusted(x, 0, 0, 0)
        x += write(painter, rest, name, look.echo_name, ink) + look.px(26)
        if words.totals:
            rest = room.adjusted(x, 0, 0, 0)
            x += write(painter, rest, "now", look.site, look.colour("ink2"))
            x += look.px(12)
        for sex, number in words.totals:
            x = self._sign(painter, look, x, sex, look.echo)
            rest = room.adjusted(x, 0, 0, 0)
            x += write(painter, rest, number, look.echo, ink) + look.px(18)

    def _sign(
        self, painter: QPainter, look: LampLook, x: float, sex: Sex, face: QFont
    ) -> float:
        side = QFontMetricsF(face).capHeight() * 1.15
        box = QRectF(x, self.height() / 2 - side / 2, side, side)
        paint_sex(painter, box, sex, QPen(look.colour("ink"), max(look.px(3), 1.6)))
        return box.right() + look.px(8)

    def _sentence(self, painter: QPainter, look: LampLook, room: QRectF) -> None:
        words = self.words
        parts = wrap(words.words, look.words, room.width())
        height = look.px(36)
        y = room.center().y() - height * min(len(parts), 2) / 2
        if words.refused:
            bar = QRectF(0, look.px(12), look.px(5), room.height() - look.px(24))
            painter.fillRect(bar, look.colour("ink"))
            room = room.adjusted(look.px(18), 0, 0, 0)
        for part in parts[:2]:
            line = QRectF(room.left(), y, room.width(), height)
            write(painter, line, part, look.words, look.colour("ink"))
            y += height

    def _beside(self, painter: QPainter, look: LampLook, room: QRectF) -> float:
        beside = self.words.beside
        if not beside:
            return 0.0
        struck = QFont(look.strip)
        struck.setStrikeOut(True)
        widest = 0.0
        height = look.px(25)
        y = room.center().y() - height * len(beside) / 2
        for number, said in enumerate(beside):
            line = QRectF(room.width() * 0.6, y, room.width() * 0.4, height)
            face = struck if number else look.strip
            shade = look.colour("ink2")
            widest = max(widest, write(painter, line, said, face, shade, right=True))
            y += height
        return widest + look.px(20)
