"""Leaf: what the weeks ask for, the trees, what lies cut, larvae that test it."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

from rearing.desk import entries
from rearing.desk.actions import Act
from rearing.desk.entries import leaf_test_forms, tree_forms
from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages import leaf_words
from rearing.desk.pages.leaf_keep import Asked, KeepForm
from rearing.desk.pages.leaf_out import LeafTold, shown_leaf
from rearing.desk.pages.leaf_reading import LeafReading
from rearing.desk.pages.page_keys import is_for_page
from rearing.desk.photos import PHOTO_KEYS
from rearing.keeping.tree_story import tree_story
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from PySide6.QtGui import QKeyEvent

    from rearing.desk.page import Panel, Shown
    from rearing.desk.session import Session
    from rearing.desk.tasks import Tasks
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.listening_lists import PartList
    from rearing.keeping.how_many import HowMany

STILL = "The weeks to come are still being worked out."
NOBODY = "Nobody here eats leaf in these weeks."
_ACTS = (
    Act("leaf_keep", "&How many can I keep…", None, "By leaf and by room", "&Page"),
    Act("leaf_read", "Read the &leaf's weeks", None, "All of it in words", "&Page"),
    Act("leaf_open", "Open a &tree again…", None, "Before its day", "&Page"),
    Act("leaf_judge", "&Judge test larvae…", None, "How many live", "&Page"),
    Act("leaf_gone", "A c&ut is gone…", None, "Used up or thrown away", "&Page"),
    Act("leaf_bare", "When leaves are &down…", None, "When a host is bare", "&Page"),
)
_TREE_FORMS: dict[str, Callable[..., Panel]] = {
    "C": entries.cut,
    "Z": entries.close_tree,
    "O": tree_forms.open_tree,
    "S": entries.tree_sign,
    "P": entries.leaf_test,
}
_HELP = (
    (
        "Leaf",
        "K   how many can be kept: by leaf, by room\n"
        "C   leaf cut; at a tree's line, from it\n"
        "T   a new tree\n"
        "R   reads the weeks to come\n"
        "D   when a host is bare\n"
        "Tab   the chart, then what lies cut, the trees, the test larvae",
    ),
    ("Photos of the trees", PHOTO_KEYS),
    ("On the chart", "← →   a day; PgUp PgDn a week; Home tomorrow"),
    (
        "At a tree",
        "Enter   all that is known of it\n"
        "C   leaf cut from it\n"
        "Z   close it, say sprayed\n"
        "O   open it again\n"
        "S   a sign of its year: bud burst, leaf-drop\n"
        "P   test larvae on its leaf\n"
        "N   a note",
    ),
    ("At a cut", "X   it is gone: used up or thrown away"),
    ("At test larvae", "J   judge them: alive, the tree opens; dead, it stays closed"),
)


class LeafPage(LeafReading):
    """The leaf under the keeper's keys."""

    number: ClassVar[int] = 5
    title: ClassVar[str] = "Leaf"
    targets: ClassVar[tuple[str, ...]] = ("tree", "cut")

    def __init__(
        self,
        session: Session,
        theme: Theme,
        tasks: Tasks | None = None,
        *,
        folder: Path | None = None,
    ) -> None:
        super().__init__(session, theme, tasks, folder=folder)
        self._asked = Asked()
        self._aim: PartList | None = None
        self.sheet.line_key.connect(self._at_line)
        self.sheet.line_chosen.connect(self._read_line)
        self.sheet.sheet.turned.connect(self.sheet.days.go)

    # what the window asks

    def focus_first(self) -> None:
        aim, self._aim = self._aim, None
        if self.is_quiet:
            self.setFocus()
        elif aim is not None:
            aim.setFocus()
            aim.keep_in_sight()
        elif self.view is not None and self.view.hosts:
            self.sheet.days.setFocus()
            self.sheet.sheet.verticalScrollBar().setValue(0)
        elif self.view is not None and self.trees:
            self.sheet.trees.setFocus()
        else:
            self.sheet.sheet.setFocus()

    def hints(self) -> str:
        if self.is_quiet:
            return "T tree   C leaf cut   Ctrl+3 mothers   F1 keys"
        if self.view is not None and not self.view.hosts:
            return "C leaf cut   T tree   D when bare   F1 keys"
        return "← → day   K how many   C leaf cut   T tree   R read   F1 keys"

    def key_help(self) -> tuple[tuple[str, str], ...]:
        return _HELP

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        does = (
            *(self.ask_keep, self.read_aloud, self.ask_open),
            *(self.ask_judge, self.ask_gone, self.ask_bare),
        )
        own = zip(_ACTS, does, strict=True)
        return (*own, (self.photos.act("leaf"), self.photos.look))

    def tables(self) -> tuple[Shown, ...]:
        told = LeafTold(self.view, self.trees, self.cuts, self.larvae, self.kept)
        return (*shown_leaf(told, self.sheet), *self.photos.tables())

    def in_hand(self) -> tuple[str, int] | None:
        for part in self.sheet.lists():
            key = part.current_key() if part.hasFocus() else None
            if isinstance(key, tuple) and key[0] == "tree":
                return "tree", int(key[1])
        return None

    def show_target(self, kind: str, target: object) -> None:
        """Turn to a tree's line, or to a cut's."""
        self._aim = self.sheet.trees if kind == "tree" else self.sheet.cuts
        if self._aim.set_current((kind, target)):
            # the window asks for the first place to work at once more after this
            self._aim.setFocus()
            self._aim.keep_in_sight()

    # asking

    def ask_keep(self) -> None:
        """Ask how many can be kept."""
        if self.view is None or not self.view.hosts:
            self.notices.say(STILL if self.view is None else NOBODY)
            return
        form = KeepForm(self._session, self.theme, self.view, self._asked)
        form.answered.connect(self._keep_told)
        self.open_panel(form)

    def _keep_told(self, found: Sequence[HowMany], asked: Asked) -> None:
        self._asked, self.kept = asked, tuple(found)
        self.sheet.tell_keep(found)
        self.sheet.sheet.ensureWidgetVisible(self.sheet.keep)
        words = " ".join(one.words for one in found)
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def read_aloud(self) -> None:
        """Show the weeks to come in words, and have them read."""
        if self.view is None:
            self.notices.say(STILL)
            return
        said = leaf_words.reading(self.view)
        self.open_panel(HelpPanel(self.theme, "Leaf to cut", said), side=True)
        words = " ".join(words for _, words in said)
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def ask_open(self) -> None:
        """Ask which closed tree is open again."""
        self._ask(tree_forms.open_tree)

    def ask_judge(self) -> None:
        """Ask how many test larvae live; of several tests, first of which."""
        larvae = self.sheet.larvae
        running = [one.key for one in larvae.lines() if one.keys]
        if len(running) < 2:
            self._ask(leaf_test_forms.judge_test)
        elif larvae.hasFocus() and larvae.current_key() in running:
            self._at_line(larvae.current_key(), "J")
        else:
            larvae.setFocus()
            larvae.set_current(running[0])
            self.notices.say("Which test? ↑ ↓ go to it, then J.")

    def ask_gone(self) -> None:
        """Ask which cut is gone."""
        self._ask(tree_forms.throw_away)

    def ask_bare(self) -> None:
        """Ask when a host is bare: that most needed, or of the first tree."""
        hosts = [one.host for one in self.view.hosts] if self.view else []
        hosts += [one.row.host for one in self.trees]
        self.open_panel(
            entries.bare(self._session, self.theme, hosts[0] if hosts else "")
        )

    def _ask(self, form: Callable[..., Panel], **context: object) -> None:
        self.notices.clear()
        try:
            self.open_panel(form(self._session, self.theme, **context))
        except Refusal as refusal:
            self.notices.say_problem(refusal)

    # lines

    def _at_line(self, key: object, typed: str) -> None:
        if not isinstance(key, tuple):
            return
        kind, row_id = key
        letter = typed.upper()
        if kind == "cut" and letter == "X":
            self._ask(tree_forms.throw_away, cut_id=row_id)
        elif kind == "test" and letter == "J":
            self._ask(leaf_test_forms.judge_test, test_id=row_id)
        elif kind == "tree" and letter == "N":
            self._ask(entries.note, subject="tree", subject_id=row_id)
        elif kind == "tree" and letter in _TREE_FORMS:
            self._ask(_TREE_FORMS[letter], tree_id=row_id)

    def _read_line(self, key: object) -> None:
        """Show all that is known of a tree at the side."""
        if isinstance(key, tuple) and key[0] == "tree":
            session = self._session
            name, said = tree_story(session.book, key[1], session.on)
            self.open_panel(HelpPanel(self.theme, name, said), side=True)

    # keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.panel is not None:
            self.close_panel()
        elif not is_for_page(self, event) or not self.answer(event.text().upper()):
            super().keyPressEvent(event)

    def answer(self, key: str) -> bool:
        """Do what a letter asks for; False when it asks nothing."""
        does: dict[str, Callable[[], object]] = {
            "K": self.ask_keep,
            "R": self.read_aloud,
            "D": self.ask_bare,
            "J": self.ask_judge,
            "X": self.ask_gone,
            "O": self.ask_open,
        }
        forms: dict[str, Callable[..., Panel]] = {"T": entries.tree, "C": entries.cut}
        if key in does:
            does[key]()
        elif key in forms:
            self._ask(forms[key])
        elif key and key in "SPZN" and self.trees:
            self._which(self.sheet.trees, key)
        else:
            return False
        return True

    def _which(self, lines: PartList, key: str) -> None:
        """Go to the trees: a key that means one of them asks which."""
        if len(lines.lines()) == 1:
            self._at_line(lines.lines()[0].key, key)
            return
        lines.setFocus()
        self.notices.say(f"Which tree? ↑ ↓ go to it, then {key}.")
