"""The panels and forms of the round: entries at a line, days away, and readings."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from rearing.desk.help_panel import HelpPanel
from rearing.desk.notices import show_trouble
from rearing.desk.pages.at_a_box import FORMS, box_form, trace_panel
from rearing.desk.pages.round_away import AwayAhead, AwayPanel
from rearing.desk.pages.round_keys import BOX_FORMS, POT_FORMS
from rearing.desk.pages.round_printing import RoundPrinting
from rearing.keeping.away_days import drop_away
from rearing.problems import Refusal, StorageTrouble
from rearing.terms import Visit

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.page import Panel
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.keeping.away import Away
    from rearing.keeping.round_lines import RoundLine
    from rearing.records.journal import Touched

KINDS = {"box": "box", "pot": "egg_pot", "test": "tree"}


class RoundPanels(RoundPrinting):
    """A page with the forms of a round's lines and what is read at its side."""

    def __init__(self, session: Session, theme: Theme, tasks: Tasks | None) -> None:
        super().__init__(session, theme)
        self._shows_away = False
        self.away = AwayAhead(session, tasks, self)
        self.away.changed.connect(self._away_told)

    # what the page says

    def line_in_hand(self) -> RoundLine | None:
        """Return the line under the keeper's hand; a page says which."""
        return None

    def tell_foot(self) -> None:
        """Write the foot again; a page says how."""

    def panel_told(self, is_open: bool) -> None:
        """Give a panel room, or take it back; a page says how."""

    def has_keyboard(self) -> bool:
        """Tell whether the page has it, outside an open panel."""
        there = QApplication.focusWidget()
        if there is None or (self.panel and self.panel.isAncestorOf(there)):
            return False
        return there is self or self.isAncestorOf(there)

    def make_room(self) -> None:
        """Give a panel room; large text has none for the foot beside it."""
        # before the panel is shown: the window would else grow, and stay so
        self.panel_told(self.panel is not None)
        super().make_room()

    def close_panel(self) -> None:
        """Take the panel away."""
        super().close_panel()
        self.panel_told(False)

    # entries at a line

    def write_visit(self, line: RoundLine, what: Visit) -> bool:
        """Write a visit at a line as of now; False where it was refused."""
        from rearing.keeping.boxes import When
        from rearing.keeping.care import Leaf, visit

        now = self._session.now()
        pot = line.kind == "pot"
        return self.do(
            visit,
            what=Visit.LOOKED if pot else what,
            when=When(now.date(), now),
            box_id=None if pot else line.id,
            pot_id=line.id if pot else None,
            leaf=Leaf(host=line.host) if what.feeds else None,
        )

    def ask_number(self, line: RoundLine, typed: str) -> None:
        """Ask how many were counted, or hatched in a pot; a digit may be typed."""
        if line.kind == "pot":
            self.ask("fate", pot_id=line.id, typed=typed)
        else:
            self.ask("count", box_id=line.id, typed=typed)

    def ask_about(self, line: RoundLine, cap: str) -> None:
        """Open what a letter asks for at a line."""
        if cap == "N":
            self.ask("note", subject=KINDS[line.kind], subject_id=line.id)
        elif line.kind == "test":
            self._ask_to_judge(line)
        elif line.kind == "pot" and cap in POT_FORMS:
            self.ask(POT_FORMS[cap], pot_id=line.id)
        elif cap in FORMS:
            self._open(partial(box_form, letter=cap), box_id=line.id)
        elif cap == "T":
            self.open_panel(trace_panel(self._session, self.theme, line.id), side=True)
        elif cap in BOX_FORMS:
            self.ask(BOX_FORMS[cap], box_id=line.id)

    def ask(self, name: str, **context: object) -> None:
        """Open one of the entry forms."""
        from rearing.desk import entries

        make: Callable[..., Panel] = getattr(entries, name)
        self._open(make, **context)

    def _open(self, make: Callable[..., Panel], **context: object) -> None:
        try:
            self.open_panel(make(self._session, self.theme, **context))
        except Refusal as refusal:
            self.notices.say_problem(refusal)

    def _ask_to_judge(self, line: RoundLine) -> None:
        from rearing.desk.entries.leaf_test_forms import judge_test

        self._open(judge_test, test_id=line.id)

    def at_box_in_hand(self, letter: str, what: str) -> None:
        """Ask the box under the hand for what a letter means there."""
        line = self.line_in_hand()
        if line is None or line.kind != "box":
            self.notices.say(f"↑ ↓ go to a box first; {letter} {what}.")
        else:
            self.ask_about(line, letter)

    # read at the side

    def read_apart(self) -> None:
        """Show who is kept apart, why, and until when."""
        from rearing.desk.pages.round_reading import apart_reading

        apart = () if self._round is None else self._round.apart
        self._read_out("Kept apart", apart_reading(apart))

    def read_room(self) -> None:
        """Show which boxes are too full, now or at their next moult."""
        from rearing.desk.pages.round_reading import room_reading

        crowded = () if self._round is None else self._round.crowded
        self._read_out("Too full", room_reading(crowded))

    def _read_out(self, title: str, told: tuple[tuple[str, str], ...]) -> None:
        self.open_panel(HelpPanel(self.theme, title, told), side=True)

    # away

    def away_answer(self) -> Away | None:
        return self.away.answer

    def ask_away(self) -> None:
        """Ask from when to when, or show what the days entered would cost."""
        if self.away.row is None:
            self._ask_days()
        else:
            self._show_away()

    def _show_away(self) -> None:
        keys = {
            "C": self._change_away,
            "X": self._drop_away,
            "P": self.ask_helper_paper,
        }
        self.open_panel(AwayPanel(self.theme, self.away, keys), side=True)

    def _ask_days(self) -> None:
        self._ask_away_form(None)

    def _change_away(self) -> None:
        if self.away.row is not None:
            self._ask_away_form(self.away.row.id)

    def _ask_away_form(self, away_id: int | None) -> None:
        from rearing.desk.entries.away_forms import away

        form = away(self._session, self.theme, away_id)
        self._shows_away = False
        form.kept.connect(self._days_kept)
        self.open_panel(form)
        # after the page's own: it has put the form away by then
        form.closed.connect(self._days_closed)

    def _days_kept(self) -> None:
        self._shows_away = True

    def _days_closed(self) -> None:
        if self._shows_away and self.away.row is not None:
            self._show_away()
        self._shows_away = False

    def _drop_away(self) -> None:
        row = self.away.row
        if row is None:
            return
        self.close_panel()
        self.do(drop_away, away_id=row.id)

    def _away_told(self) -> None:
        self.tell_foot()
        if isinstance(self.panel, AwayPanel):
            self.panel.tell_again()

    def do(self, verb: Callable[..., Touched], **values: object) -> bool:
        """Let a verb write; a refusal or a trouble of the disk is told here."""
        try:
            self._session.do(verb, **values)
        except Refusal as refusal:
            self.notices.say_problem(refusal)
        except StorageTrouble as trouble:
            show_trouble(self.window(), trouble)
        else:
            return True
        return False
