"""Degree-days of a temperature file's days, in the unit they are asked for."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rearing.exchange.temperature_clock import zone_named
from rearing.exchange.temperature_preview import MEASURES
from rearing.exchange.temperatures import DailySeries, Unit, read, understand
from rearing.problems import Refusal
from rearing.science.heat import (
    Cutoff,
    Method,
    day_edges_s,
    degree_days,
    following_minimum,
    hourly,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from rearing.exchange.temperatures import (
        InstantSeries,
        Temperatures,
        Understanding,
    )

Array = NDArray[np.float64]

FILE_CLOCK = "UTC"
"""Days as the file's own clock shows them: no summer time moves its hours."""


@dataclass(frozen=True, slots=True)
class HeatAsked:
    """What to count; thresholds and answer are in `unit`, °C where it is None."""

    lower: float
    upper: float | None
    method: Method
    cutoff: Cutoff
    unit: Unit | None = None
    zone: str | None = None
    series: str | None = None
    day_first: bool | None = None

    def told(self, celsius: Array) -> Array:
        """Return temperatures in the unit asked for."""
        if self.unit is not Unit.FAHRENHEIT:
            return celsius
        # Rounded to what a thermometer can mean: a reading of 88 °F is to stay at,
        # not a hair above, a threshold of 88 °F.
        return np.round(celsius * 1.8 + 32.0, 9)


@dataclass(frozen=True, slots=True, eq=False)
class HeatFound:
    """Degree-days by day; NaN where too little of a day is known.

    `low` and `high` are each day's ends, in the unit asked for, shape (n_days,).
    """

    days: NDArray[np.datetime64]
    low: Array
    high: Array
    degree_days: Array

    @property
    def total(self) -> float:
        """The sum of the days that are known."""
        return float(np.nansum(self.degree_days))

    @property
    def unknown(self) -> int:
        """How many days are left out."""
        return int(np.isnan(self.degree_days).sum())


def heat_of_file(
    path: Path, asked: HeatAsked, note: Callable[[str], None]
) -> HeatFound:
    """Read a file and count; `note` is told what should be known about it."""
    how = _understood(path, asked, note)
    found = read(path, how)
    aside = sum(found.set_aside_counts.values())
    if aside:
        reasons = "; ".join(f"{why} ({n})" for why, n in found.set_aside_counts.items())
        note(f"{aside} rows set aside: {reasons}.")
    series = _chosen(path, found, asked.series)
    if asked.method is Method.AVERAGE and asked.upper is not None:
        note("The plain average knows no upper threshold; --upper is passed over.")
    try:
        if isinstance(series, DailySeries):
            return _from_days(path, series, asked, note)
        return _from_instants(path, series, how, asked)
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong


def _understood(
    path: Path, asked: HeatAsked, note: Callable[[str], None]
) -> Understanding:
    """Look at the file; a unit that it states itself is believed before any other."""
    zone = asked.zone or FILE_CLOCK
    how = understand(path, zone=zone, day_first=asked.day_first)
    guessed = [column for column in how.of_role(*MEASURES) if column.unit_guessed]
    if guessed and asked.unit is not None:
        how = understand(
            path, zone=zone, unit=asked.unit.value, day_first=asked.day_first
        )
    elif guessed:
        sign = (guessed[0].unit or Unit.CELSIUS).sign
        note(f"{path.name} does not say its unit; by its figures it is {sign}.")
    if how.order_open:
        note(f"Dates are read {how.date_order}; the file alone can't prove it.")
    return how


def _chosen(
    path: Path, found: Temperatures, wanted: str | None
) -> DailySeries | InstantSeries:
    series: list[DailySeries | InstantSeries] = [*found.daily, *found.series]
    if not series:
        raise Refusal(f"No row of {path.name} gave a temperature.")
    names = ", ".join(one.name for one in series)
    if wanted is not None:
        named = [one for one in series if one.name.casefold() == wanted.casefold()]
        if not named:
            raise Refusal(f"{path.name} has no series “{wanted}”; it has {names}.")
        return named[0]
    if len(series) > 1:
        raise Refusal(
            f"{path.name} holds {len(series)} series ({names}); say which with "
            "--series."
        )
    return series[0]


def _from_days(
    path: Path, series: DailySeries, asked: HeatAsked, note: Callable[[str], None]
) -> HeatFound:
    if asked.method is Method.HOURLY:
        raise Refusal(
            f"The hourly method sums readings through the day, and {path.name} has "
            "only each day's lowest and highest; choose another method."
        )
    if series.mean_only:
        note(f"{path.name} has one figure a day, taken as its lowest and its highest.")
    return _counted(
        series.day, asked.told(series.low_c), asked.told(series.high_c), asked
    )


def _counted(
    days: NDArray[np.datetime64], low: Array, high: Array, asked: HeatAsked
) -> HeatFound:
    heat = degree_days(
        low,
        high,
        lower_c=asked.lower,
        upper_c=asked.upper,
        method=asked.method,
        cutoff=asked.cutoff,
        next_low_c=following_minimum(low, days),
        days=days,
    )
    return HeatFound(days, low, high, np.asarray(heat))


def _from_instants(
    path: Path, series: InstantSeries, how: Understanding, asked: HeatAsked
) -> HeatFound:
    """Count days from readings: each day's ends, or every reading of it."""
    # Days are those of the zone asked for; else of the offset the file states.
    zone = zone_named(asked.zone or how.zone)
    days, edges = _days_between(int(series.at_s[0]), int(series.at_s[-1]), zone)
    readings = asked.told(series.celsius)
    summed = hourly(
        series.at_s,
        readings,
        edges,
        lower_c=asked.lower,
        upper_c=asked.upper,
        cutoff=asked.cutoff,
    )
    known = ~np.isnan(summed.degree_days)
    if not known.any():
        raise Refusal(
            f"No day of {path.name} has readings enough: they may stand 3 hours apart "
            "at most, through nine tenths of the day."
        )
    low, high = np.full(len(days), np.inf), np.full(len(days), -np.inf)
    day_of = np.searchsorted(edges, series.at_s, side="right") - 1
    np.minimum.at(low, day_of, readings)
    np.maximum.at(high, day_of, readings)
    # The ends of a day seen in part only would be those of another day.
    low, high = np.where(known, low, np.nan), np.where(known, high, np.nan)
    if asked.method is Method.HOURLY:
        return HeatFound(days, low, high, summed.degree_days)
    return _counted(days, low, high, asked)


def _days_between(
    first_s: int, last_s: int, zone: dt.tzinfo
) -> tuple[NDArray[np.datetime64], Array]:
    first = dt.datetime.fromtimestamp(first_s, zone).date()
    last = dt.datetime.fromtimestamp(last_s, zone).date()
    edges = day_edges_s(first, last, zone)
    days = np.datetime64(first, "D") + np.arange(len(edges) - 1)
    return days, edges
