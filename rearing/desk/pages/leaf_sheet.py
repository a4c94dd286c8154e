"""The leaf page's sheet: what is to come, day by day, what lies cut, the trees."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.pages import leaf_words, leaf_writing
from rearing.desk.pages.leaf_days import LeafDays
from rearing.desk.widgets.beside import stacked
from rearing.desk.widgets.header import PageHeader
from rearing.desk.widgets.listening_lists import PartList
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.reading_sheet import ReadingSheet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Theme
    from rearing.desk.widgets.picture_strip import PictureStrip
    from rearing.keeping.how_many import HowMany
    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.leaf_view import LeafView
    from rearing.keeping.trees import TreeNow

TO_COME, DAYS, BEWARE, KEEP, CUT, TREES, LARVAE, PHOTOS = (
    *("To come", "Day by day", "Beware", "To keep", "Lying cut", "Trees"),
    *("Test larvae", "Photos"),
)
NO_TREES = "No tree is entered yet. T enters one: where you cut, and who lets you."
NO_NEED = "Nobody here will eat leaf in these weeks."
ASKING = "The leaf of the weeks to come is being worked out."


_WAYS = {
    "plain": ("body", "ink"),
    "lead": ("lead", "ink"),
    "quiet": ("body", "ink2"),
    "warns": ("body", "madder"),
}


class Paragraphs(QWidget):
    """Paragraphs one under the other, each in its own way (see `_WAYS`)."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._shown: list[Prose] = []
        theme.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        self._column.setSpacing(self._theme.look.px(6))

    def tell(self, paragraphs: Sequence[tuple[str, str]]) -> None:
        """Show other paragraphs: (words, the way they are written)."""
        for prose in self._shown:
            self._column.removeWidget(prose)
            prose.hide()
            prose.deleteLater()
        self._shown = []
        for words, way in paragraphs:
            face, ink = _WAYS[way]
            prose = Prose(self._theme, face, ink)
            prose.tell(words)
            self._column.addWidget(prose)
            self._shown.append(prose)

    @property
    def words(self) -> str:
        """All that is shown."""
        return "\n".join(prose.text() for prose in self._shown)


class LeafSheet(QWidget):
    """The head and the sections; `line_key(key, typed)` and `line_chosen(key)`."""

    line_key = Signal(object, str)
    line_chosen = Signal(object)

    def __init__(self, theme: Theme, photos: PictureStrip) -> None:
        super().__init__()
        self.photos = photos
        self.header = PageHeader(theme)
        self.sheet = ReadingSheet(theme, "Leaf")
        self.to_come = Paragraphs(theme)
        self.days = LeafDays(theme, "Leaf to cut day by day")
        self.legend = Prose(theme, "small", "ink2")
        self.beware = Paragraphs(theme)
        self.keep = Paragraphs(theme)
        self.cuts = PartList(theme, leaf_writing.CUT_COLUMNS, "Leaf that lies cut")
        self.cut_words = Prose(theme, "small", "ink2")
        self.trees = PartList(theme, leaf_writing.TREE_COLUMNS, "Trees")
        self.tree_words = Prose(theme, "small", "ink2")
        self.larvae = PartList(theme, leaf_writing.TEST_COLUMNS, "Test larvae")
        self.legend.tell(leaf_words.LEGEND)
        self.sheet.arrange(
            (
                (TO_COME, self.to_come),
                (DAYS, stacked(theme, self.days, self.legend)),
                (BEWARE, self.beware),
                (KEEP, self.keep),
                (CUT, stacked(theme, self.cuts, self.cut_words)),
                (TREES, stacked(theme, self.trees, self.tree_words)),
                (LARVAE, self.larvae),
                (PHOTOS, self.photos),
            )
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        column.addWidget(self.sheet, 1)
        for part in self.lists():
            part.key_pressed.connect(self.line_key)
            part.chosen.connect(self.line_chosen)
        self.days.moved.connect(self.show_days)
        self.sheet.order((self.days, *self.lists(), self.photos))
        self.tell_keep(())

    def lists(self) -> tuple[PartList, ...]:
        """Return the lists, top to bottom."""
        return self.cuts, self.trees, self.larvae

    def keep_in_sight(self) -> None:
        """Keep the line in hand in sight when something above it grew."""
        for part in self.lists():
            part.keep_in_sight()

    def show_days(self) -> None:
        """Scroll the chart into sight."""
        self.sheet.ensureWidgetVisible(self.days)

    def tell_view(self, view: LeafView | None) -> None:
        """Show the weeks to come; None while nothing is known of them."""
        if view is None:
            self.to_come.tell([(ASKING, "plain")])
        else:
            told = leaf_words.host_paragraphs(view.hosts)
            self.to_come.tell(told or [(NO_NEED, "plain")])
            self.days.tell(view)
            self.beware.tell([(words, "plain") for words in view.warnings])
        has_need = view is not None and bool(view.hosts)
        self.sheet.say(TO_COME, "80 in 100" if has_need else "")
        self.sheet.say(DAYS, "← → a day" if has_need else "", shown=has_need)
        self.sheet.say(BEWARE, "", shown=view is not None and bool(view.warnings))

    def tell_photos(self) -> None:
        """Show the photos' section where there are any."""
        self.sheet.say(PHOTOS, "of the trees", shown=bool(self.photos.cells()))

    def tell_keep(self, found: Sequence[HowMany]) -> None:
        """Show how many can be kept."""
        self.keep.tell([(one.words, "plain") for one in found])
        self.sheet.say(KEEP, "K asks anew", shown=bool(found))

    def tell_reach(
        self,
        trees: Sequence[TreeNow],
        cuts: Sequence[CutNow],
        larvae: Sequence[LeafTest],
    ) -> None:
        """Show trees, cuts and test larvae."""
        self.cuts.set_lines(leaf_writing.cut_lines(cuts))
        self.cuts.setVisible(bool(self.cuts.lines()))
        self.cut_words.tell(leaf_words.cuts_words(cuts))
        self.sheet.say(CUT, "C enters a cut")
        self.trees.set_lines(leaf_writing.tree_lines(trees))
        self.trees.setVisible(bool(trees))
        self.tree_words.tell("" if trees else NO_TREES)
        self.sheet.say(TREES, "T enters one")
        self.larvae.set_lines(leaf_writing.larvae_lines(larvae))
        self.sheet.say(LARVAE, leaf_words.larvae_words(larvae), shown=bool(larvae))
