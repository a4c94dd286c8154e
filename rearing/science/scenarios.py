"""What a place's temperature may be after its last reading: one row, one future."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtri

from rearing.science.day_course import DAY_H, from_daily
from rearing.science.readings import HOUR_S
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

    from rearing.science.place_rule import PlaceRule

SCENARIOS = 16
"""Futures looked for; few years on file serve several times, moved by weeks."""

SHIFTS_DAYS = (0, -20, 20, -40, 40)
"""A year's departures serve again so many days earlier or later in the season."""

LEAST_SEEN = 0.8
"""Share of a past year's hours that must be seen before it serves as a future."""

SET_POINT_SPREAD_C = 1.0
"""Standard deviation about a set point where none is stated (from memory) [°C]."""

SET_POINT_LASTING = 0.5
"""Share of that variance that stays the same throughout: a warm shelf stays warm
(from memory); the rest comes and goes with `INDOOR_MEMORY_DAYS`."""

INDOOR_MEMORY_DAYS = 4.0
"""How long a room stays warmer or cooler than usual (from memory) [d]."""

OUTDOOR_SPREAD_C = 3.0
"""Standard deviation of daily means about the season's course (Seattle 2012 to 2015 in
vega_datasets: 2.7; computed), where the place's own is not known [°C]."""

DRIFT_C_PER_30_DAYS = 2.5
"""Spread of the season's own way on from the last days, where no past year tells it
(from memory; in spring and autumn it is that much and more) [°C]."""

TYPED_SPREAD_C, TYPED_SPREAD_C_PER_DAY = 1.0, 0.3
"""Error of a short forecast's daily mean on its first day, and its growth a day (from
memory) [°C]."""


class Kind(StrEnum):
    """What the futures rest on."""

    PAST_YEARS = "past years"
    SET_POINT = "set point"
    RULE = "rule"
    LAST_DAYS = "last days"


@dataclass(frozen=True, slots=True)
class TypedDay:
    """A day of a short forecast: when it begins, lowest and highest [°C]."""

    start_s: float
    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True)
class Scenarios:
    """Futures of one place, hour by hour, each as likely as the other.

    Attributes
    ----------
    start_s : float
        Where they begin: the end of the last hour read [epoch seconds].
    celsius : NDArray[float64], shape (n_scenarios, n_hours)
        Complete [°C].
    kind : Kind
        What they rest on.
    years : int
        Past years that served.
    memory_days : float
        How long the present departure lasts [d].
    typed_days : int
        Days overridden by a short forecast.
    """

    start_s: float
    celsius: NDArray[np.float64]
    kind: Kind
    years: int
    memory_days: float
    typed_days: int = 0


