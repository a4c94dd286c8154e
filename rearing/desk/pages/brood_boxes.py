"""What is asked at a brood's boxes and pots, by letter or from the menus."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk import entries
from rearing.desk.entries.which import WhichForm
from rearing.desk.notices import Tone
from rearing.desk.page import Page
from rearing.desk.pages.at_a_box import FORMS, BoxActs, box_form, trace_panel
from rearing.desk.widgets.fields import SearchField
from rearing.keeping.beside import name_of
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from rearing.desk.page import Panel
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.listening_lists import PartList

_BOX_FORMS: dict[str, Callable[..., Panel]] = {
    "C": entries.count,
    "F": entries.feed,
    "G": entries.stages,
    "X": entries.loss,
    "M": entries.carry,
    "V": entries.move,
    "R": entries.leave,
    "I": entries.measure,
    "Z": entries.close_box,
}
AT_A_BOX = frozenset({*_BOX_FORMS, "D", "J", "T"})
_POT_FORMS: dict[str, Callable[..., Panel]] = {
    "H": entries.fate,
    "L": entries.put_on_leaf,
    "M": entries.carry,
    "Z": entries.close_pot,
}
AT_A_POT = frozenset(_POT_FORMS)


class BroodBoxes(Page):
    """A page with the boxes and pots of a brood, each answering to letters."""

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(theme)
        self._session = session
        self.box_acts = BoxActs(self.at_box_in_hand, of="brood_")

    # what the page says

    @property
    def brood_id(self) -> int | None:
        """The brood whose page is open; a page says which."""
        return None

    def boxes(self) -> PartList:
        """Return the list of its boxes and pots; a page says which."""
        raise NotImplementedError

    # asking

    def ask_which(self, key: str) -> None:
        """Do it at the only box or pot that takes the key, or ask which is meant."""
        takers = [
            line
            for line in self.boxes().lines()
            if any(offer.takes(key) for offer in line.keys)
        ]
        if len(takers) == 1:
            self.at_thing(takers[0].key, key)
        elif takers and not self.boxes().isVisible():
            self._ask_which_of([line.key for line in takers], key)
        elif takers:
            self.boxes().setFocus()
            self.boxes().set_current(takers[0].key)
            self.notices.say(f"Which one? ↑ ↓ go to it, then {key}.")
        else:
            word = "box" if key in AT_A_BOX else "pot"
            self.notices.say(f"No {word} stands here that {key} could mean.", Tone.NEWS)

    def _ask_which_of(self, things: Sequence[object], key: str) -> None:
        """Ask by a form: the page shown has no list to go along."""
        book = self._session.book
        options = tuple(
            (thing, name_of(book, "egg_pot" if kind == "pot" else kind, row_id))
            for thing in things
            if isinstance(thing, tuple)
            for kind, row_id in [thing]
        )
        field = SearchField("which", "&Which", options=options, required=True)
        form = WhichForm(
            self._session,
            self.theme,
            "Which one?",
            field,
            lambda thing: self.at_thing(thing, key),
        )
        self.open_panel(form)

    def at_thing(self, thing: object, typed: str) -> None:
        """Do what a letter means at a box or a pot."""
        if not isinstance(thing, tuple):
            return
        kind, row_id = thing
        key = typed.upper()
        self.notices.clear()
        if key == "N":
            self.note("egg_pot" if kind == "pot" else "box", row_id)
            return
        if kind == "box" and (key in FORMS or key == "T"):
            self._ask_box(row_id, key)
            return
        forms = _POT_FORMS if kind == "pot" else _BOX_FORMS
        form = forms.get(key)
        if form is not None:
            name = "pot_id" if kind == "pot" else "box_id"
            self.open_panel(form(self._session, self.theme, **{name: row_id}))

    def at_box_in_hand(self, letter: str, what: str) -> None:
        """Ask the box under the hand, or the brood's only one, for what is meant."""
        boxes = [line.key for line in self.boxes().lines() if _is_box(line.key)]
        hand = self.in_hand()
        if hand is None or self.brood_id is None:
            self.notices.say("Open a brood first: Enter.", Tone.NEWS)
        elif hand[0] == "box":
            self._ask_box(hand[1], letter)
        elif len(boxes) == 1:
            self.at_thing(boxes[0], letter)
        else:
            self.notices.say(f"Tab and ↑ ↓ go to a box first; this {what}.")

    def _ask_box(self, box_id: int, letter: str) -> None:
        if letter == "T":
            self.open_panel(trace_panel(self._session, self.theme, box_id), side=True)
            return
        try:
            self.open_panel(box_form(self._session, self.theme, letter, box_id))
        except Refusal as refusal:
            self.notices.say_problem(refusal)

    def note(self, subject: str, subject_id: int) -> None:
        """Ask for a note on something."""
        self.open_panel(
            entries.note(
                self._session, self.theme, subject=subject, subject_id=subject_id
            )
        )


def _is_box(key: object) -> bool:
    return isinstance(key, tuple) and key[0] == "box"
