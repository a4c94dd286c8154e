"""How a night went: what came when, and beside earlier nights by lamp-hour."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.night_counts import SexCounts, by_sex, counts_of, night_rows
from rearing.records.rows import LampNightRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.night_counts import NightCounts
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Arrived:
    """What a check added to the night, by sex."""

    at: dt.datetime | None
    lamp_hour: float | None
    """Lamp time up to the check less outages [h]; None where a time is unknown."""
    at_check: SexCounts
    so_far: SexCounts
    """What the night counts up to this check: a sum, or the largest of present ones."""


@dataclass(frozen=True, slots=True)
class NightPace:
    """One night by lamp-hours, to be set beside others."""

    night_id: int
    evening: dt.date
    site: str
    station: str
    lamp: str
    lamp_hours: float | None
    moths: int
    per_lamp_hour: float | None
    by_hour: tuple[int, ...]
    """What was added in the first lamp-hour, the second, and so on, counted at the
    check that came in it."""
    untimed: int
    """What came at checks without a time, or while the lamp's start is unknown."""


def arrivals_through(
    night: NightCounts, taxon: str | None = None
) -> tuple[Arrived, ...]:
    """Return what came at each check by sex, of one species or of all."""
    return tuple(
        Arrived(
            at=check.row.at,
            lamp_hour=check.lamp_hour,
            at_check=by_sex(check.came, taxon),
            so_far=by_sex(check.so_far, taxon),
        )
        for check in night.checks
    )


def beside_earlier(
    book: Book,
    night_id: int,
    on: dt.date,
    taxon: str | None = None,
    *,
    most: int = 60,
) -> tuple[NightPace, ...]:
    """Return a night and the earlier ones at its site, latest first, by lamp-hours.

    Never "corrected" for moon, warmth or wind: those only stand beside it.
    """
    asked = book.one(LampNightRow, night_id)
    earlier = [
        row
        for row in night_rows(book, asked.evening)
        if row.site_id == asked.site_id and row.evening < asked.evening
    ]
    nights = counts_of(book, [asked, *earlier[::-1][:most]], on)
    return tuple(pace_of(night, taxon) for night in nights)


def pace_of(night: NightCounts, taxon: str | None = None) -> NightPace:
    """Return a night's count by lamp-hours."""
    hours: dict[int, int] = {}
    untimed = before = 0
    for check in arrivals_through(night, taxon):
        added, before = check.so_far.number - before, check.so_far.number
        if check.lamp_hour is None:
            untimed += added
        else:
            # A check at the full hour closes the hour before it.
            hour = max(math.ceil(check.lamp_hour) - 1, 0)
            hours[hour] = hours.get(hour, 0) + added
    burnt, number = night.lamp_hours, by_sex(night.totals, taxon).number
    length = max([*(hour + 1 for hour in hours), math.ceil(burnt or 0)])
    return NightPace(
        night_id=night.row.id,
        evening=night.row.evening,
        site=night.site.name,
        station=night.row.station,
        lamp=night.row.lamp,
        lamp_hours=burnt,
        moths=number,
        per_lamp_hour=number / burnt if burnt else None,
        by_hour=tuple(hours.get(hour, 0) for hour in range(length)),
        untimed=untimed,
    )
