"""The round: what is due tonight, in walking order, each answered with one key."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from rearing.desk.actions import Act
from rearing.desk.pages.at_a_box import BoxActs
from rearing.desk.pages.first_steps import LETTERS
from rearing.desk.pages.round_keys import DIGITS, KEY_HELP, VISITS
from rearing.desk.pages.round_list import RoundList
from rearing.desk.pages.round_out import shown_round
from rearing.desk.pages.round_panels import KINDS, RoundPanels
from rearing.desk.pages.round_sheet import RoundSheet
from rearing.desk.pages.round_writing import key_of
from rearing.keeping.hatch_windows import HatchWindows
from rearing.keeping.round import round_of
from rearing.keeping.round_lines import Task
from rearing.records.journal import Touched

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.page import Shown
    from rearing.desk.pages.round_writing import Key
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.header import Heading
    from rearing.keeping.round_lines import RoundLine

_ACTS = (
    Act("next_due", "Next &due", "Ctrl+Down", "The next line still to do", "&Entry"),
    Act(
        "next_hatch",
        "Which &hatch next?",
        "Ctrl+H",
        "Say which eggs hatch next, and go to their line",
        "&Page",
        break_before=True,
    ),
    Act("everything", "Every &box and pot", "Ctrl+E", "What is not due too", "&Page"),
    Act(
        "away",
        "A&way…",
        "Ctrl+J",
        "Days away: what would fail, and what would save it",
        "&Page",
    ),
    Act(
        "too_full",
        "Too f&ull",
        "Ctrl+M",
        "Boxes too full, now or at their next moult",
        "&Page",
    ),
    Act(
        "kept_apart",
        "Kept a&part",
        "Ctrl+Shift+A",
        "Who is in quarantine, why, and until when",
        "&Page",
    ),
    Act(
        "print_round",
        "Print the &round…",
        "Ctrl+P",
        "On one sheet with boxes to tick, or into a PDF file",
        "P&rint",
    ),
)


class RoundPage(RoundPanels):
    """Opens first; a key writes a visit and the hand moves to the next box."""

    number: ClassVar[int] = 1
    title: ClassVar[str] = "Round"
    targets: ClassVar[tuple[str, ...]] = ("round",)

    def __init__(
        self, session: Session, theme: Theme, tasks: Tasks | None = None
    ) -> None:
        super().__init__(session, theme, tasks)
        self._everything = False
        self._of_key: dict[Key, RoundLine] = {}
        self._hatching = HatchWindows()
        self._box_acts = BoxActs(self.at_box_in_hand)
        self.sheet = RoundSheet(theme)
        self._list = self.sheet.list
        self.set_body(self.sheet)
        self._list.chosen.connect(self._go_on)
        self._list.key_pressed.connect(self._answer)
        self._list.open_asked.connect(self._open_brood)
        self._list.everything_asked.connect(self.toggle_everything)
        self.sheet.steps.chosen.connect(self._take_step)
        self.sheet.steps.key_pressed.connect(self._step_key)
        session.day_changed.connect(self._day_changed)

    # what the window asks

    def refresh(self, touched: object | None = None) -> None:
        """Walk the whole round again: one visit may change what its neighbours need."""
        before = self._of_key
        self._hatching.forget(touched if isinstance(touched, Touched) else None)
        self._read()
        if touched is not None and self._was_taken_back():
            self._go_to_changed(before)
        self.hints_changed.emit()

    def focus_first(self) -> None:
        shown = self.sheet.shown
        (shown if isinstance(shown, RoundList) else self).setFocus()

    def hints(self) -> str:
        if self.sheet.shown is self.sheet.steps:
            return "Enter begins   ↑ ↓ another step   F1 keys"
        more = "A what is due" if self._everything else "A everything"
        return f"{more}   → brood   Ctrl+H which hatch next   Ctrl+J away   F1 keys"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return KEY_HELP

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        doers = (
            self._go_on,
            self.tell_next_hatch,
            self.toggle_everything,
            self.ask_away,
            self.read_room,
            self.read_apart,
            self.ask_printer,
        )
        own = zip(_ACTS, doers, strict=True)
        return (*own, *self._box_acts.offered())

    def tables(self) -> tuple[Shown, ...]:
        return shown_round(self._session.book, self._round, self._list)

    def in_hand(self) -> tuple[str, int] | None:
        line = self._line(self._list.current_key())
        if line is None:
            return None
        return KINDS[line.kind], line.tree_id or line.id

    def show_target(self, kind: str, target: object) -> None:
        self._list.set_current(target if isinstance(target, tuple) else None)

    # reading

    def _read(self) -> None:
        before, in_hand = self.sheet.shown, self.has_keyboard()
        session = self._session
        self._round = round_of(
            session.book,
            session.shelf,
            session.on,
            everything=self._everything,
            known=self._hatching,
        )
        self._of_key = {key_of(line): line for line in self._round.lines}
        self.away.look()
        away = self.away.short
        self.sheet.tell(self._round, session.now(), as_on=session.is_as_on, away=away)
        self.tell_foot()
        if not self._of_key:
            self._say_why_empty()
        if in_hand and self.sheet.shown is not before:
            # what it was on is hidden now: the keys shall go on
            self.focus_first()

    def close_panel(self) -> None:
        """Take the panel away; lines that came meanwhile get the keyboard."""
        super().close_panel()
        if QApplication.focusWidget() is self:
            self.focus_first()

    def tell_foot(self) -> None:
        if self._round is not None:
            self.sheet.foot.tell(
                self.away.sentence,
                self._round.leaf_sentence,
                self._round.room_sentence,
                self._round.hatch_sentence,
            )

    def heading(self) -> Heading:
        return self.sheet.head.heading

    def panel_told(self, is_open: bool) -> None:
        self.sheet.beside_panel(is_open)

    def line_in_hand(self) -> RoundLine | None:
        return self._line(self._list.current_key())

    def _say_why_empty(self) -> None:
        from rearing.keeping.beginnings import beginnings

        begun = beginnings(self._session.book)
        if not begun.is_begun:
            self.sheet.tell_first_steps(begun)
        elif self._everything:
            self.sheet.tell_quiet("Nothing stands anywhere on this day.")
        else:
            self.sheet.tell_quiet(
                "A quiet day: nothing is due.",
                "A shows every box and pot, and what each will ask for next.",
            )

    def _was_taken_back(self) -> bool:
        latest = self._session.book.journal(most=1)
        return bool(latest) and latest[0].kind != "entry"

    def _go_to_changed(self, before: Mapping[Key, RoundLine]) -> None:
        """Bring the hand back to what was taken back or put back."""
        for key, line in self._of_key.items():
            if before.get(key) != line:
                self._list.set_current(key)
                return

    def _day_changed(self) -> None:
        self.notices.clear()
        self._list.set_lines(())
        if self.isVisible():
            self.refresh()

    # walking

    def _go_on(self, key: object = None) -> None:
        if not self._list.go_on() and self._round is not None:
            left = self._round.to_do
            self.notices.say(
                "This is the only line still to do."
                if left
                else "All done for tonight. Well walked."
            )

    def toggle_everything(self) -> None:
        """Show what is not due as well, or hide it again."""
        self._everything = not self._everything
        self._read()
        self.hints_changed.emit()

    def tell_next_hatch(self) -> None:
        """Say which eggs hatch next, and put the hand on their line."""
        if self._round is None:
            return
        sentence = self._round.hatch_sentence or "No eggs are waiting for their first."
        self.notices.say(sentence)
        if self._round.next_pot_id is None:
            return
        self._go_to_line(("pot", self._round.next_pot_id))

    def take_up(self, kind: str, target: object) -> bool:
        """Go to a box or pot that was found; its keys are on its line."""
        kinds = {of: key for key, of in KINDS.items() if key != "test"}
        key = (kinds.get(kind, ""), target)
        if not isinstance(target, int) or not self._go_to_line((key[0], target)):
            return False
        self.focus_first()
        return True

    def _go_to_line(self, key: Key) -> bool:
        """Put the hand on a line, among everything where it is not due."""
        if self._list.set_current(key):
            return True
        if not self._everything:
            self.toggle_everything()
            if self._list.set_current(key):
                return True
            self.toggle_everything()
        return False

    def _open_brood(self, key: object) -> None:
        line = self._line(key)
        if line is not None:
            self.go_asked.emit(KINDS[line.kind], line.tree_id or line.id)

    def _line(self, key: object) -> RoundLine | None:
        return self._of_key.get(key) if isinstance(key, tuple) else None

    # answering

    def _answer(self, key: object, typed: str) -> None:
        line = self._line(key)
        if line is None:
            return
        cap = typed[:1].upper()
        if cap in VISITS and line.task is not Task.LEAVE_ALONE:
            if self.write_visit(line, VISITS[cap]):
                self.notices.clear()
                self._go_on()
        elif cap == "S":
            self._go_on()
        elif cap in DIGITS:
            # a click on the cap brings its letters, "0–9": nothing typed yet
            self.ask_number(line, typed if len(typed) == 1 else "")
        else:
            self.ask_about(line, cap)

    # forms

    def _step_key(self, key: object, typed: str) -> None:
        self._take_step(LETTERS.get(typed.upper(), key))

    def _take_step(self, step: object) -> None:
        if step in {"home", "site", "place", "night", "female"}:
            self.ask(str(step))
        elif step == "stock":
            self.ask("eggs")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.text().upper() == "A" and self.panel is None:
            self.toggle_everything()
        elif event.key() == Qt.Key.Key_Escape:
            self.notices.clear()
        else:
            super().keyPressEvent(event)
