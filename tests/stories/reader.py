"""Reads the sample book by the names on its labels, as a keeper would."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from rearing.keeping import season as seasons
from rearing.keeping.broods import BroodPage, brood_page
from rearing.keeping.nights import Night, night
from rearing.keeping.round import round_of
from rearing.records import tables as t
from rearing.records.journal import Entry
from rearing.records.rows import BoxRow, BroodRow, LampNightRow, MothRow, SiteRow

if TYPE_CHECKING:
    from rearing.keeping.holding import BoxNow
    from rearing.keeping.round_lines import RoundLine
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf
    from rearing.terms import Sex

ZONE = ZoneInfo("Europe/Ljubljana")


@dataclass(frozen=True, slots=True)
class Reader:
    """The sample book, and the sheets it is read with."""

    book: Book
    shelf: SheetShelf

    def brood(self, code: str) -> BroodRow:
        """Return a brood by its code."""
        found = self.book.find(BroodRow, t.Brood.code == code)
        assert found is not None
        return found

    def page(self, code: str, on: dt.date) -> BroodPage:
        """Return a brood's page as on a day."""
        return brood_page(self.book, self.shelf, self.brood(code).id, on)

    def moth(self, code: str) -> MothRow:
        """Return a moth by its code."""
        found = self.book.find(MothRow, t.Moth.code == code)
        assert found is not None
        return found

    def box(self, code: str, label: str, on: dt.date) -> BoxNow:
        """Return a box by its label as on a day."""
        return next(b for b in self.page(code, on).boxes if b.row.label == label)

    def box_row(self, code: str, label: str) -> BoxRow:
        """Return a box's row."""
        brood = self.brood(code)
        found = self.book.find(BoxRow, t.Box.brood_id == brood.id, t.Box.label == label)
        assert found is not None
        return found

    def night(self, site: str, evening: dt.date, known_on: dt.date) -> Night:
        """Return a lamp night with what was known of it on a day."""
        place = self.book.find(SiteRow, t.Site.name == site)
        assert place is not None
        row = self.book.find(
            LampNightRow,
            t.LampNight.evening == evening,
            t.LampNight.site_id == place.id,
        )
        assert row is not None
        return night(self.book, row.id, known_on)

    def lines(self, on: dt.date) -> dict[str, RoundLine]:
        """Return everything of a day's round by its code, due or not."""
        found = round_of(self.book, self.shelf, on, everything=True)
        return {line.code: line for line in found.lines}

    def forecasts(self, code: str, on: dt.date) -> tuple[Forecast, ...]:
        """Return a brood's windows as on a day."""
        brood_id = self.brood(code).id
        return seasons.season(self.book, self.shelf, on, brood_id=brood_id)

    def window(self, code: str, event: str, on: dt.date) -> Window:
        """Return the window of one event of a brood's only lot."""
        (forecast,) = self.forecasts(code, on)
        found = forecast.window(event)
        assert found is not None
        return found


def totals(found: Night, *, first: bool = False) -> dict[tuple[str, Sex], int]:
    """Return a night's totals by species and sex, as first called or as known."""
    chosen = found.first_totals if first else found.totals
    return {(total.taxon, total.sex): total.number for total in chosen}


def middle(span: Span | None) -> dt.date:
    """Return the day of a window's middle."""
    assert span is not None
    return span.middle.date()


def entry(day: dt.date, hour: int = 20) -> Entry:
    """Return who writes, and when."""
    return Entry(dt.datetime.combine(day, dt.time(hour), ZONE), "Vida")
