"""A brood's page in the notebook: its sections, and filling them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.pages import (
    brood_leaf,
    brood_leavings,
    brood_losses,
    brood_windows,
    brood_writing,
)
from rearing.desk.pages.doing_lines import DOING_COLUMNS, FEW, doing_lines
from rearing.desk.pages.remark_words import remark_words
from rearing.desk.pages.sheet_words import caution_words, law_words
from rearing.desk.widgets.beside import Beside, stacked
from rearing.desk.widgets.chain import Chain
from rearing.desk.widgets.day_bars import DayBars
from rearing.desk.widgets.header import PageHeader
from rearing.desk.widgets.listening_lists import PartList
from rearing.desk.widgets.losses import Losses
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.reading_sheet import ReadingSheet
from rearing.desk.widgets.stage_bar import StageBar
from rearing.desk.widgets.step_line import StepLine
from rearing.desk.widgets.windows_plot import WindowsPlot

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.theme import Theme
    from rearing.desk.widgets.picture_strip import PictureStrip
    from rearing.keeping.broods import BroodPage

FROM, NUMBERS, INSTARS, WINDOWS, LOSSES, LEAF, LEFT, DONE, PHOTOS, NOTES, CAUTION = (
    *("From", "Numbers", "Instars", "Windows", "Losses"),
    *("Leaf", "Left", "Done last", "Photos", "Notes", "Caution"),
)


class BroodSheet(QWidget):
    """The head and the sections of one brood.

    `followed(kind, id)` when a link is followed; `box_key(key, typed)` when a key is
    typed at a box or a pot, `key` being ("box" or "pot", id).
    """

    followed = Signal(str, object)
    box_key = Signal(object, str)

    def __init__(self, theme: Theme, photos: PictureStrip) -> None:
        super().__init__()
        self._theme = theme
        self._everything = False
        self.photos = photos
        self.header = PageHeader(theme)
        self.sheet = ReadingSheet(theme, "The brood's page")
        self.chain = Chain(theme)
        self.boxes = PartList(theme, brood_writing.BOX_COLUMNS, "Boxes and pots")
        self.course = StepLine(theme, "Number from the first egg on")
        self.stages = StageBar(theme, "Stages by box")
        self.windows = WindowsPlot(theme, "Windows, 80 in 100")
        self.losses = Losses(theme, "Losses")
        self.leaf = DayBars(theme, "Leaf given by day")
        self.doings = PartList(theme, DOING_COLUMNS, "Done and seen, latest first")
        self._parts: tuple[QWidget, ...] = (
            *(self.boxes, self.course, self.stages),
            *(self.windows, self.losses, self.leaf, self.doings, self.photos),
        )
        self._prose()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.header)
        self._column.addWidget(self.sheet, 1)
        self._arrange()
        self.chain.followed.connect(self.followed)
        self.boxes.key_pressed.connect(self.box_key)

    def _prose(self) -> None:
        theme = self._theme
        self.generations = Prose(theme, "small", "ink2")
        self.number_words = Prose(theme, "body", "ink2")
        self.stage_words = Prose(theme, "lead_quiet")
        self.window_words = Prose(theme, "lead_quiet")
        self.beside = Prose(theme)
        self.assumption = Prose(theme, "small", "ink2")
        self.loss_words = Prose(theme, "lead_quiet")
        self.again = Prose(theme, "small", "ink2")
        self.leaf_words = Prose(theme, "lead_quiet")
        self.leaf_note = Prose(theme, "small", "ink2")
        self.left_words = Prose(theme)
        self.doing_words = Prose(theme, "small", "ink2")
        self.notes = Prose(theme)
        self.cautions = Prose(theme)

    def _arrange(self) -> None:
        theme = self._theme
        numbers = stacked(theme, self.boxes, self.number_words)
        self.sheet.arrange(
            (
                (FROM, stacked(theme, self.chain, self.generations)),
                (NUMBERS, Beside(theme, numbers, self.course, needs=860)),
                (INSTARS, stacked(theme, self.stage_words, self.stages)),
                (
                    WINDOWS,
                    stacked(
                        theme,
                        *(self.window_words, self.windows),
                        *(self.beside, self.assumption),
                    ),
                ),
                (
                    LOSSES,
                    stacked(theme, self.loss_words, self.losses, self.again),
                ),
                (LEAF, stacked(theme, self.leaf_words, self.leaf, self.leaf_note)),
                (LEFT, self.left_words),
                (DONE, stacked(theme, self.doings, self.doing_words)),
                (PHOTOS, self.photos),
                (NOTES, self.notes),
                (CAUTION, self.cautions),
            )
        )

    def tell(self, page: BroodPage, zone: dt.tzinfo, on: dt.date, turn: str) -> None:
        """Show a brood as on a day; `turn` says where it stands among the others."""
        self.header.tell(brood_writing.heading(page, on, turn))
        self.chain.tell(brood_writing.chain_steps(page))
        self.generations.tell(page.generation_words.capitalize())
        self._tell_numbers(page, zone, on)
        self._tell_stages(page)
        self._tell_windows(page, on)
        self._tell_losses(page)
        self._tell_leaf(page, on)
        self._tell_doings(page, zone, on)
        self._tell_paper(page, on)
        self.sheet.order((*self.chain.links(), *self._parts))

    def _tell_numbers(self, page: BroodPage, zone: dt.tzinfo, on: dt.date) -> None:
        lines = brood_writing.box_lines(page, zone, on)
        self.boxes.set_lines(lines)
        self.boxes.setVisible(bool(lines))
        self.course.tell(brood_writing.course_points(page), on)
        self.course.setVisible(len(page.course) > 1)
        empty = "" if lines else "No box and no pot stands. B opens a box."
        said = (
            empty,
            brood_losses.hatch_words(page),
            brood_writing.closed_words(page, on),
        )
        self.number_words.tell(" ".join(words for words in said if words))
        self.sheet.say(NUMBERS, brood_writing.boxes_note(page))

    def _tell_stages(self, page: BroodPage) -> None:
        rows = brood_writing.stage_rows(page)
        words = brood_writing.stages_sentence(page)
        self.stages.tell(rows)
        self.stages.setVisible(bool(rows))
        self.stage_words.tell(words)
        self.sheet.say(INSTARS, "as looked at", shown=bool(words))

    def _tell_windows(self, page: BroodPage, on: dt.date) -> None:
        found = page.forecasts
        rows = brood_windows.window_rows(found)
        self.windows.tell(rows, on)
        self.windows.setVisible(any(row.bands for row in rows))
        said = [brood_windows.forecast_sentence(forecast, on) for forecast in found]
        self.window_words.tell("\n".join(said) or brood_writing.no_windows(page))
        self.assumption.tell(brood_windows.assumption(found))
        note = "80 in 100" if rows else ""
        self.sheet.say(WINDOWS, note, shown=bool(rows) or _lives(page))

    def _tell_losses(self, page: BroodPage) -> None:
        found = brood_losses.losses(page)
        self.losses.tell(found)
        self.losses.setVisible(any(loss.number for loss in found))
        self.loss_words.tell(brood_losses.losses_sentence(page))
        self.again.tell(brood_losses.found_again(page))
        self.sheet.say(LOSSES, brood_losses.losses_note(page))

    def swap_doings(self) -> None:
        """Show everything done and seen, or only the latest again."""
        self._everything = not self._everything

    def _tell_doings(self, page: BroodPage, zone: dt.tzinfo, on: dt.date) -> None:
        everything = self._everything
        self.doings.set_lines(doing_lines(page.doings, zone, on, everything=everything))
        more = len(page.doings) - FEW
        words = f"A shows {more} earlier ones." if more > 0 else ""
        self.doing_words.tell("A shows the latest only." if everything else words)
        self.sheet.say(DONE, "latest first", shown=bool(page.doings))

    def _tell_leaf(self, page: BroodPage, on: dt.date) -> None:
        leaf = page.leaf
        self.leaf_words.tell(brood_leaf.leaf_words(leaf))
        self.leaf.tell(brood_leaf.leaf_bars(leaf), on)
        self.leaf.setVisible(leaf.weighed > 0)
        self.leaf_note.tell(brood_leaf.leaf_note(leaf) if leaf.weighed else "")
        self.sheet.say(LEAF, "weighed", shown=leaf.feedings > 0)

    def _tell_paper(self, page: BroodPage, on: dt.date) -> None:
        left = brood_leavings.leavings(page)
        self.left_words.tell("\n".join(left))
        self.sheet.say(LEFT, "", shown=bool(left))
        notes = remark_words(page.notes, on, first=page.row.note or "")
        self.notes.tell(notes)
        self.sheet.say(NOTES, "N adds one", shown=bool(notes))
        self.sheet.say(PHOTOS, "Ctrl+I adds", shown=bool(self.photos.cells()))
        hosts = [line.host for line in page.asked.values() if line.host]
        said = [caution_words(page.sheet, hosts), law_words(page.sheet)]
        self.cautions.tell("\n".join(part for part in said if part))
        self.sheet.say(CAUTION, "", shown=any(said))


def _lives(page: BroodPage) -> bool:
    numbers = page.numbers
    return bool(numbers.alive or numbers.waiting or numbers.in_pots)
