"""Asking at the lamp: one question after the other on one large line, no dialog."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPalette
from PySide6.QtWidgets import QLineEdit, QWidget

from rearing.desk.lamp.key_pad import paint_cap
from rearing.desk.widgets.writing import wrap, write
from rearing.problems import AskFirst, Problem, Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from PySide6.QtGui import QKeyEvent, QPaintEvent, QResizeEvent

    from rearing.desk.lamp.lamp_look import LampLook

    Finish = Callable[["Said"], object]

_SHOWN = 9
_TOLD = 29  # a line of a caution, in height
_BESIDE = 4  # Qt's cursorRect has a caret's width of room beside it, and four more
_ENTER = {Qt.Key.Key_Return, Qt.Key.Key_Enter}


@dataclass(frozen=True, slots=True)
class Option:
    """One of a few answers: the key that means it, its word, and its value."""

    cap: str
    word: str
    value: object


@dataclass(frozen=True, slots=True)
class Step:
    """One question.

    With `options` a key answers at once and Enter takes the first. With `names` what
    is typed narrows them; Enter takes the first that fits, or the words themselves.
    """

    key: str
    prompt: str
    read: Callable[[str], object] = str.strip
    value: str = ""
    hint: str = ""
    options: tuple[Option, ...] = ()
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """The answers; `doubtful` names those that had to be asked about twice."""

    answers: Mapping[str, object]
    doubtful: frozenset[str]
    sure: bool

    def text(self, key: str) -> str:
        """Return words."""
        return str(self.answers.get(key) or "")

    def get(self, key: str) -> object:
        """Return whatever was answered, None for a question that wasn't asked."""
        return self.answers.get(key)


