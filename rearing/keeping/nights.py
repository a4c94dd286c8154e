"""Reading the night book back: totals by species and sex, before and after."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

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
    from collections.abc import Iterable, Sequence

    from rearing.records.book import Book

Kind = tuple[str, Sex]
_SEXES = {sex: place for place, sex in enumerate(Sex)}


@dataclass(frozen=True, slots=True)
class Total:
    """How many of a species and sex a night counts, and how exact that is."""

    taxon: str
    sex: Sex
    number: int
    quality: Quality


@dataclass(frozen=True, slots=True)
class Night:
    """One lamp night as it is read back."""

    row: LampNightRow
    site: SiteRow
    lamp_hours: float | None
    checks: tuple[CheckRow, ...]
    first_totals: tuple[Total, ...]
    totals: tuple[Total, ...]
    kept: tuple[MothRow, ...]

    @property
    def is_corrected(self) -> bool:
        """True when a second look changed what the night counts."""
        return self.first_totals != self.totals


def nights(book: Book, on: dt.date) -> tuple[Night, ...]:
    """Return every lamp night up to a day, latest first."""
    rows = book.all(
        LampNightRow,
        t.LampNight.evening <= on,
        order=(t.LampNight.evening.desc(), t.LampNight.id.desc()),
    )
    return tuple(_night(book, row, on) for row in rows)


def night(book: Book, night_id: int, on: dt.date) -> Night:
    """Return one lamp night with what was known of it on a day."""
    return _night(book, book.one(LampNightRow, night_id), on)


def current_call(
    first: Kind, determinations: Iterable[DeterminationRow], on: dt.date
) -> Kind:
    """Return what a moth is called on a day: the latest call counts."""
    told = [call for call in determinations if call.on <= on]
    if not told:
        return first
    latest = max(told, key=lambda call: (call.on, call.id))
    return (latest.taxon, latest.sex)


def lamp_hours(night: LampNightRow, outages: Iterable[OutageRow]) -> float | None:
    """Return elapsed lamp time less outages [h]; None while on or off is unknown.

    Elapsed, not read off the clock: a night in which the clocks change keeps its
    true length.
    """
    if night.lamp_on is None or night.lamp_off is None:
        return None
    dark = sum(((outage.to_at - outage.from_at) for outage in outages), dt.timedelta(0))
    return (night.lamp_off - night.lamp_on - dark).total_seconds() / 3600


def _night(book: Book, row: LampNightRow, on: dt.date) -> Night:
    checks = book.all(CheckRow, t.Check.night_id == row.id)
    checks = tuple(sorted(checks, key=check_order))
    ids = [check.id for check in checks]
    arrivals = book.all(ArrivalRow, t.Arrival.check_id.in_(ids))
    calls = book.all(
        DeterminationRow,
        t.Determination.arrival_id.in_([arrival.id for arrival in arrivals]),
        t.Determination.on <= on,
    )
    outages = book.all(OutageRow, t.Outage.night_id == row.id)
    kept = book.all(MothRow, t.Moth.night_id == row.id)
    return Night(
        row=row,
        site=book.one(SiteRow, row.site_id),
        lamp_hours=lamp_hours(row, outages),
        checks=checks,
        first_totals=totals(row.mode, arrivals, ()),
        totals=totals(row.mode, arrivals, calls),
        kept=kept,
    )


def totals(
    mode: CountingMode,
    arrivals: Iterable[ArrivalRow],
    calls: Iterable[DeterminationRow],
) -> tuple[Total, ...]:
    """Add a night up: new arrivals sum, present ones take the largest check."""
    by_arrival = defaultdict(list)
    for call in calls:
        by_arrival[call.arrival_id].append(call)
    grid: dict[Kind, dict[int, int]] = {}
    quality: dict[Kind, Quality] = {}
    for arrival in arrivals:
        own = by_arrival.get(arrival.id)
        first = {(arrival.taxon, arrival.sex): arrival.number}
        for kind, number in (_split(arrival, own) if own else first).items():
            cells = grid.setdefault(kind, {})
            cells[arrival.check_id] = cells.get(arrival.check_id, 0) + number
            quality[kind] = _vaguer(quality.get(kind), arrival.quality)
    add = sum if mode is CountingMode.NEW else max
    return tuple(
        Total(taxon, sex, number, quality[taxon, sex])
        for taxon, sex in sorted(grid, key=_kind_order)
        if (number := add(grid[taxon, sex].values()))
    )


def _kind_order(kind: Kind) -> tuple[str, int]:
    return (kind[0], _SEXES[kind[1]])


def _split(arrival: ArrivalRow, calls: Sequence[DeterminationRow]) -> dict[Kind, int]:
    """Return an arrival's animals by what they are called now.

    Each later call takes its number from those still called as at first; calls of
    one kept moth replace one another.
    """
    latest: dict[object, DeterminationRow] = {}
    for call in sorted(calls, key=lambda call: (call.on, call.id)):
        of = ("moth", call.moth_id) if call.moth_id else ("call", call.id)
        latest.pop(of, None)  # the later call stands where it was made
        latest[of] = call
    split: dict[Kind, int] = defaultdict(int)
    left = arrival.number
    for call in reversed(latest.values()):
        number = min(call.number, left)
        split[call.taxon, call.sex] += number
        left -= number
    split[arrival.taxon, arrival.sex] += left
    return {kind: number for kind, number in split.items() if number}


def _vaguer(one: Quality | None, other: Quality) -> Quality:
    if one is None or one is other:
        return other
    order = [Quality.EXACT, Quality.AT_LEAST, Quality.ABOUT]
    return max((one, other), key=order.index)


def check_order(check: CheckRow) -> tuple[float, int]:
    """Return what checks are sorted by: their time, those without one last."""
    return (check.at.timestamp() if check.at else float("inf"), check.id)
