"""Readings of a thermometer: into whole hours, and which of them are doubtful."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

HOUR_S = 3600.0

IMPOSSIBLE_BELOW_C, IMPOSSIBLE_ABOVE_C = -50.0, 60.0
"""No air a moth is kept in; faulty probes give -127 or 85 (from memory) [°C]."""

SPIKE_C = 8.0
"""A reading so far from the middle of the five about it is doubtful (from memory)."""

SPIKE_SPAN_S = 5 * HOUR_S
"""Five readings longer apart than this say nothing about spikes."""


def hours_between(start_s: float, end_s: float) -> NDArray[np.float64]:
    """Return the whole hours from the one `start_s` lies in up to `end_s` [epoch s]."""
    first = np.floor(start_s / HOUR_S)
    last = np.ceil(end_s / HOUR_S)
    if last < first:
        raise ValueError(f"end_s {end_s:.0f} lies before start_s {start_s:.0f}")
    return np.arange(first, last, dtype=np.float64) * HOUR_S


def hourly_means(
    at_s: ArrayLike, celsius: ArrayLike, start_s: float, end_s: float
) -> NDArray[np.float64]:
    """Return the mean of the readings in each whole hour.

    Parameters
    ----------
    at_s : array_like, shape (n,)
        Instants of the readings in any order [epoch seconds].
    celsius : array_like, shape (n,)
        Readings; NaN is passed over [°C].
    start_s, end_s : float
        As in `hours_between` [epoch seconds].

    Returns
    -------
    NDArray[float64], shape (n_hours,)
        Means [°C]; NaN for an hour without a reading.

    Examples
    --------
    >>> hourly_means([0, 1800, 7200], [10.0, 12.0, 9.0], 0, 10800).tolist()
    [11.0, nan, 9.0]
    """
    instants = np.asarray(at_s, dtype=np.float64)
    readings = np.asarray(celsius, dtype=np.float64)
    hours = hours_between(start_s, end_s)
    if not len(hours):
        return hours
    place = np.floor((instants - hours[0]) / HOUR_S)
    used = (place >= 0) & (place < len(hours)) & np.isfinite(readings)
    where = place[used].astype(np.intp)
    count = np.bincount(where, minlength=len(hours))
    total = np.bincount(where, weights=readings[used], minlength=len(hours))
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def odd(at_s: ArrayLike, celsius: ArrayLike) -> NDArray[np.bool_]:
    """Mark doubtful readings: impossible ones and short spikes.

    Parameters
    ----------
    at_s : array_like, shape (n,)
        Instants in any order [epoch seconds].
    celsius : array_like, shape (n,)
        Readings [°C]; NaN is a missing reading, not a doubtful one.

    Returns
    -------
    NDArray[bool], shape (n,)
        True where the reading lies outside `IMPOSSIBLE_BELOW_C` to
        `IMPOSSIBLE_ABOVE_C`, or `SPIKE_C` from the middle of the five readings about
        it within `SPIKE_SPAN_S`. A logger carried to another room jumps but stays,
        and is not doubtful; one left in the sun for hours is not found either.
    """
    instants = np.asarray(at_s, dtype=np.float64)
    readings = np.asarray(celsius, dtype=np.float64)
    doubtful = (readings < IMPOSSIBLE_BELOW_C) | (readings > IMPOSSIBLE_ABOVE_C)
    fair = np.flatnonzero(~doubtful & np.isfinite(readings))
    order = fair[np.argsort(instants[fair], kind="stable")]
    if len(order) < 5:
        return doubtful
    five = np.lib.stride_tricks.sliding_window_view(readings[order], 5)
    middle = np.sort(five, axis=1)[:, 2]
    near = instants[order[4:]] - instants[order[:-4]] <= SPIKE_SPAN_S
    centre = order[2:-2]
    doubtful[centre] |= near & (np.abs(readings[centre] - middle) > SPIKE_C)
    return doubtful
