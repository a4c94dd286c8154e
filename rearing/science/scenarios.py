"""What the air outdoors may be after the last reading: past years as futures."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.science.day_course import DAY_H, from_daily
from rearing.science.futures import (
    SCENARIOS,
    Kind,
    Scenarios,
    TypedDay,
    even_normals,
    mean_or_zero,
    wandering,
)
from rearing.science.readings import HOUR_S
from rearing.science.rooms import by_rule, indoors
from rearing.science.season_mean import (
    YEAR_DAYS,
    SeasonMean,
    daily_means,
    memory_of,
    season_mean,
)
from rearing.science.weather import extend, fill

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

__all__ = [
    "Kind",
    "Scenarios",
    "TypedDay",
    "by_rule",
    "indoors",
    "outdoors",
    "with_typed",
]

SHIFTS_DAYS = (0, -20, 20, -40, 40)
"""A year's departures serve again so many days earlier or later in the season."""

LEAST_SEEN = 0.8
"""Share of a past year's hours that must be seen before it serves as a future."""

OUTDOOR_SPREAD_C = 3.0
"""Standard deviation of daily means about the season's course (Seattle 2012 to 2015 in
vega_datasets: 2.7; computed), where the place's own is not known [°C]."""

DRIFT_C_PER_30_DAYS = 2.5
"""Spread of the season's own way on from the last days, where no past year tells it
(from memory; in spring and autumn it is that much and more) [°C]."""

TYPED_SPREAD_C, TYPED_SPREAD_C_PER_DAY = 1.0, 0.3
"""Error of a short forecast's daily mean on its first day, and its growth a day (from
memory) [°C]."""


def outdoors(
    hours: NDArray[np.float64],
    start_s: float,
    horizon_hours: int,
    rng: np.random.Generator,
    *,
    typed: Sequence[TypedDay] = (),
) -> Scenarios:
    """Let every past year on file serve as a future.

    Parameters
    ----------
    hours : NDArray[float64], shape (n_hours,)
        Hourly temperatures, years of them if there are, up to the last reading; NaN
        for holes [°C].
    start_s : float
        Start of the first hour [epoch seconds].
    horizon_hours : int
        Length of the futures [h].
    rng : numpy.random.Generator
    typed : sequence of TypedDay
        A short forecast; its days override the futures' first days.

    Returns
    -------
    Scenarios
        From past years where the season's course is known and at least one year has
        `LEAST_SEEN` of the hours wanted; else the last seven days' course, widened by
        what weather does (`OUTDOOR_SPREAD_C`, `DRIFT_C_PER_30_DAYS`).

    Raises
    ------
    ValueError
        Without a single reading.

    Notes
    -----
    Year k gives season(t) + a_k(t) + (a_now - a_k(now)) exp(-(t - now) / memory), a its
    departures from the seasonal mean: today's departure at first, its own in the end,
    which is what a first-order autoregression expects and how far it spreads. After a
    short forecast the last typed day's departure takes the place of today's.
    """
    now_s = start_s + HOUR_S * len(hours)
    season = season_mean(hours, start_s)
    years = _past_years(hours, start_s, horizon_hours, season) if season else None
    if season is None or years is None:
        made = _last_days(hours, now_s, horizon_hours, rng)
        return with_typed(made, typed, rng)
    departures, before, used = years
    recent = _recent(hours, start_s, season)
    faded = np.exp(-np.arange(horizon_hours) / (DAY_H * season.memory_days))
    base = season.at(now_s + HOUR_S * (np.arange(horizon_hours) + 0.5))
    celsius = base + departures + (recent - before)[:, None] * faded
    made = Scenarios(now_s, celsius, Kind.PAST_YEARS, used, season.memory_days)
    return with_typed(made, typed, rng)


def _past_years(
    hours: NDArray[np.float64], start_s: float, horizon: int, season: SeasonMean
) -> tuple[NDArray[np.float64], NDArray[np.float64], int] | None:
    """Departures of past years from the season's course, and just before they begin."""
    whole = len(hours)
    away = hours - season.at(start_s + HOUR_S * (np.arange(whole) + 0.5))
    n_years = int(whole / (YEAR_DAYS * DAY_H)) + 1
    found, before, years = [], [], set()
    for shift in SHIFTS_DAYS:
        for year in range(1, n_years + 1):
            begin = whole - DAY_H * round(YEAR_DAYS * year + shift)
            if begin < 0 or begin + horizon > whole:
                continue
            part = away[begin : begin + horizon]
            if np.isfinite(part).mean() < LEAST_SEEN:
                continue
            found.append(_without_holes(part))
            before.append(mean_or_zero(away[max(begin - 2 * DAY_H, 0) : begin]))
            years.add(year)
        if len(found) >= SCENARIOS:
            break
    if not found:
        return None
    return np.stack(found), np.array(before), len(years)


