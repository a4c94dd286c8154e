"""The course of a day between its lowest and its highest temperature."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.science.readings import HOUR_S, hours_between

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

DAY_H = 24

LOWEST_HOUR, HIGHEST_HOUR = 5, 15
"""Hours after midnight of the lowest and the highest (common practice, no source)."""


def from_daily(
    day_start_s: ArrayLike,
    low_c: ArrayLike,
    high_c: ArrayLike,
    start_s: float,
    end_s: float,
) -> NDArray[np.float64]:
    """Return hourly temperatures from the lowest and highest of each day.

    Parameters
    ----------
    day_start_s : array_like, shape (n_days,)
        Midnights at which the days begin, ascending; by the sun's time the extremes
        fall right [epoch seconds].
    low_c, high_c : array_like, shape (n_days,)
        The day's minimum and maximum [°C]; NaN leaves the day empty.
    start_s, end_s : float
        As in `hours_between` [epoch seconds].

    Returns
    -------
    NDArray[float64], shape (n_hours,)
        Temperature on each hour [°C]; NaN outside the days.

    Raises
    ------
    ValueError
        For a minimum above the maximum, with the place of the day.

    Notes
    -----
    Half a cosine from the minimum at `LOWEST_HOUR` to the maximum at `HIGHEST_HOUR`
    and half a one down to the next day's minimum, held between the day's own
    extremes, so that each whole day keeps both exactly. A day starting between two
    whole hours is moved to the nearer.
    """
    days = np.round(np.asarray(day_start_s, dtype=np.float64) / HOUR_S) * HOUR_S
    low, high = np.asarray(low_c, np.float64), np.asarray(high_c, np.float64)
    hours = hours_between(start_s, end_s)
    wrong = np.flatnonzero(low > high)
    if len(wrong):
        i = int(wrong[0])
        raise ValueError(f"day {i}: low_c {low[i]} °C is above high_c {high[i]} °C")
    if not len(days):
        return np.full(len(hours), np.nan)
    day = np.searchsorted(days, hours, side="right") - 1
    lasts_h = np.append(np.diff(days) / HOUR_S, DAY_H)
    lasts_h[lasts_h > DAY_H + 1] = DAY_H  # a day left out; 25 h is a clock change
    within = (hours - days[day]) / HOUR_S
    celsius = _course(day, within, low, high)
    celsius[(day < 0) | (within >= lasts_h[day])] = np.nan
    return celsius


def _course(
    day: NDArray[np.intp],
    hour: NDArray[np.float64],
    low: NDArray[np.float64],
    high: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Temperature at an hour of a day; a neighbour that is missing is like the day."""
    before = np.concatenate((high[:1], high[:-1]))
    after = np.concatenate((low[1:], low[-1:]))
    before = np.where(np.isnan(before), high, before)[day]
    after = np.where(np.isnan(after), low, after)[day]
    low, high = low[day], high[day]
    falls_h = DAY_H - HIGHEST_HOUR + LOWEST_HOUR
    rise = (hour - LOWEST_HOUR) / (HIGHEST_HOUR - LOWEST_HOUR)
    early = (hour + DAY_H - HIGHEST_HOUR) / falls_h
    late = (hour - HIGHEST_HOUR) / falls_h
    celsius = np.where(
        hour < LOWEST_HOUR,
        _half_cosine(before, low, early),
        np.where(
            hour <= HIGHEST_HOUR,
            _half_cosine(low, high, rise),
            _half_cosine(high, after, late),
        ),
    )
    return np.clip(celsius, low, high)


def _half_cosine(
    begin: NDArray[np.float64], end: NDArray[np.float64], part: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Go from `begin` to `end` along half a cosine."""
    return begin + (end - begin) * 0.5 * (1.0 - np.cos(np.pi * part))
