"""Nights read back over the years, and the sky over one, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from rearing.exchange.tables import Value
    from rearing.keeping.arrivals import Arrived, NightPace
    from rearing.keeping.night_sky import NightSky
    from rearing.keeping.years import CalendarNight, FlightYear, SexRatio

_THROUGH = (
    *("time", "lamp-hours so far [h]", "males", "females", "not looked"),
    *("males by then", "females by then", "not looked by then"),
)
_BESIDE = (
    *("evening", "site", "station", "lamp", "lamp-hours [h]", "moths"),
    *("moths an hour [1/h]", "lamp-hour", "moths in it"),
)
_YEARS = (
    *("species", "year", "first", "last", "first male", "first female"),
    *("nights", "moths"),
)
_SEXES = (
    *("species", "males", "females", "not looked"),
    *("share of females", "low at 95 %", "high at 95 %"),
)
_CALENDAR = (
    *("evening", "site", "station", "moths", "species", "kept", "was looked at"),
)
_MOMENTS = (
    *("sunset", "civil dusk", "nautical dusk", "astronomical dusk"),
    *("astronomical dawn", "nautical dawn", "civil dawn", "sunrise"),
    *("moonrise", "moonset"),
)


def through_table(checks: Iterable[Arrived]) -> Table:
    """Return what came at each check of a night."""
    rows = (
        (
            *(x.at, x.lamp_hour, x.at_check.males, x.at_check.females),
            *(x.at_check.not_looked, x.so_far.males, x.so_far.females),
            x.so_far.not_looked,
        )
        for x in checks
    )
    return table("Through the night", _THROUGH, rows)


def beside_table(nights: Iterable[NightPace]) -> Table:
    """Return nights by lamp-hour, a row an hour; what has no time has no hour."""
    return table("Beside earlier nights", _BESIDE, _hours(nights))


def _hours(nights: Iterable[NightPace]) -> Iterator[tuple[Value, ...]]:
    for x in nights:
        own = (
            *(x.evening, x.site, x.station, x.lamp),
            *(x.lamp_hours, x.moths, x.per_lamp_hour),
        )
        for hour, number in enumerate(x.by_hour, 1):
            yield (*own, hour, number)
        if x.untimed or not x.by_hour:
            yield (*own, None, x.untimed)


def years_table(years: Iterable[FlightYear]) -> Table:
    """Return first and last date of each species by year."""
    rows = (
        (
            *(x.taxon, x.year, x.first, x.last, x.first_male, x.first_female),
            *(x.nights, x.moths),
        )
        for x in years
    )
    return table("First and last", _YEARS, rows)


def sexes_table(ratios: Iterable[SexRatio]) -> Table:
    """Return the sexes at the lamp, with the interval of the share of females."""
    return table("Sexes at the lamp", _SEXES, (_ratio(x) for x in ratios))


def _ratio(x: SexRatio) -> tuple[Value, ...]:
    part = x.females
    share = (None,) * 3 if part is None else (part.share, part.low, part.high)
    return (x.taxon, x.counts.males, x.counts.females, x.counts.not_looked, *share)


def calendar_table(nights: Iterable[CalendarNight]) -> Table:
    """Return the nights of a year; one never looked at has no number."""
    rows = (
        (
            *(x.evening, x.site, x.station, x.moths if x.was_looked_at else None),
            *(x.species if x.was_looked_at else None, x.kept, x.was_looked_at),
        )
        for x in nights
    )
    return table("Nights of the year", _CALENDAR, rows)


def sky_table(sky: NightSky) -> Table:
    """Return the moments of a night's sky, its lengths and its moon."""
    moments = [(name, getattr(sky, name.replace(" ", "_"))) for name in _MOMENTS]
    figures = (
        ("length of the day [h]", sky.day_hours),
        ("length of the day with civil twilight [h]", sky.day_hours_civil),
        ("length of the night [h]", sky.night_hours),
        ("share of the moon lit", sky.moon_fraction),
        ("moon waxing", sky.moon_waxing),
    )
    up = [
        row
        for since, to in sky.moon_up
        for row in (("moon up from", since), ("moon up to", to))
    ]
    rows = ((sky.evening, name, value) for name, value in (*moments, *figures, *up))
    return table("Sky", ("evening", "what", "value"), rows)
