"""A female's page: where she is from, her mating, her eggs by night, her pots."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from rearing.desk.pages import female_writing as writing
from rearing.desk.pages.remark_words import remark_words
from rearing.desk.pages.sheet_words import caution_words, law_words
from rearing.desk.widgets.beside import Beside, stacked
from rearing.desk.widgets.chain import Chain
from rearing.desk.widgets.listening_lists import PartList
from rearing.desk.widgets.night_bars import NightBars
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.windows_plot import WindowsPlot
from rearing.terms import MothFate

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.pages.spread import Spread
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.picture_strip import PictureStrip
    from rearing.keeping.females import Mother

FROM, MATING, EGGS, POTS, PHOTOS, NOTES, CAUTION = (
    *("From", "Mating", "Eggs", "Pots"),
    *("Photos", "Notes", "Caution"),
)


class FemaleSheet(QObject):
    """Fills the right side of a spread with one female.

    `followed(kind, id)` when a link is followed; `pot_key(key, typed)` when a key is
    typed at a pot; `laying_key(id, typed)` at a night's eggs.
    """

    followed = Signal(str, object)
    pot_key = Signal(object, str)
    laying_key = Signal(object, str)

    def __init__(self, theme: Theme, spread: Spread, photos: PictureStrip) -> None:
        super().__init__(spread)
        self._spread = spread
        self.photos = photos
        self.chain = Chain(theme)
        self.layings = PartList(theme, writing.EGG_COLUMNS, "Eggs by night")
        self.bars = NightBars(theme, "Eggs by night")
        self.pots = PartList(theme, writing.POT_COLUMNS, "Pots")
        self.windows = WindowsPlot(theme, "Hatch windows, 80 in 100")
        self.origin = Prose(theme, "body", "ink2")
        self.mating = Prose(theme)
        self.advice = Prose(theme, "lead_quiet")
        self.usual = Prose(theme, "small", "ink2")
        self.hatch = Prose(theme, "lead_quiet")
        self.basis = Prose(theme, "small", "ink2")
        self.notes = Prose(theme)
        self.cautions = Prose(theme)
        self._arrange(theme)
        self.chain.followed.connect(self.followed)
        self.pots.key_pressed.connect(self.pot_key)
        self.layings.key_pressed.connect(self.laying_key)

    def _arrange(self, theme: Theme) -> None:
        nights = Beside(theme, self.layings, self.bars, needs=620)
        self._spread.sheet.arrange(
            (
                (FROM, stacked(theme, self.chain, self.origin)),
                (MATING, self.mating),
                (EGGS, stacked(theme, self.advice, nights, self.usual)),
                (
                    POTS,
                    stacked(theme, self.hatch, self.pots, self.windows, self.basis),
                ),
                (PHOTOS, self.photos),
                (NOTES, self.notes),
                (CAUTION, self.cautions),
            )
        )

    def tell(self, mother: Mother, zone: dt.tzinfo, on: dt.date) -> None:
        """Show a female as on a day."""
        sheet = self._spread.sheet
        self._spread.header.tell(writing.heading(mother))
        self.chain.tell(writing.chain_steps(mother, zone))
        self.origin.tell(writing.origin_words(mother))
        mating = writing.mating_words(mother, zone)
        self.mating.tell(mating)
        sheet.say(MATING, "P pairing", shown=bool(mating))
        self._tell_eggs(mother)
        self._tell_pots(mother, on)
        self.notes.tell(remark_words(mother.notes, on))
        sheet.say(NOTES, "N adds one", shown=bool(mother.notes))
        sheet.say(PHOTOS, "Ctrl+I adds", shown=bool(self.photos.cells()))
        said = [caution_words(mother.sheet), law_words(mother.sheet)]
        self.cautions.tell("\n".join(part for part in said if part))
        sheet.say(CAUTION, "", shown=any(said))
        parts = (self.layings, self.bars, self.pots, self.windows, self.photos)
        sheet.order((*self.chain.links(), *parts))

    def _tell_eggs(self, mother: Mother) -> None:
        self.advice.tell(mother.advice or "She is gone; no more eggs are expected.")
        self.layings.set_lines(writing.egg_lines(mother))
        self.bars.tell(writing.egg_bars(mother))
        for part in (self.layings, self.bars):
            part.setVisible(bool(mother.layings))
        male = mother.row.fate is MothFate.NOT_FEMALE
        self.usual.tell("" if male else writing.usual_words(mother))
        self._spread.sheet.say(EGGS, "" if male else "E a night’s")

    def _tell_pots(self, mother: Mother, on: dt.date) -> None:
        lines = writing.pot_lines(mother)
        rows = writing.hatch_rows(mother)
        said = (writing.hatch_words(mother), writing.overdue_words(mother, on))
        self.hatch.tell(" ".join(part for part in said if part))
        self.pots.set_lines(lines)
        self.windows.tell(rows, on)
        self.windows.setVisible(bool(rows))
        self.basis.tell(writing.window_basis(mother.pots))
        note = "80 in 100" if rows else ""
        self._spread.sheet.say(POTS, note, shown=bool(lines))
