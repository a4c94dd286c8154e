"""The Lamp: the night book kept with one hand in the dark."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QStackedWidget

from rearing.desk.actions import Act
from rearing.desk.lamp import lamp_words
from rearing.desk.lamp.ask_light import LightAsks
from rearing.desk.lamp.ask_moth import MothAsks
from rearing.desk.lamp.ask_night import NightAsks
from rearing.desk.lamp.ask_turn import TurnAsks
from rearing.desk.lamp.board import CAPS, Board
from rearing.desk.lamp.lamp_hand import Hand
from rearing.desk.lamp.lamp_help import LAMP_HELP
from rearing.desk.page import Page
from rearing.desk.theme import View
from rearing.problems import Refusal
from rearing.terms import Sex

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent

    from rearing.desk.lamp.reading import NightReading
    from rearing.desk.page import Panel, Shown
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

_KEYPAD = Qt.KeyboardModifier.KeypadModifier
_PLAIN = {Qt.KeyboardModifier.NoModifier, _KEYPAD, Qt.KeyboardModifier.ShiftModifier}
_CLOCK_MS = 10_000
_BACK = {Qt.Key.Key_Backspace, Qt.Key.Key_Delete}
_ON_PAD = {"+": Sex.MALE, "*": Sex.FEMALE, "/": Sex.NOT_LOOKED}
_SEXES = {"m": Sex.MALE, "f": Sex.FEMALE, "o": Sex.NOT_LOOKED}
_SEX_WORDS = {
    Sex.MALE: "Counting males now.",
    Sex.FEMALE: "Counting females now.",
    Sex.NOT_LOOKED: "Sex is not looked at now.",
}

READ_BACK = Act(
    "lamp_back", "Read the n&ights back", None, "By hour, by year, by sex", "&Page"
)
PAPER = Act("lamp_paper", "F&rom paper…", None, "A table of a night's checks", "&Entry")
SHEET = Act("lamp_sheet", "&Field sheet for a wet night…", None, "On paper", "P&rint")
LABELS = Act("lamp_labels", "&Labels of this night…", None, "On paper", "P&rint")
ACTS = (READ_BACK, PAPER, LABELS, SHEET)


class LampPage(Page):
    """Number 2; at dusk it offers to light the lamp, then a key counts one."""

    number: ClassVar[int] = 2
    title: ClassVar[str] = "Lamp"
    hides_bars: ClassVar[bool] = True

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(theme)
        self.session = session
        self.hand = Hand(session)
        self.board = Board(theme)
        self.aloud = False
        self._reading: NightReading | None = None
        asked = (self.hand, self.board.ask, self.tell)
        self.light, self.night = LightAsks(*asked), NightAsks(*asked)
        self.moth, self.turn = MothAsks(*asked), TurnAsks(*asked)
        self._faces = QStackedWidget()
        self._faces.addWidget(self.board)
        self.set_body(self._faces)
        self.board.typed.connect(self._typed)
        self.board.pressed.connect(self._pressed)
        theme.changed.connect(self.tell)
        self._clock = QTimer(self)
        self._clock.setInterval(_CLOCK_MS)
        self._clock.timeout.connect(self.tell)
        self._does: dict[str, Callable[[], object]] = {
            "c": self.night.close_check,
            "k": self.moth.keep,
            "n": self.light.number,
            "l": self.night.dark,
            "x": self.night.out,
            "s": self.moth.look_again,
            "g": self.light.change_key,
            "t": self.turn.turn,
            "w": self.write_from_paper,
            "d": self.read_back,
            "p": self.turn.print_what,
            "a": self._hear,
            "r": self._red,
            "z": self.hand.take_back,
            "[": self._dimmer,
            "]": self._brighter,
        }

    # the page

    def refresh(self, touched: object | None = None) -> None:
        if self.hand.writing:
            return
        self.hand.read()
        self.tell()
        if self._reading is not None and self._reading.isVisible():
            self._reading.read()

    def focus_first(self) -> None:
        if not self.board.ask.isHidden():
            self.board.ask.focus_line()
        elif self._faces.currentWidget() is self.board:
            self.board.setFocus()
        elif self._reading is not None:
            self._reading.setFocus()

    def hints(self) -> str:
        if self.hand.night is None:
            return "Enter light the lamp   D read back   R red"
        return "1–9 0 - = count   M F O sex   ⌫ take back   C check   K keep   R red"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return LAMP_HELP

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        does = (self.read_back, self._ask_paper, self._ask_labels, self._ask_sheet)
        return tuple(zip(ACTS, does, strict=True))

    def tables(self) -> tuple[Shown, ...]:
        from rearing.desk.lamp.lamp_out import shown_night

        if self._reading is not None and self._faces.currentWidget() is self._reading:
            return self._reading.tables()
        night, session = self.hand.night, self.session
        if night is None:
            return ()
        return shown_night(session.book, night.row, session.on, self.board)

    def _ask_paper(self) -> None:
        self._do(self.write_from_paper)

    def _ask_labels(self) -> None:
        self._do(self.turn.print_labels)

    def _ask_sheet(self) -> None:
        self._do(self.turn.print_sheet)

    def open_panel(self, panel: Panel, *, side: bool = False) -> None:
        """Show a panel; in red one at the side is large, and has the page to itself."""
        super().open_panel(panel, side=side)
        self._faces.setVisible(not side or self.theme.view is not View.RED)

    def close_panel(self) -> None:
        """Take the panel away, and have the board again."""
        self._faces.show()
        super().close_panel()

    def tell(self) -> None:
        """Show what the hand holds."""
        hand, board = self.hand, self.board
        step = self.theme.red_step if self.theme.view is View.RED else None
        board.head.tell(*lamp_words.head(hand))
        board.tell_pads(lamp_words.pads(hand))
        board.tell_sex(hand.sex)
        board.aside.tell(lamp_words.aside(hand, step))
        if board.echo.words != hand.echo:
            board.echo.tell(hand.echo)
        now = hand.now if hand.night is None or hand.is_live else None
        board.strip.tell(hand.sky, lamp_words.lamp_bar(hand), now)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._clock.start()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._clock.stop()

    # keys

    def _typed(self, event: QKeyEvent) -> None:
        typed, key = event.text().casefold(), Qt.Key(event.key())
        on_pad = bool(event.modifiers() & _KEYPAD)
        if event.modifiers() not in _PLAIN:
            event.ignore()
        elif key in _BACK or (on_pad and typed == "-"):
            self._do(self.hand.take_back)
        elif key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._do(self._enter)
        elif on_pad and typed in _ON_PAD:
            self._set_sex(_ON_PAD[typed])
        elif typed in _SEXES:
            self._set_sex(_SEXES[typed])
        elif typed and typed in CAPS:
            self._count(CAPS.index(typed))
        elif typed in self._does:
            self._do(self._does[typed])
        else:
            event.ignore()

    def _pressed(self, what: object) -> None:
        if isinstance(what, Sex):
            self._set_sex(what)
        elif isinstance(what, int):
            self._count(what)

    def _count(self, place: int) -> None:
        self.hand.count(place)
        # the echo first: it is what the hand waits for
        self.board.echo.tell(self.hand.echo)
        self.board.echo.repaint()
        if self.aloud:
            QApplication.beep()
        self.tell()

    def _set_sex(self, sex: Sex) -> None:
        self.hand.sex = sex
        self.board.tell_sex(sex)
        if not self.hand.echo.number:
            self.hand.say(_SEX_WORDS[sex])
            self.tell()

    def _do(self, what: Callable[[], object]) -> None:
        try:
            what()
        except Refusal as refusal:
            self.hand.refuse(refusal.sentence)
        self.tell()

    def _enter(self) -> None:
        if self.hand.night is None:
            self.light.light()
        elif self.hand.night.row.lamp_off is None:
            self.night.close_check()

    def _hear(self) -> None:
        self.aloud = not self.aloud
        self.hand.say("A tone at every key." if self.aloud else "No tone any more.")

    # the view

    def _red(self) -> None:
        red = self.theme.view is View.RED
        self.theme.set_view(View.DARK if red else View.RED)

    def _dimmer(self) -> None:
        self.theme.step_red(-1)

    def _brighter(self) -> None:
        self.theme.step_red(1)

    # other faces

    def read_back(self) -> None:
        """Turn to the nights read back: by hour, by year, by sex."""
        from rearing.desk.lamp.reading import NightReading

        if self._reading is None:
            self._reading = NightReading(self.session, self.theme)
            self._reading.left.connect(self._back)
            self._faces.addWidget(self._reading)
        night = self.hand.night
        self._reading.show_night(night.row.id if night else None)
        self._faces.setCurrentWidget(self._reading)
        self._reading.setFocus()

    def _back(self) -> None:
        self._faces.setCurrentWidget(self.board)
        self.board.setFocus()

    def write_from_paper(self) -> None:
        """Open the table a night's checks are copied into from paper."""
        from rearing.desk.lamp.paper_table import PaperTable

        night = self.hand.need()
        keys = tuple(filter(None, self.hand.keys))
        if not keys:
            raise Refusal("First put the sheet's species on the keys: G.")
        panel = PaperTable(self.hand, self.theme, night, keys)
        panel.kept.connect(self.tell)
        self.open_panel(panel)
