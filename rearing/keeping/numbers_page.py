"""All that a brood's page of numbers shows, read once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.box_ledgers import BroodLedger, ledger_of
from rearing.keeping.comparison import Side, side_of
from rearing.keeping.hatch_nights import HatchRow, hatch_by_night
from rearing.keeping.life import life_of
from rearing.keeping.measurements import Figures, measured, summed_up
from rearing.keeping.stage_looks import LookDay, looks_by_day
from rearing.records.rows import BroodRow
from rearing.terms import Measured

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.life import Life
    from rearing.records.book import Book
    from rearing.records.rows import MeasurementRow


@dataclass(frozen=True, slots=True)
class NumbersPage:
    """A brood's numbers as on a day."""

    side: Side
    ledger: BroodLedger
    hatch: tuple[HatchRow, ...]
    looks: tuple[LookDay, ...]
    measured: tuple[MeasurementRow, ...]
    figures: tuple[Figures, ...]

    @property
    def life(self) -> Life:
        """Losses, survivorship and life table."""
        return self.side.life

    @property
    def heads(self) -> tuple[MeasurementRow, ...]:
        """The widths of heads among what was measured."""
        return tuple(row for row in self.measured if row.what is Measured.HEAD_WIDTH)


def numbers_page(book: Book, brood_id: int, on: dt.date) -> NumbersPage:
    """Return a brood's numbers as on a day."""
    row = book.one(BroodRow, brood_id)
    life = life_of(book, row, on)
    found = life.fates
    figures = measured(book, [box.row.id for box in found.boxes], on)
    return NumbersPage(
        side=side_of(life),
        ledger=ledger_of(found),
        hatch=hatch_by_night(found.pots),
        looks=looks_by_day(found.boxes),
        measured=figures,
        figures=summed_up(figures),
    )
