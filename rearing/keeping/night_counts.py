"""What every lamp night counts, read once for whoever asks about many of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.holding import grouped
from rearing.keeping.nights import Total, check_order, lamp_hours, totals
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.rows import (
    ArrivalRow,
    CheckRow,
    DeterminationRow,
    LampNightRow,
    MothRow,
    OutageRow,
    SiteRow,
)
from rearing.terms import CountingMode, Sex

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class SexCounts:
    """How many of each sex; *not looked* is neither."""

    males: int = 0
    females: int = 0
    not_looked: int = 0

    @property
    def number(self) -> int:
        """All of them."""
        return self.males + self.females + self.not_looked


@dataclass(frozen=True, slots=True)
class CheckCounts:
    """One look at the sheet: what was there, as it is called on the day asked for."""

    row: CheckRow
    lamp_hour: float | None
    """Lamp time up to it less outages [h]; None where a time is unknown."""
    came: tuple[Total, ...]
    so_far: tuple[Total, ...]
    """What the night counts up to this check, by its own way of counting."""


@dataclass(frozen=True, slots=True)
class NightCounts:
    """One lamp night's counts with the rows they are made of."""

    row: LampNightRow
    site: SiteRow
    outages: tuple[OutageRow, ...]
    looks: tuple[CheckRow, ...]
    """The checks in their order, those without a time last."""
    arrivals: tuple[ArrivalRow, ...]
    calls: tuple[DeterminationRow, ...]
    """Later calls on the arrivals and the kept moths, up to the day asked for."""
    kept: tuple[MothRow, ...]
    totals: tuple[Total, ...]
    first_totals: tuple[Total, ...]
    """The totals as everything was first called."""

    @property
    def lamp_hours(self) -> float | None:
        """Elapsed lamp time less outages [h]; None while on or off is unknown."""
        return lamp_hours(self.row, self.outages)

    @property
    def moths(self) -> int:
        """All moths the night counts."""
        return sum(total.number for total in self.totals)

    @property
    def species(self) -> int:
        """How many species came."""
        return len({total.taxon for total in self.totals})

    @property
    def was_looked_at(self) -> bool:
        """False where no check was made: its nothing is no zero."""
        return bool(self.looks)

    @property
    def checks(self) -> tuple[CheckCounts, ...]:
        """What was there at each check; reckoned when asked for."""
        return tuple(_checks(self))


def by_sex(counted: Iterable[Total], taxon: str | None = None) -> SexCounts:
    """Return totals by sex, of one species or of all."""
    numbers = dict.fromkeys(Sex, 0)
    for total in counted:
        if taxon in {None, total.taxon}:
            numbers[total.sex] += total.number
    return SexCounts(numbers[Sex.MALE], numbers[Sex.FEMALE], numbers[Sex.NOT_LOOKED])


def all_nights(book: Book, on: dt.date) -> tuple[NightCounts, ...]:
    """Return the counts of every night up to a day, earliest first.

    As known on that day: calls made later are not looked at.
    """
    rows = night_rows(book, on)
    pile = _Pile.of(book, on)
    return tuple(_night(row, pile) for row in rows)


def nights_of(book: Book, evening: dt.date, on: dt.date) -> tuple[NightCounts, ...]:
    """Return the counts of an evening's nights, by site and station."""
    rows = book.all(LampNightRow, t.LampNight.evening == evening)
    found = counts_of(book, rows, on)
    return tuple(sorted(found, key=lambda one: (one.site.name, one.row.station)))


def night_rows(book: Book, on: dt.date) -> tuple[LampNightRow, ...]:
    """Return the nights up to a day without their counts, earliest first."""
    order = (t.LampNight.evening, t.LampNight.id)
    return book.all(LampNightRow, t.LampNight.evening <= on, order=order)


