"""Places, temperatures, degree-days and rates as tables."""

from __future__ import annotations

import datetime as dt
import math
from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.heat_page import DayHeat, PlaceLine
    from rearing.records.readings import LineSetAside
    from rearing.records.rows import ForecastDayRow, ReadingImportRow

_PLACES = (
    *("place", "outdoors", "set point [°C]", "readings", "days with low and high"),
    *("first day", "last day"),
)
_DAYS = (
    *("place", "day", "low [°C]", "high [°C]"),
    *("degree-days [°C d]", "sum [°C d]", "lower [°C]", "upper [°C]"),
)


def places_table(lines: Iterable[PlaceLine]) -> Table:
    """Return the places in walking order with what was read at each."""
    rows = (
        (
            *(x.row.name, x.row.outdoors, x.row.set_point_c, x.readings, x.days),
            *(x.first, x.last),
        )
        for x in lines
    )
    return table("Places", _PLACES, rows)


def degree_days_table(
    place: str,
    days: Iterable[DayHeat],
    between_c: tuple[float, float | None],
    *,
    filled: Iterable[bool] = (),
) -> Table:
    """Return degree-days by day between thresholds; an unknown day has none."""
    leans = list(filled)
    rows = [(place, x.on, x.low_c, x.high_c, x.degree_days, x.total) for x in days]
    told = (
        (*row, *between_c, leans[at] if at < len(leans) else None)
        for at, row in enumerate(rows)
    )
    headings = (*_DAYS, "leans on filled hours")
    return table(f"Degree-days of {place}", headings, told)


def forecast_table(place: str, days: Iterable[ForecastDayRow]) -> Table:
    """Return the short forecast typed for a place."""
    rows = ((place, x.day, x.low_c, x.high_c, x.given_on) for x in days)
    headings = ("place", "day", "low [°C]", "high [°C]", "given on")
    return table(f"Forecast of {place}", headings, rows)


def odd_table(place: str, at: Iterable[dt.datetime], celsius: Iterable[float]) -> Table:
    """Return readings too odd to count."""
    rows = ((place, *one) for one in zip(at, celsius, strict=True))
    headings = ("place", "time", "temperature [°C]")
    return table(f"Odd readings of {place}", headings, rows)


def imports_table(place: str, taken: Iterable[ReadingImportRow]) -> Table:
    """Return the files that were taken in for a place."""
    rows = (
        (
            *(place, x.file_name, x.column, "days" if x.daily else "readings"),
            *(_at(x.first_s), _at(x.last_s), x.number, x.set_aside),
        )
        for x in taken
    )
    headings = (
        *("place", "file", "column", "of", "first", "last"),
        *("rows taken", "rows set aside"),
    )
    return table(f"Files taken in for {place}", headings, rows)


def _at(at_s: int) -> dt.datetime:
    return dt.datetime.fromtimestamp(at_s, dt.UTC)


def heat_of_days_table(
    name: str, sign: str, days: Iterable[tuple[dt.date, float, float, float]]
) -> Table:
    """Return days of a file with low, high and degree-days, in the unit of `sign`."""
    total = 0.0
    rows = []
    for day, low, high, heat in days:
        total += heat if math.isfinite(heat) else 0.0
        rows.append((day, low, high, heat, total))
    headings = (
        *("day", f"low [{sign}]", f"high [{sign}]"),
        *(f"degree-days [{sign} d]", f"sum [{sign} d]"),
    )
    return table(f"Degree-days of {name}", headings, rows)


def aside_table(name: str, lines: Iterable[LineSetAside]) -> Table:
    """Return the lines of a file that were not taken, whole."""
    rows = ((x.line, x.text, x.reason) for x in lines)
    return table(f"Set aside, {name}", ("line", "text", "why"), rows)
