"""A lamp night as its page reads: what came at each check, and who was kept."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.holding import grouped
from rearing.keeping.nights import Night, night, totals
from rearing.keeping.remarks import Remark, remarks_of
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

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One look at the sheet, and what came, as it was first called."""

    row: CheckRow
    arrivals: tuple[ArrivalRow, ...]

    @property
    def number(self) -> int:
        """How many moths were counted at it."""
        return sum(arrival.number for arrival in self.arrivals)


@dataclass(frozen=True, slots=True)
class NightPage:
    """All that the page of a lamp night shows."""

    night: Night
    checks: tuple[CheckLine, ...]
    outages: tuple[OutageRow, ...]
    calls: tuple[DeterminationRow, ...]
    notes: tuple[Remark, ...]


@dataclass(frozen=True, slots=True)
class NightLine:
    """A lamp night in the night book's list."""

    id: int
    evening: dt.date
    site: str
    station: str
    lamp: str
    moths: int
    kept: int


def night_lines(book: Book, on: dt.date) -> tuple[NightLine, ...]:
    """Return every lamp night up to a day, latest first, with its corrected total."""
    sites = {site.id: site.name for site in book.all(SiteRow)}
    checks = grouped(book.all(CheckRow), lambda check: check.night_id)
    arrivals = grouped(book.all(ArrivalRow), lambda arrival: arrival.check_id)
    calls = grouped(
        book.all(DeterminationRow, t.Determination.on <= on),
        lambda call: call.arrival_id,
    )
    kept = Counter(moth.night_id for moth in book.all(MothRow))
    lines = []
    for row in book.all(
        LampNightRow,
        t.LampNight.evening <= on,
        order=(t.LampNight.evening.desc(), t.LampNight.id.desc()),
    ):
        ids = [check.id for check in checks.get(row.id, ())]
        came = [arrival for check_id in ids for arrival in arrivals.get(check_id, ())]
        told = [call for arrival in came for call in calls.get(arrival.id, ())]
        lines.append(
            NightLine(
                id=row.id,
                evening=row.evening,
                site=sites[row.site_id],
                station=row.station,
                lamp=row.lamp,
                moths=sum(one.number for one in totals(row.mode, came, told)),
                kept=kept[row.id],
            )
        )
    return tuple(lines)


def night_page(book: Book, night_id: int, on: dt.date) -> NightPage:
    """Return what a lamp night's page shows, as it was known on a day."""
    whole = night(book, night_id, on)
    ids = [check.id for check in whole.checks]
    arrivals = grouped(
        book.all(ArrivalRow, t.Arrival.check_id.in_(ids)), lambda row: row.check_id
    )
    return NightPage(
        night=whole,
        checks=tuple(
            CheckLine(check, tuple(arrivals.get(check.id, ())))
            for check in whole.checks
        ),
        outages=book.all(OutageRow, t.Outage.night_id == night_id),
        calls=_calls(book, whole, [a.id for own in arrivals.values() for a in own], on),
        notes=remarks_of(book, "lamp_night", night_id, on),
    )


def _calls(
    book: Book, whole: Night, arrivals: Sequence[int], on: dt.date
) -> tuple[DeterminationRow, ...]:
    kept = [moth.id for moth in whole.kept]
    return book.all(
        DeterminationRow,
        t.Determination.arrival_id.in_(arrivals) | t.Determination.moth_id.in_(kept),
        t.Determination.on <= on,
        order=(t.Determination.on, t.Determination.id),
    )