class _Line(QLineEdit):
    """The line that is typed on; keys that mean something else are handed up."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        ask = self.parentWidget()
        if isinstance(ask, LampAsk) and ask.take_key(event):
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.hasFocus():
            # Qt's own caret inverts what is under it: white, and flashing, on black.
            caret = self.cursorRect().adjusted(_BESIDE, 0, 1 - _BESIDE, 0)
            painter = QPainter(self)
            painter.fillRect(caret, self.palette().color(QPalette.ColorRole.Text))
            painter.end()


class LampAsk(QWidget):
    """Asks the steps in turn; `closed` when the last was taken or Esc was pressed."""

    closed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.look: LampLook | None = None
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self._line = _Line(self)
        self._line.setFrame(False)
        self._line.textEdited.connect(self._typed)
        self._steps: tuple[Step, ...] = ()
        self._finish: Finish | None = None
        self._title = self._caution = self.refusal = ""
        self._at = 0
        self._answers: dict[str, object] = {}
        self._typed_texts: dict[str, str] = {}
        self._doubtful: set[str] = set()
        self._asks_first = False
        self.setVisible(False)

    # what a page does

    def dress(self, look: LampLook) -> None:
        """Draw in another look."""
        self.look = look
        self._line.setFont(look.words)
        self._place()
        self.update()

    def ask(
        self,
        title: str,
        steps: Sequence[Step],
        finish: Finish,
        *,
        caution: str = "",
    ) -> None:
        """Begin to ask; `finish` is called with the answers, and may refuse them."""
        self._steps, self._finish = tuple(steps), finish
        self._title, self._caution = title, caution
        self._answers, self._typed_texts, self._doubtful = {}, {}, set()
        self.setVisible(True)
        self.raise_()
        self._go_to(0)

    def leave(self) -> None:
        """Stop asking; nothing was entered."""
        if not self.isHidden():
            self.setVisible(False)
            self.closed.emit()

    def focus_line(self) -> None:
        """Put the keyboard on the question."""
        self._line.setFocus()

    @property
    def step(self) -> Step | None:
        """The question that is asked now."""
        return self._steps[self._at] if self._at < len(self._steps) else None

    @property
    def caution(self) -> str:
        """The words of care above the question."""
        return self._caution

    # going on

    def _go_to(self, at: int) -> None:
        self._at = at
        self._asks_first = False
        step = self._steps[at]
        self.refusal = ""
        self._line.setText(self._typed_texts.get(step.key, step.value))
        self._line.selectAll()
        self._line.setReadOnly(bool(step.options))
        self._say()

    def _say(self) -> None:
        step = self.step
        if step is None:
            return
        told = [self._title, self._caution, step.prompt, step.hint]
        told += [f"{option.cap} {option.word}" for option in step.options]
        name = ". ".join(part for part in (self.refusal, *told) if part)
        self.setAccessibleName(name)
        self._line.setAccessibleName(name)
        self._place()
        self._line.setFocus()
        self.update()

    def take_key(self, event: QKeyEvent) -> bool:
        """Take a key that answers, goes on, back or away; other keys are typed."""
        step = self.step
        if step is None:
            return False
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Escape:
            self.leave()
        elif self._asks_first:
            self._yes_or_no(event.text().casefold(), key)
        elif key in _ENTER:
            self._accept(step)
        elif key == Qt.Key.Key_Backspace and not self._line.text() and self._at:
            self._go_to(self._at - 1)
        elif step.options:
            self._choose(step, event.text().casefold())
        else:
            return False
        return True

    def _choose(self, step: Step, typed: str) -> None:
        for option in step.options:
            if typed and typed == option.cap.casefold():
                self._take(step, option.value, option.word)

    def _accept(self, step: Step) -> None:
        if step.options:
            self._take(step, step.options[0].value, step.options[0].word)
            return
        text = self._line.text().strip()
        if step.names:
            text = next(iter(self.matches()), text)
        try:
            value = step.read(text)
        except Refusal as refusal:
            self._refuse(step.key, refusal.sentence)
            return
        self._take(step, value, text)

    def _take(self, step: Step, value: object, text: str) -> None:
        self._answers[step.key] = value
        self._typed_texts[step.key] = text
        if self._at + 1 < len(self._steps):
            self._go_to(self._at + 1)
        else:
            self._done(sure=False)

    def _done(self, *, sure: bool) -> None:
        finish = self._finish
        if finish is None:
            return
        said = Said(dict(self._answers), frozenset(self._doubtful), sure)
        try:
            finish(said)
        except AskFirst as question:
            self._asks_first = True
            self.refusal = f"{question.sentence} Y or N?"
            self._line.clear()
            self._say()
        except Refusal as refusal:
            keys = [step.key for step in self._steps]
            if refusal.field in keys:
                self._go_to(keys.index(refusal.field))
            self._refuse(self._steps[self._at].key, refusal.sentence)
        except Problem as trouble:
            self._refuse("", trouble.sentence)
        else:
            # the finish may have asked something further
            if self._finish is finish:
                self.setVisible(False)
                self.closed.emit()

    def _yes_or_no(self, typed: str, key: Qt.Key) -> None:
        if typed == "y":
            self._asks_first = False
            self._done(sure=True)
        elif typed == "n" or key in _ENTER:
            self._go_to(self._at)

    def _refuse(self, key: str, sentence: str) -> None:
        self._doubtful.add(key)
        self.refusal = sentence
        self._line.selectAll()
        self._say()

    def _typed(self) -> None:
        self.refusal = ""
        self.update()

    def matches(self) -> tuple[str, ...]:
        """Return the names that fit what is typed, those that begin so first."""
        names = self.step.names if self.step is not None else ()
        return _fitting(names, self._line.text().strip().casefold())

    # drawing

    def _place(self) -> None:
        look, step = self.look, self.step
        if look is None or step is None:
            return
        prompt = QFontMetricsF(look.words).horizontalAdvance(step.prompt)
        left = prompt + look.px(18)
        top = self._top(look)
        if step.options:
            # it keeps the keyboard, out of sight
            self._line.setGeometry(0, 0, 1, 1)
        else:
            wide = min(self.width() - left - look.px(20), look.px(520))
            height = look.px(46)
            self._line.setGeometry(int(left), int(top), int(wide), int(height))

    def _top(self, look: LampLook) -> float:
        lines = wrap(self._caution, look.told, self.width())
        return look.px(52) + look.px(_TOLD) * len(lines) + look.px(4 if lines else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def paintEvent(self, event: QPaintEvent) -> None:
        look, step = self.look, self.step
        if look is None or step is None:
            return
        painter = QPainter(self)
        width = float(self.width())
        painter.setPen(look.pen("ink", 2))
        painter.drawLine(0, 1, int(width), 1)
        ink, ink2 = look.colour("ink"), look.colour("ink2")
        line = QRectF(0, look.px(8), width, look.px(38))
        write(painter, line, "Esc leaves it", look.told, ink2, right=True)
        write(painter, line, self._title, look.title, ink)
        y = look.px(52)
        for part in wrap(self._caution, look.told, width):
            line = QRectF(0, y, width, look.px(_TOLD))
            write(painter, line, part, look.told, ink)
            y = line.bottom()
        y = self._top(look)
        prompt = QRectF(0, y, width, look.px(46))
        wide = write(painter, prompt, step.prompt, look.words, ink)
        y = prompt.bottom()
        if step.options and not self._asks_first:
            left = wide + look.px(18)
            room = prompt.adjusted(left, 0, 0, 0)
            y = _paint_options(painter, look, room, step.options)
        elif not step.options:
            painter.setPen(look.pen("ink2", 2))
            under = self._line.geometry()
            painter.drawLine(under.bottomLeft(), under.bottomRight())
        for part in _beneath(look, step, self.refusal, self.matches(), width):
            row = QRectF(0, y + look.px(4), width, look.px(32))
            face = look.words if self.refusal else look.told
            write(painter, row, part, face, ink if self.refusal else ink2)
            y = row.bottom()


def _paint_options(
    painter: QPainter, look: LampLook, room: QRectF, offered: Sequence[Option]
) -> float:
    """Draw the answers with their keys, over as many lines as they need."""
    ruler, side = QFontMetricsF(look.action), look.px(31)
    x, line = room.left(), QRectF(room)
    for option in offered:
        word = ruler.horizontalAdvance(option.word)
        wide = side + look.px(8) + word + look.px(26)
        if x + wide > room.right() and x > room.left():
            x = 0.0
            line.translate(0, look.px(40))
        box = QRectF(x, line.center().y() - side / 2, side, side)
        painter.setFont(look.strong)
        paint_cap(painter, look, box, option.cap.upper(), pressed=False)
        at = QRectF(box.right() + look.px(8), line.top(), word + 4, line.height())
        write(painter, at, option.word, look.action, look.colour("ink"))
        x += wide
    return line.bottom()


def _fitting(names: Sequence[str], typed: str) -> tuple[str, ...]:
    begin = [name for name in names if name.casefold().startswith(typed)]
    hold = [name for name in names if typed in name.casefold()]
    return tuple(dict.fromkeys((*begin, *hold)))[:_SHOWN]


def _beneath(
    look: LampLook, step: Step, refusal: str, names: Sequence[str], width: float
) -> tuple[str, ...]:
    """Return the lines under a question: why not, what fits, or a hint."""
    if refusal:
        return wrap(refusal, look.words, width)[:3]
    if step.names:
        said = "   ".join(names) or "a new name, as it is typed"
        return wrap(f"Enter takes {said}", look.told, width)[:2]
    return wrap(step.hint, look.told, width)[:2]
