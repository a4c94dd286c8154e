"""Hourly temperatures: from readings or daily extremes, filled, carried on, joined."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.day_course import DAY_H, from_daily
from rearing.science.readings import HOUR_S, hourly_means, hours_between, odd
from rearing.science.stages import Track

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

__all__ = [
    "After",
    "Filled",
    "How",
    "extend",
    "fill",
    "from_daily",
    "hourly_means",
    "hours_between",
    "join",
    "odd",
]

AROUND_DAYS = 7
"""A long hole is filled from the same hour of so many days before and after it."""


class How(IntEnum):
    """Where an hour's temperature comes from."""

    SEEN = 0
    INTERPOLATED = 1
    FILLED = 2
    MISSING = 3


class After(StrEnum):
    """What was assumed where there are no readings."""

    SET_POINT = "set point"
    LAST_DAYS = "last days"
    LAST_HOURS = "last hours"


@dataclass(frozen=True, slots=True)
class Filled:
    """Hours with their holes filled as far as possible, and how each was had."""

    celsius: NDArray[np.float64]
    how: NDArray[np.int8]


def fill(hours: ArrayLike, *, short_h: int = 6) -> Filled:
    """Fill the holes of an hourly series and mark what was filled, and how.

    Parameters
    ----------
    hours : array_like, shape (n,)
        Hourly temperatures [°C]; NaN is a hole.
    short_h : int
        The longest hole that is bridged by a straight line [h].

    Returns
    -------
    Filled
        Longer holes, and those at either end, take the mean of the same hour of the
        `AROUND_DAYS` days before and after, as far as seen; where there is none the
        hour stays NaN and is marked missing. What was seen is never changed.
    """
    celsius = np.array(hours, dtype=np.float64)
    seen = np.isfinite(celsius)
    how = np.where(seen, How.SEEN, How.MISSING).astype(np.int8)
    celsius[~seen] = np.nan
    missing = np.flatnonzero(~seen)
    filled, known = _same_hour_around(celsius, missing)
    celsius[missing] = filled
    how[missing[known]] = How.FILLED
    bridged = missing[_in_short_hole(seen, missing, short_h)]
    if len(bridged):
        places = np.flatnonzero(seen)
        celsius[bridged] = np.interp(bridged, places, celsius[places])
        how[bridged] = How.INTERPOLATED
    return Filled(celsius, how)


def _in_short_hole(
    seen: NDArray[np.bool_], missing: NDArray[np.intp], short_h: int
) -> NDArray[np.bool_]:
    """Find holes of at most `short_h` hours between two seen ones."""
    places = np.flatnonzero(seen)
    after = np.searchsorted(places, missing)
    inside = (after > 0) & (after < len(places))
    short = np.zeros(len(missing), dtype=bool)
    right = after[inside]
    short[inside] = places[right] - places[right - 1] - 1 <= short_h
    return short


