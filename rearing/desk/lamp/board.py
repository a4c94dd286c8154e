"""The board of the lamp's page: where its parts stand, at any size."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QWidget

from rearing.desk.lamp.key_pad import KeyPad, SexKey
from rearing.desk.lamp.lamp_ask import LampAsk
from rearing.desk.lamp.lamp_lines import Echo, LampAside, LampHead
from rearing.desk.lamp.lamp_look import lamp_look
from rearing.desk.lamp.sky_strip import SkyStrip
from rearing.terms import Sex

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QKeyEvent, QResizeEvent

    from rearing.desk.lamp.key_pad import PadWords
    from rearing.desk.lamp.lamp_look import LampLook
    from rearing.desk.theme import Theme

CAPS = "1234567890-="
_SEXES = (
    (Sex.MALE, "M", "male"),
    (Sex.FEMALE, "F", "female"),
    (Sex.NOT_LOOKED, "O", "not looked"),
)
_ACROSS = 3
_LEAST = 9


class Board(QWidget):
    """Holds every part; `pressed(what)` is a pad's place or a sex that was clicked.

    `typed(event)` is a key pressed while nothing is asked.
    """

    pressed = Signal(object)
    typed = Signal(object)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAccessibleName("Lamp: a key counts one")
        self.head = LampHead(self)
        self.aside = LampAside(self)
        self.echo = Echo(self)
        self.strip = SkyStrip(self)
        self.pads = tuple(_Pad(place, self) for place in range(len(CAPS)))
        self.sexes = tuple(_Sex(*told, self) for told in _SEXES)
        self.ask = LampAsk(self)
        self.ask.closed.connect(self._asked)
        self._shown = _LEAST
        self.look: LampLook | None = None
        theme.changed.connect(self._dress)
        self._dress()

    def tell_pads(self, pads: Sequence[PadWords]) -> None:
        """Show what is on the keys; a fourth row only when it is used."""
        used = max((n + 1 for n, pad in enumerate(pads) if pad.taxon), default=0)
        shown = len(CAPS) if used > _LEAST else _LEAST
        for pad, words in zip(self.pads, pads, strict=True):
            pad.tell(words)
        if shown != self._shown:
            self._shown = shown
            self._place()

    def tell_sex(self, sex: Sex) -> None:
        """Show which sex is counted now."""
        for key in self.sexes:
            key.tell(on=key.sex is sex)
        self._place_sexes()

    def _asked(self) -> None:
        self.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        self.typed.emit(event)
        if not event.isAccepted():
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._dress()

    def _dress(self) -> None:
        look = lamp_look(self._theme, max(self.width(), 400), max(self.height(), 300))
        self.look = look
        for part in (self.head, self.aside, self.echo, self.strip, self.ask):
            part.dress(look)
        for key in (*self.pads, *self.sexes):
            key.dress(look)
        self._place()

    def _place(self) -> None:
        look = self.look
        if look is None:
            return
        inset = round(look.px(20))
        left, right = inset, self.width() - inset
        wide = right - left
        head, sexes = round(look.px(62)), round(look.px(50))
        echo, sky = round(look.px(82)), round(look.px(122))
        foot = self.height() - round(look.px(8))
        self.strip.setGeometry(left, foot - sky, wide, sky)
        self.echo.setGeometry(left, foot - sky - echo, wide, echo)
        self._sex_top = foot - sky - echo - round(look.px(10)) - sexes
        self._sex_height = sexes
        self.head.setGeometry(left, round(look.px(6)), wide, head)
        top = round(look.px(6)) + head + round(look.px(8))
        aside = round(look.px(322))
        area = QRect(left, top, wide - aside - round(look.px(24)), 0)
        area.setBottom(self._sex_top - round(look.px(10)))
        self.aside.setGeometry(right - aside, top, aside, self._sex_top + sexes - top)
        self._place_pads(area, round(look.px(9)))
        self._place_sexes()
        ask = round(look.px(60)) + echo + sky
        self.ask.setGeometry(left, foot - ask, wide, ask)

    def _place_pads(self, area: QRect, gap: int) -> None:
        rows = self._shown // _ACROSS
        wide = (area.width() - gap * (_ACROSS - 1)) / _ACROSS
        high = (area.height() - gap * (rows - 1)) / rows
        for place, pad in enumerate(self.pads):
            row, column = divmod(place, _ACROSS)
            x, y = area.left() + column * (wide + gap), area.top() + row * (high + gap)
            pad.setGeometry(round(x), round(y), round(wide), round(high))
            pad.setVisible(place < self._shown)

    def _place_sexes(self) -> None:
        look = self.look
        if look is None:
            return
        x, gap = round(look.px(20)), round(look.px(9))
        for key in self.sexes:
            wide = round(key.wanted_width(look))
            key.setGeometry(x, self._sex_top, wide, self._sex_height)
            x += wide + gap


class _Pad(KeyPad):
    def __init__(self, place: int, board: Board) -> None:
        super().__init__(board)
        self._place = place
        self._board = board
        self.clicked.connect(self._press)

    def _press(self) -> None:
        self._board.pressed.emit(self._place)


class _Sex(SexKey):
    def __init__(self, sex: Sex, cap: str, word: str, board: Board) -> None:
        super().__init__(sex, cap, word, board)
        self._board = board
        self.clicked.connect(self._press)

    def _press(self) -> None:
        self._board.pressed.emit(self.sex)
