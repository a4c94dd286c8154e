"""The night book over the years: flight dates, sex ratios, and a calendar of nights."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.holding import grouped
from rearing.keeping.night_counts import (
    SexCounts,
    all_nights,
    by_sex,
    counts_of,
    night_rows,
)
from rearing.science.proportions import Proportion, wilson
from rearing.terms import Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from rearing.keeping.night_counts import NightCounts
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class FlightYear:
    """When a species came in one year, by the evenings of the nights."""

    taxon: str
    year: int
    first: dt.date
    last: dt.date
    first_male: dt.date | None
    first_female: dt.date | None
    nights: int
    moths: int


@dataclass(frozen=True, slots=True)
class SexRatio:
    """Counts of a species by sex, and the share of females where sex was looked at.

    The counts are those at the lamp, where males come more: not the ratio in the wood,
    and never corrected for the moon.
    """

    taxon: str
    counts: SexCounts
    females: Proportion | None
    """Share with its 95 % interval (Wilson); None where no sex was looked at."""


@dataclass(frozen=True, slots=True)
class CalendarNight:
    """A lamp night as a mark on a calendar."""

    night_id: int
    evening: dt.date
    site: str
    station: str
    moths: int
    species: int
    kept: int
    was_looked_at: bool
    """False where no check was made; True and no moths is a zero night."""


def flight_years(book: Book, on: dt.date) -> tuple[FlightYear, ...]:
    """Return first and last date of each species in each year, as called on a day."""
    came: dict[tuple[str, int], list[NightCounts]] = {}
    for night in all_nights(book, on):
        for taxon in sorted({total.taxon for total in night.totals}):
            came.setdefault((taxon, night.row.evening.year), []).append(night)
    return tuple(
        FlightYear(
            taxon=taxon,
            year=year,
            first=nights[0].row.evening,
            last=nights[-1].row.evening,
            first_male=_first(nights, taxon, Sex.MALE),
            first_female=_first(nights, taxon, Sex.FEMALE),
            nights=len({night.row.evening for night in nights}),
            moths=sum(by_sex(night.totals, taxon).number for night in nights),
        )
        for (taxon, year), nights in sorted(came.items())
    )


def sex_ratios(nights: Iterable[NightCounts]) -> tuple[SexRatio, ...]:
    """Return the sex ratio of each species over some nights, by name."""
    totals = [total for night in nights for total in night.totals]
    ratios = []
    for taxon, own in sorted(grouped(totals, lambda total: total.taxon).items()):
        counts = by_sex(own)
        looked = counts.males + counts.females
        share = wilson(counts.females, looked) if looked else None
        ratios.append(SexRatio(taxon, counts, share))
    return tuple(ratios)


def nights_calendar(book: Book, year: int, on: dt.date) -> tuple[CalendarNight, ...]:
    """Return the nights of a year; an evening without a night is no zero."""
    own = [row for row in night_rows(book, on) if row.evening.year == year]
    return tuple(
        CalendarNight(
            night_id=night.row.id,
            evening=night.row.evening,
            site=night.site.name,
            station=night.row.station,
            moths=night.moths,
            species=night.species,
            kept=len(night.kept),
            was_looked_at=night.was_looked_at,
        )
        for night in counts_of(book, own, on)
    )


def suggested_species(
    book: Book, evening: dt.date, *, most: int = 12
) -> tuple[str, ...]:
    """Return species to put on the keys at dusk, the likeliest first.

    Those of this season's last four weeks by the nights they came in; then those that
    flew within two weeks of this date in earlier years.
    """
    near = [row for row in night_rows(book, evening) if _is_near(row.evening, evening)]
    now: Counter[str] = Counter()
    then: Counter[str] = Counter()
    for night in counts_of(book, near, evening):
        season = now if (evening - night.row.evening).days <= 28 else then
        season.update({total.taxon for total in night.totals})
    likely = sorted(now, key=lambda taxon: (-now[taxon], taxon))
    likely += sorted(then.keys() - now.keys(), key=lambda taxon: (-then[taxon], taxon))
    return tuple(likely[:most])


def _is_near(earlier: dt.date, evening: dt.date) -> bool:
    """Tell whether a night is of the last four weeks, or of this date in its year."""
    days = (evening - earlier).days
    return 0 < days <= 28 or (days > 28 and min(days % 365, -days % 365) <= 14)


def _first(nights: Iterable[NightCounts], taxon: str, sex: Sex) -> dt.date | None:
    for night in nights:
        if any((one.taxon, one.sex) == (taxon, sex) for one in night.totals):
            return night.row.evening
    return None