def _without_holes(part: NDArray[np.float64]) -> NDArray[np.float64]:
    """Fill holes as in any series; what is left takes the year's mean daily swing."""
    filled = fill(part).celsius
    hole = ~np.isfinite(filled)
    if hole.any():
        filled[hole] = extend(part, len(part), len(part), last_days=10_000)[0][hole]
    return filled


def _recent(hours: NDArray[np.float64], start_s: float, season: SeasonMean) -> float:
    """Departure of the last two days [°C]."""
    last = hours[-2 * DAY_H :]
    first = len(hours) - len(last)
    at_s = start_s + HOUR_S * (first + np.arange(len(last)) + 0.5)
    return mean_or_zero(last - season.at(at_s))


def _last_days(
    hours: NDArray[np.float64], now_s: float, horizon: int, rng: np.random.Generator
) -> Scenarios:
    """Carry on the last seven days, and what weather and season may make of them."""
    whole = len(hours)
    known = fill(hours[-60 * DAY_H :]).celsius
    lead = len(known)
    course = extend(known, lead, lead + horizon)[0][lead:]
    memory_days = season_memory(hours[-400 * DAY_H :]) if whole else 0.0
    faded = np.exp(-np.arange(horizon) / (DAY_H * memory_days))
    spread = OUTDOOR_SPREAD_C * np.sqrt(1 - faded**2)
    drift = DRIFT_C_PER_30_DAYS * np.minimum(np.arange(horizon) / (30 * DAY_H), 2.0)
    way = rng.permutation(even_normals(SCENARIOS))[:, None]
    celsius = course + way * drift
    celsius += spread * wandering((SCENARIOS, horizon), memory_days, rng)
    return Scenarios(now_s, celsius, Kind.LAST_DAYS, 0, memory_days)


def season_memory(hours: NDArray[np.float64]) -> float:
    """Memory of a short series about its own slow course of a fortnight [d]."""
    means = daily_means(hours)
    seen = np.isfinite(means)
    if np.count_nonzero(seen) < 45:
        return memory_of(np.zeros(0))
    day = np.flatnonzero(seen)
    parts = np.polynomial.polynomial.polyfit(day, means[day], 3)
    return memory_of(
        means - np.polynomial.polynomial.polyval(np.arange(len(means)), parts)
    )


def with_typed(
    made: Scenarios, typed: Sequence[TypedDay], rng: np.random.Generator
) -> Scenarios:
    """Override the first days with a short forecast and let its error fade after it.

    Parameters
    ----------
    made : Scenarios
        The futures without it.
    typed : sequence of TypedDay
        In any order; days before the futures begin are passed over.
    rng : numpy.random.Generator

    Returns
    -------
    Scenarios
        The same object where no day of the forecast lies among the futures.
    """
    n, horizon = made.celsius.shape
    end_s = made.start_s + HOUR_S * horizon
    days = sorted(typed, key=lambda day: day.start_s)
    if not days:
        return made
    course = from_daily(
        [d.start_s for d in days],
        [d.low_c for d in days],
        [d.high_c for d in days],
        made.start_s,
        end_s,
    )
    told = np.flatnonzero(np.isfinite(course[:horizon]))
    if not len(told):
        return made
    day = told / DAY_H
    error = (TYPED_SPREAD_C + TYPED_SPREAD_C_PER_DAY * day) * wandering(
        (n, horizon), made.memory_days, rng
    )[:, told]
    celsius = made.celsius.copy()
    new = course[told] + error
    last_day = told > told[-1] - DAY_H
    jump = (new - celsius[:, told])[:, last_day].mean(axis=1)
    after = np.arange(told[-1] + 1, horizon)
    faded = np.exp(-(after - told[-1]) / (DAY_H * made.memory_days))
    celsius[:, after] += jump[:, None] * faded
    celsius[:, told] = new
    n_days = int(np.ceil(len(told) / DAY_H))
    return Scenarios(
        made.start_s, celsius, made.kind, made.years, made.memory_days, n_days
    )
