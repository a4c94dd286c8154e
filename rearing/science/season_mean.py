"""The year's usual course of temperature, and how long a departure from it lasts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.readings import HOUR_S

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

DAY_H = 24
YEAR_DAYS = 365.2425

HARMONICS = 2
"""Waves a year; two let spring and autumn differ (common practice, no source)."""

ENOUGH_DAYS = 330
"""Days with readings below which a year's course is not known."""

DEFAULT_MEMORY_DAYS = 4.0
"""Where a series is too short to tell; Seattle's daily means of 2012 to 2015 as
vega_datasets ships them give 3.5 to 4 days (computed)."""

_LEAST_SEEN_H = 18  # hours of a day that must be seen for its mean


@dataclass(frozen=True, slots=True)
class SeasonMean:
    """Daily mean by the day of the year, and the memory of departures from it.

    Attributes
    ----------
    parts : NDArray[float64], shape (1 + 2 HARMONICS,)
        Mean and waves [°C].
    memory_days : float
        A departure fades to 1/e of itself in so many days [d].
    spread_c : float
        Standard deviation of daily departures [°C].
    """

    parts: NDArray[np.float64]
    memory_days: float
    spread_c: float

    def at(self, at_s: ArrayLike) -> NDArray[np.float64]:
        """Return the usual daily mean at instants in epoch seconds [°C]."""
        return np.asarray(waves(at_s) @ self.parts, dtype=np.float64)


def waves(at_s: ArrayLike) -> NDArray[np.float64]:
    """Return the columns of the yearly waves, shape (n, 1 + 2 HARMONICS)."""
    turn = 2 * np.pi * np.asarray(at_s, np.float64) / (YEAR_DAYS * DAY_H * HOUR_S)
    columns = [np.ones_like(turn)]
    for k in range(1, HARMONICS + 1):
        columns += [np.cos(k * turn), np.sin(k * turn)]
    return np.stack(columns, axis=-1)


def daily_means(hours: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the mean of every 24 hours; NaN where fewer than 18 were seen.

    Parameters
    ----------
    hours : NDArray[float64], shape (n_hours,)
        Hourly temperatures, NaN for holes [°C]; hours after the last whole day are
        left out.

    Returns
    -------
    NDArray[float64], shape (n_hours // 24,)
        [°C].
    """
    days = hours[: len(hours) // DAY_H * DAY_H].reshape(-1, DAY_H)
    seen = np.isfinite(days)
    count = seen.sum(axis=1)
    total = np.where(seen, days, 0.0).sum(axis=1)
    return np.where(count >= _LEAST_SEEN_H, total / np.maximum(count, 1), np.nan)


def season_mean(hours: NDArray[np.float64], start_s: float) -> SeasonMean | None:
    """Fit the year's course of an hourly series and the memory of its departures.

    Parameters
    ----------
    hours : NDArray[float64], shape (n_hours,)
        Hourly temperatures, NaN for holes [°C].
    start_s : float
        Start of the first hour [epoch seconds].

    Returns
    -------
    SeasonMean or None
        None when fewer than `ENOUGH_DAYS` days were seen, or no more than nine
        tenths of a year is spanned: a wave fitted to a part of a year is wild outside.

    Notes
    -----
    Least squares of the daily means on the waves; the memory is -1 / ln r, r the
    correlation of departures one day apart, held between 0.05 and 0.97.
    """
    means = daily_means(hours)
    seen = np.flatnonzero(np.isfinite(means))
    if len(seen) < ENOUGH_DAYS or seen[-1] - seen[0] < 0.9 * YEAR_DAYS:
        return None
    at_s = start_s + HOUR_S * DAY_H * (np.arange(len(means)) + 0.5)
    fitted, *_ = np.linalg.lstsq(waves(at_s[seen]), means[seen], rcond=None)
    parts = np.asarray(fitted, dtype=np.float64)
    departure = means - waves(at_s) @ parts
    return SeasonMean(parts, memory_of(departure), float(np.nanstd(departure)))


def memory_of(departure: NDArray[np.float64]) -> float:
    """Return the memory of daily departures, NaN among them allowed [d]."""
    both = np.isfinite(departure[:-1]) & np.isfinite(departure[1:])
    if np.count_nonzero(both) < 30:
        return DEFAULT_MEMORY_DAYS
    now, then = departure[:-1][both], departure[1:][both]
    square = float((now**2).sum() * (then**2).sum())
    if square <= 0:
        return DEFAULT_MEMORY_DAYS
    r = float((now * then).sum() / np.sqrt(square))
    return float(-1.0 / np.log(np.clip(r, 0.05, 0.97)))
