"""A lamp night's running count: read once, then kept up as each key is committed."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rearing.keeping.lamp_counting import dark_since, open_check_of
from rearing.keeping.moments import zone_of
from rearing.keeping.nights import check_order, totals
from rearing.records import tables as t
from rearing.records.rows import (
    ArrivalRow,
    CheckRow,
    DeterminationRow,
    LampNightRow,
    MothRow,
    OutageRow,
    SiteRow,
)
from rearing.terms import CountingMode, Quality, Sex

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book

Kind = tuple[str, Sex]
_VAGUE = (Quality.EXACT, Quality.AT_LEAST, Quality.ABOUT)


@dataclass(slots=True)
class CheckTally:
    """What one check counts, as it is called now."""

    id: int
    at: dt.datetime | None
    came: dict[Kind, int] = field(default_factory=dict)
    temperature_c: float | None = None

    @property
    def moths(self) -> int:
        """All moths of the check."""
        return sum(self.came.values())


@dataclass(slots=True)
class NightTally:
    """A night at the lamp as its keeper needs it, kept up from entry to entry.

    Nothing is read again at a key: `add` puts to it what the book has just taken.
    """

    row: LampNightRow
    site: SiteRow
    outages: tuple[OutageRow, ...]
    dark_since: dt.datetime | None
    checks: list[CheckTally]
    open_id: int | None
    quality: dict[Kind, Quality]
    kept: tuple[MothRow, ...]

    @property
    def zone(self) -> dt.tzinfo:
        """The site's own clock."""
        return zone_of(self.site.zone)

    @property
    def open_check(self) -> CheckTally | None:
        """The check that is being counted at."""
        return next((one for one in self.checks if one.id == self.open_id), None)

    @property
    def moths(self) -> int:
        """What the night counts by its own way: a sum, or the largest of each kind."""
        kinds = {kind for check in self.checks for kind in check.came}
        return sum(self.total(*kind) for kind in kinds)

    @property
    def taxa(self) -> tuple[str, ...]:
        """The species that came, by name."""
        return tuple(
            sorted({taxon for check in self.checks for taxon, _ in check.came})
        )

    def total(self, taxon: str, sex: Sex) -> int:
        """Return what the night counts of a kind: new ones sum, present ones do not."""
        counts = [check.came.get((taxon, sex), 0) for check in self.checks]
        if self.row.mode is CountingMode.NEW:
            return sum(counts)
        return max(counts, default=0)

    def mark(self, taxon: str, sex: Sex) -> str:
        """Return what stands before a number that isn't exact: ≥ or c."""
        quality = self.quality.get((taxon, sex), Quality.EXACT)
        return {Quality.AT_LEAST: "≥", Quality.ABOUT: "c."}.get(quality, "")

    def add(
        self,
        kind: Kind,
        number: int,
        quality: Quality,
        at: dt.datetime | None,
        new: int,
    ) -> None:
        """Put to the count what was just taken; `new` is the check it went to."""
        check = next((one for one in self.checks if one.id == new), None)
        if check is None:
            check = CheckTally(new, at)
            self.checks.append(check)
        self.open_id = check.id
        check.came[kind] = check.came.get(kind, 0) + number
        worst = max(self.quality.get(kind, quality), quality, key=_VAGUE.index)
        self.quality[kind] = worst

    def lamp_seconds(self, now: dt.datetime) -> float | None:
        """Return how long the lamp has burnt [s], less the times it was dark."""
        on, off = self.row.lamp_on, self.row.lamp_off
        if on is None:
            return None
        until = min(now, off) if off is not None else now
        if self.dark_since is not None:
            until = min(until, self.dark_since)
        dark = sum(
            max((min(until, out.to_at) - out.from_at).total_seconds(), 0)
            for out in self.outages
        )
        return max((until - on).total_seconds() - dark, 0)


def tally(book: Book, night_id: int, on: dt.date) -> NightTally:
    """Read one night's count as it is called on a day."""
    row = book.one(LampNightRow, night_id)
    checks = sorted(book.all(CheckRow, t.Check.night_id == night_id), key=check_order)
    arrivals = book.all(
        ArrivalRow, t.Arrival.check_id.in_([check.id for check in checks])
    )
    calls = book.all(
        DeterminationRow,
        t.Determination.arrival_id.in_([one.id for one in arrivals]),
        t.Determination.on <= on,
    )
    tallies = []
    for check in checks:
        here = [one for one in arrivals if one.check_id == check.id]
        came = totals(CountingMode.NEW, here, calls)
        told = {(one.taxon, one.sex): one.number for one in came}
        tallies.append(CheckTally(check.id, check.at, told, check.temperature_c))
    whole = totals(row.mode, arrivals, calls)
    return NightTally(
        row=row,
        site=book.one(SiteRow, row.site_id),
        outages=book.all(OutageRow, t.Outage.night_id == night_id),
        dark_since=dark_since(book, row),
        checks=tallies,
        open_id=open_check_of(book, row),
        quality={(one.taxon, one.sex): one.quality for one in whole},
        kept=book.all(MothRow, t.Moth.night_id == night_id),
    )