def wandering(
    shape: tuple[int, int], memory_days: float, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Departures of spread 1 that fade with `memory_days`, one value for every hour.

    Parameters
    ----------
    shape : (n_scenarios, n_hours)
    memory_days : float
        [d].
    rng : numpy.random.Generator

    Returns
    -------
    NDArray[float64], shape `shape`
        First-order autoregression by days, straight between their middles.
    """
    n, n_hours = shape
    n_days = n_hours // DAY_H + 2
    r = np.exp(-1.0 / memory_days)
    step = rng.standard_normal((n, n_days))
    days = np.empty((n, n_days))
    days[:, 0] = step[:, 0]
    for i in range(1, n_days):
        days[:, i] = r * days[:, i - 1] + np.sqrt(1 - r * r) * step[:, i]
    place = np.arange(n_hours) / DAY_H
    day = place.astype(np.intp)
    part = place - day
    return np.asarray(days[:, day] * (1 - part) + days[:, day + 1] * part)


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
        return _with_typed(made, typed, rng)
    departures, before, used = years
    recent = _recent(hours, start_s, season)
    faded = np.exp(-np.arange(horizon_hours) / (DAY_H * season.memory_days))
    base = season.at(now_s + HOUR_S * (np.arange(horizon_hours) + 0.5))
    celsius = base + departures + (recent - before)[:, None] * faded
    made = Scenarios(now_s, celsius, Kind.PAST_YEARS, used, season.memory_days)
    return _with_typed(made, typed, rng)


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
            before.append(_mean_or_zero(away[max(begin - 2 * DAY_H, 0) : begin]))
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


def _mean_or_zero(part: NDArray[np.float64]) -> float:
    """Mean of what was seen; nothing seen is no departure."""
    seen = part[np.isfinite(part)]
    return float(seen.mean()) if len(seen) else 0.0


def _recent(hours: NDArray[np.float64], start_s: float, season: SeasonMean) -> float:
    """Departure of the last two days [°C]."""
    last = hours[-2 * DAY_H :]
    first = len(hours) - len(last)
    at_s = start_s + HOUR_S * (first + np.arange(len(last)) + 0.5)
    return _mean_or_zero(last - season.at(at_s))


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
    way = rng.permutation(_even_normals(SCENARIOS))[:, None]
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


def _even_normals(n: int) -> NDArray[np.float64]:
    """Evenly likely values of a standard normal, of spread 1."""
    z = np.asarray(ndtri((np.arange(n) + 0.5) / n), dtype=np.float64)
    return np.asarray(z / z.std() if n > 1 else z, dtype=np.float64)


def _with_typed(
    made: Scenarios, typed: Sequence[TypedDay], rng: np.random.Generator
) -> Scenarios:
    """Override the first days with a short forecast and let its error fade after it."""
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


def indoors(
    set_point_c: float,
    start_s: float,
    horizon_hours: int,
    rng: np.random.Generator,
    *,
    spread_c: float | None = None,
    recent: NDArray[np.float64] | None = None,
) -> Scenarios:
    """Let a place keep its set point, each future a little warmer or cooler.

    Parameters
    ----------
    set_point_c : float
        [°C].
    start_s : float
        Where the futures begin [epoch seconds].
    horizon_hours : int
        [h].
    rng : numpy.random.Generator
    spread_c : float or None
        Standard deviation of daily means about the set point; `SET_POINT_SPREAD_C`
        where none is stated [°C].
    recent : NDArray[float64] or None, shape (n_hours,)
        What was read there up to `start_s`, NaN for holes: the futures begin with the
        departure of its last three days and keep its daily swing [°C].

    Returns
    -------
    Scenarios
        `SET_POINT_LASTING` of the variance lasts, the rest comes and goes.
    """
    spread = SET_POINT_SPREAD_C if spread_c is None else spread_c
    shape = (SCENARIOS, horizon_hours)
    lasting = np.sqrt(SET_POINT_LASTING) * rng.permutation(_even_normals(SCENARIOS))
    passing = np.sqrt(1 - SET_POINT_LASTING) * wandering(shape, INDOOR_MEMORY_DAYS, rng)
    away = spread * (lasting[:, None] + passing)
    if recent is not None and np.isfinite(recent).any():
        here = _mean_or_zero(recent[-3 * DAY_H :] - set_point_c)
        memory_h = 3 * DAY_H * INDOOR_MEMORY_DAYS
        faded = np.exp(-np.arange(horizon_hours) / memory_h)
        away = away * np.sqrt(1 - faded**2) + here * faded
        away += _swing(recent, horizon_hours)
    return Scenarios(start_s, set_point_c + away, Kind.SET_POINT, 0, INDOOR_MEMORY_DAYS)


def _swing(recent: NDArray[np.float64], horizon: int) -> NDArray[np.float64]:
    """Carry on the mean daily swing of the last seven days."""
    last = recent[-7 * DAY_H :]
    if np.isfinite(last).sum() < 3 * DAY_H:
        return np.zeros(horizon)
    lead = len(last)
    course = extend(last, lead, lead + horizon)[0][lead:]
    mean = course[: max(horizon // DAY_H, 1) * DAY_H].mean()
    return np.asarray(course - mean, dtype=np.float64)


def by_rule(
    followed: Scenarios, rule: PlaceRule, rng: np.random.Generator
) -> Scenarios:
    """Return the futures of a place that follows another, with the rule's own spread.

    Parameters
    ----------
    followed : Scenarios
        Futures of the place that is followed.
    rule : PlaceRule
    rng : numpy.random.Generator

    Returns
    -------
    Scenarios
        As many futures, each with a departure of `rule.spread_c`.
    """
    away = rule.spread_c * wandering(followed.celsius.shape, rule.memory_days, rng)
    return Scenarios(
        followed.start_s,
        rule.apply(followed.celsius) + away,
        Kind.RULE,
        followed.years,
        followed.memory_days,
        followed.typed_days,
    )
