"""The Entry menu: every form from every page, each by F2 and a letter."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject

from rearing.desk.actions import Act
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from rearing.desk.entries.offers import Options
    from rearing.desk.page import Page, Panel
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.form import EntryForm
    from rearing.desk.window import Window

MENU = "&Entry"


class Maker(Protocol):
    """A function of the entries package that makes a form."""

    def __call__(self, session: Session, theme: Theme, *thing: object) -> EntryForm:
        """Return the form, for a thing where it is of one."""


@dataclass(frozen=True, slots=True)
class Entering:
    """One form as the menu offers it: its name, words, letter, and what it is of.

    Letters and signs are used up; Shift and a letter is what its page calls it.

    `of` names the kind of thing that is chosen first; empty where the form asks.
    """

    form: str
    text: str
    letter: str
    tip: str
    of: str = ""
    also: str = ""
    """Another key that means the same."""
    straight: bool = False
    """Of what is in the page's hand, without asking, where there is such a thing."""

    @property
    def act(self) -> Act:
        """The act in the menu."""
        keys = f"F2, {self.letter}"
        if self.also:
            keys = f"{self.also} or {keys}"
        return Act(f"enter_{self.form}", self.text, keys, self.tip, MENU)


AT_THE_LAMP = (
    Entering("night", "Lamp &night…", "N", "A lamp night, by its evening"),
    Entering("check", "&Check at the lamp…", "K", "One look at sheet or bucket"),
    Entering("arrival", "Moths &at the lamp…", "A", "Moths counted at sheet or bucket"),
    Entering("outage", "Lamp &dark…", "U", "A time the lamp was dark"),
    Entering("second_look", "&Second look…", "D", "Call a moth something else"),
)
MOTHS_AND_EGGS = (
    Entering("female", "Keep a &female…", "W", "Keep a wild female; she gets a code"),
    Entering("eggs", "&Eggs of a night…", "E", "Eggs by the night"),
    Entering(
        "correct_eggs", "&Correct eggs…", "Q", "Mend the count of a night", "laying"
    ),
    Entering("fate", "&Hatched, or other fate…", "H", "What became of eggs", "pot"),
    Entering("put_on_leaf", "Put on &leaf…", "L", "From the pot into a box", "pot"),
    Entering("close_pot", "Put a p&ot away…", "J", "Close an egg pot", "pot"),
    Entering("mated", "&Mated or not…", "Y", "What is believed, and why", "female"),
    Entering("pairing", "&Pairing…", "P", "A female and what is known of her mate"),
    Entering("emergence", "Eme&rgence…", "M", "An adult with a code of its own"),
    Entering("let_go", "Let &go…", "G", "What became of a moth", "moth"),
)
AT_THE_BOXES = (
    Entering("feed", "&Fed…", "F", "Leaf given: which and how much", "box"),
    Entering("count", "&Counted…", "O", "A headcount, with losses found at it", "box"),
    Entering("stages", "&Stages…", "S", "How many in which stage, at rest", "box"),
    Entering("loss", "&Lost…", "X", "A loss with its cause", "box"),
    Entering("measure", "Meas&ured…", "+", "Heads, lengths, masses", "box"),
    Entering(
        "correct_measurement",
        "Correct a fi&gure…",
        "Shift+M",
        "One head, length or mass that was measured",
        "measurement",
    ),
    Entering("leave", "Lea&ve…", "R", "Given, released, sold, specimen", "box"),
    Entering("open_box", "&Open a box…", "B", "An empty box for a brood"),
    Entering("move", "&Move some…", "V", "Into another box or a new one", "box"),
    Entering("carry", "C&arry…", "C", "A box or a pot to another place"),
    Entering("close_box", "Close a bo&x…", "Z", "A box that is done with", "box"),
    Entering("note", "&Note…", "T", "Words beside anything", "anything"),
    Entering("correct_note", "Correct a no&te…", ".", "Write it otherwise", "note"),
    Entering(
        "correct_photo",
        "Under a photo: capt&ion, day…",
        "-",
        "Write its caption or its day otherwise",
        "photo",
    ),
    Entering(
        "photo",
        "P&hoto…",
        "I",
        "Pictures beside what is in the hand, or beside anything",
        "anything",
        also="Ctrl+I",
        straight=True,
    ),
)
WHAT_STANDS = (
    Entering("home", "&Home…", "1", "Its name, its time zone, the keeper"),
    Entering("site", "&Site…", "2", "Where a lamp stands"),
    Entering("place", "&Place…", "3", "A shelf, room, fridge, shed or tree"),
    Entering("change_place", "&Change a place…", "4", "Its name or set point", "place"),
    Entering("forecast", "&Weather forecast…", "8", "Days to come, typed or pasted"),
    Entering("tree", "&Tree…", "5", "A tree that is cut or sleeved"),
    Entering("close_tree", "C&lose a tree…", "6", "Not to be cut until a day"),
    Entering("cut", "L&eaf cut…", "7", "Which leaf, how much, from where"),
    Entering("tree_sign", "S&ign of a tree…", "9", "Bud burst, leaf-drop, mildew"),
    Entering("leaf_test", "Test la&rvae…", "0", "A few on leaf of a suspect tree"),
    Entering("judge_test", "&Judge them…", "Shift+J", "How many live", "leaf_test"),
    Entering(
        "open_tree", "Open a tree a&gain…", "Shift+O", "Before its day", "closed_tree"
    ),
    Entering("throw_away", "A c&ut is gone…", "Shift+X", "Used up, mouldy", "cut"),
    Entering("bare", "Leaves are &down…", "Shift+D", "When a host is bare"),
)
GROUPS: Mapping[str, tuple[Entering, ...]] = {
    "At the &lamp": AT_THE_LAMP,
    "&Moths and eggs": MOTHS_AND_EGGS,
    "At the &boxes": AT_THE_BOXES,
    "&Home, places, trees": WHAT_STANDS,
}