def counts_of(
    book: Book, rows: Iterable[LampNightRow], on: dt.date
) -> tuple[NightCounts, ...]:
    """Return the counts of some nights in their order, as known on a day."""
    rows = tuple(rows)
    if not rows:
        return ()
    pile = _Pile.of(book, on, [row.id for row in rows])
    return tuple(_night(row, pile) for row in rows)


@dataclass(frozen=True, slots=True)
class _Pile:
    """All rows of the night book by what they belong to."""

    sites: Mapping[int, SiteRow]
    outages: Mapping[int, list[OutageRow]]
    checks: Mapping[int, list[CheckRow]]
    arrivals: Mapping[int, list[ArrivalRow]]
    calls: Mapping[int | None, list[DeterminationRow]]
    moth_calls: Mapping[int | None, list[DeterminationRow]]
    kept: Mapping[int | None, list[MothRow]]

    @classmethod
    def of(cls, book: Book, on: dt.date, ids: list[int] | None = None) -> _Pile:
        checks = book.all(
            CheckRow, *(() if ids is None else (among(t.Check.night_id, ids),))
        )
        looks = [check.id for check in checks]
        calls = book.all(
            DeterminationRow,
            t.Determination.on <= on,
            order=(t.Determination.on, t.Determination.id),
        )
        return cls(
            sites={site.id: site for site in book.all(SiteRow)},
            outages=grouped(book.all(OutageRow), lambda row: row.night_id),
            checks=grouped(checks, lambda row: row.night_id),
            arrivals=grouped(
                book.all(
                    ArrivalRow,
                    *(() if ids is None else (among(t.Arrival.check_id, looks),)),
                ),
                lambda row: row.check_id,
            ),
            calls=grouped(calls, lambda row: row.arrival_id),
            moth_calls=grouped(
                (row for row in calls if row.arrival_id is None),
                lambda row: row.moth_id,
            ),
            kept=grouped(
                book.all(MothRow, t.Moth.night_id.is_not(None)),
                lambda row: row.night_id,
            ),
        )


def _night(row: LampNightRow, pile: _Pile) -> NightCounts:
    checks = sorted(pile.checks.get(row.id, ()), key=check_order)
    ids = [check.id for check in checks]
    arrivals = [one for check_id in ids for one in pile.arrivals.get(check_id, ())]
    calls = [call for one in arrivals for call in pile.calls.get(one.id, ())]
    outages = tuple(pile.outages.get(row.id, ()))
    kept = tuple(pile.kept.get(row.id, ()))
    also = [call for moth in kept for call in pile.moth_calls.get(moth.id, ())]
    first = totals(row.mode, arrivals, ())
    return NightCounts(
        row=row,
        site=pile.sites[row.site_id],
        outages=outages,
        looks=tuple(checks),
        arrivals=tuple(arrivals),
        calls=(*calls, *also),
        kept=kept,
        totals=totals(row.mode, arrivals, calls) if calls else first,
        first_totals=first,
    )


def _checks(night: NightCounts) -> Iterator[CheckCounts]:
    calls = [call for call in night.calls if call.arrival_id is not None]
    until: list[ArrivalRow] = []
    for check in night.looks:
        here = [one for one in night.arrivals if one.check_id == check.id]
        until = [*until, *here]
        yield CheckCounts(
            row=check,
            lamp_hour=lamp_hour(night.row, night.outages, check.at),
            came=totals(CountingMode.NEW, here, calls),
            so_far=totals(night.row.mode, until, calls),
        )


def lamp_hour(
    night: LampNightRow, outages: Iterable[OutageRow], at: dt.datetime | None
) -> float | None:
    """Return how long the lamp had burnt at a moment, less outages [h]."""
    if at is None or night.lamp_on is None:
        return None
    until = at if night.lamp_off is None else min(at, night.lamp_off)
    lit = max(until - night.lamp_on, dt.timedelta(0))
    for dark in outages:
        lit -= max(min(until, dark.to_at) - dark.from_at, dt.timedelta(0))
    return max(lit.total_seconds(), 0) / 3600