def _same_hour_around(
    celsius: NDArray[np.float64], missing: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Mean of what was seen at the same hour of the days around, and where any was."""
    total, count = np.zeros(len(missing)), np.zeros(len(missing), dtype=np.intp)
    for days in (*range(-AROUND_DAYS, 0), *range(1, AROUND_DAYS + 1)):
        place = missing + DAY_H * days
        inside = (place >= 0) & (place < len(celsius))
        value = np.full(len(missing), np.nan)
        value[inside] = celsius[place[inside]]
        found = np.isfinite(value)
        total[found] += value[found]
        count += found
    known = count > 0
    return np.where(known, total / np.maximum(count, 1), np.nan), known


def extend(
    hours: ArrayLike,
    seen_hours: int,
    horizon_hours: int,
    *,
    set_point_c: float | None = None,
    last_days: int = 7,
) -> tuple[NDArray[np.float64], After]:
    """Carry an hourly series on after its last reading.

    Parameters
    ----------
    hours : array_like, shape (n,)
        Hourly temperatures, filled as far as possible [°C].
    seen_hours : int
        What lies at this place and after is not looked at.
    horizon_hours : int
        Length of the answer.
    set_point_c : float or None
        Temperature the place is kept at [°C].
    last_days : int
        Days before the last reading whose mean daily course is repeated.

    Returns
    -------
    celsius : NDArray[float64], shape (horizon_hours,)
        Complete [°C]: holes left before the last reading get the same assumption.
    after : After
        The set point where there is one; else the mean daily course of the last days
        with readings, or of the last hours when they are less than a day.

    Raises
    ------
    ValueError
        When there is neither a set point nor a reading.
    """
    known = np.asarray(hours, dtype=np.float64)[: min(seen_hours, horizon_hours)]
    celsius = np.full(horizon_hours, np.nan)
    celsius[: len(known)] = known
    hole = ~np.isfinite(celsius)
    if set_point_c is not None:
        celsius[hole] = set_point_c
        return celsius, After.SET_POINT
    readings = np.flatnonzero(~hole)
    if not len(readings):
        raise ValueError("set_point_c is needed where there is no reading at all")
    last = readings[readings > readings[-1] - DAY_H * last_days]
    celsius[hole] = _daily_course(celsius[last], last)[np.flatnonzero(hole) % DAY_H]
    return celsius, After.LAST_DAYS if len(last) >= DAY_H else After.LAST_HOURS


def _daily_course(
    celsius: NDArray[np.float64], place: NDArray[np.intp]
) -> NDArray[np.float64]:
    """Mean by hour of the day; an hour never seen lies between its neighbours."""
    hour = place % DAY_H
    count = np.bincount(hour, minlength=DAY_H)
    total = np.bincount(hour, weights=celsius, minlength=DAY_H)
    had = np.flatnonzero(count)
    return np.interp(np.arange(DAY_H), had, total[had] / count[had], period=DAY_H)


def join(
    stays: Sequence[tuple[float, float, int]],
    tracks: Sequence[NDArray[np.float64]],
    *,
    start_s: float,
    seen_until_s: Sequence[float],
) -> Track:
    """Join the temperatures of the places where a brood was, and will be.

    Parameters
    ----------
    stays : sequence of (from_s, to_s, place)
        In any order; `place` is an index into `tracks` [epoch seconds].
    tracks : sequence of NDArray, shape (n_hours,)
        Hourly temperatures of the places on one axis that begins at `start_s` [°C].
    start_s : float
        A whole hour [epoch seconds].
    seen_until_s : sequence of float
        For each place the instant after which its temperatures are assumed.

    Returns
    -------
    Track
        From the first stay's hour to the end of the axis. A stay holds until the next
        begins, so a gap is spent where the animals were last. Seen until the first
        instant at which one of the stays leans on an assumption.

    Raises
    ------
    ValueError
        Without a stay, for a first stay off the axis, or places of unequal length.
    """
    n_hours = len(tracks[0]) if tracks else 0
    if not stays or any(len(track) != n_hours for track in tracks):
        raise ValueError("a stay is needed, and places of one length in hours")
    ordered = sorted(stays)
    begins = np.array([stay[0] for stay in ordered])
    places = np.array([stay[2] for stay in ordered])
    first = int((begins[0] - start_s) // HOUR_S)
    if not 0 <= first < n_hours:
        raise ValueError(f"first stay at {begins[0]:.0f} s lies off the hours given")
    hours = np.arange(first, n_hours)
    middle_s = start_s + HOUR_S * (hours + 0.5)
    stay = np.maximum(np.searchsorted(begins, middle_s, side="right") - 1, 0)
    celsius = np.stack(tracks)[places[stay], hours]
    ends = np.append(begins[1:], np.inf)
    until = np.array(seen_until_s, dtype=np.float64)[places]
    leans = until < ends
    seen = float(np.maximum(until, begins)[leans].min()) if leans.any() else np.inf
    end_s = start_s + HOUR_S * n_hours
    return Track(start_s + HOUR_S * first, celsius, min(seen, end_s))