class EntryActs(QObject):
    """Puts the forms in a window's menus and opens them on the page that is shown."""

    def __init__(self, session: Session, theme: Theme, window: Window) -> None:
        super().__init__(window)
        self._session = session
        self._theme = theme
        self._window = window
        self._openers = []
        for title, group in GROUPS.items():
            openers = [_Opener(entering, self) for entering in group]
            self._openers += openers
            offered = [(opener.entering.act, opener.open) for opener in openers]
            window.menus.add_group(MENU, title, offered)

    def begin(self, entering: Entering) -> None:
        """Open a form, or first ask what it is of where there are several."""
        page = self._window.page
        if page is None:
            return
        try:
            if not entering.of:
                page.open_panel(self._made(entering))
                return
            self._choose(page, entering)
        except Refusal as refusal:
            page.notices.say_problem(refusal)

    def _choose(self, page: Page, entering: Entering) -> None:
        from rearing.desk.entries.which import nothing_words, options_of

        hand = page.in_hand()
        if entering.straight and hand is not None:
            page.open_panel(self._made(entering, hand))
            return
        options = options_of(self._session, entering.of, hand)
        if not options:
            raise Refusal(nothing_words(entering.of))
        if len(options) == 1:
            page.open_panel(self._made(entering, options[0][0]))
            return
        page.open_panel(self._chooser(page, entering, options))

    def _chooser(self, page: Page, entering: Entering, options: Options) -> Panel:
        from rearing.desk.entries.which import which_field, which_form

        title = entering.text.replace("&", "").rstrip("…")
        then: Callable[[object], Panel] = partial(self._made, entering)
        field = which_field(entering.of, options, page.in_hand())
        return which_form(self._session, self._theme, title, field, page, then)

    def _made(self, entering: Entering, *thing: object) -> EntryForm:
        from rearing.desk import entries

        make: Maker = getattr(entries, entering.form)
        spread = thing[0] if thing and isinstance(thing[0], tuple) else thing
        return make(self._session, self._theme, *spread)


class _Opener(QObject):
    def __init__(self, entering: Entering, acts: EntryActs) -> None:
        super().__init__(acts)
        self.entering = entering
        self._acts = acts

    def open(self) -> None:
        self._acts.begin(self.entering)
