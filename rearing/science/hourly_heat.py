"""Degree-days of days from readings, however they are spaced."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rearing.science.daily_curves import Cutoff, check_thresholds, response

if TYPE_CHECKING:
    from datetime import date, tzinfo

    from numpy.typing import ArrayLike

HOUR_S = 3600.0
DAY_S = 86_400.0
LONGEST_GAP_S = 3 * HOUR_S
"""Readings up to three hours apart are taken to join up (our choice)."""
LEAST_SHARE = 0.9
"""A day with less of it covered than this is not counted (our choice)."""

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HourlyHeat:
    """Degree-days by day, and how much of each day the readings cover.

    Attributes
    ----------
    degree_days : NDArray, shape (n_days,)
        [°C d], NaN where too little of the day is covered.
    share : NDArray, shape (n_days,)
        Part of the day covered by readings, 0 to 1.
    """

    degree_days: Array
    share: Array


def day_edges_s(first: date, last: date, zone: tzinfo) -> Array:
    """Return the local midnights from `first` to the one after `last`, shape (n + 1,).

    Epoch seconds [s]. Days of a clock change come out 23 or 25 hours long.
    """
    if last < first:
        raise ValueError(f"The last day, {last}, is before the first, {first}.")
    days = (first + timedelta(days=i) for i in range((last - first).days + 2))
    return np.array(
        [datetime(d.year, d.month, d.day, tzinfo=zone).timestamp() for d in days]
    )


def hourly(  # noqa: PLR0913 - readings, days, thresholds, and two rules for holes
    at_s: ArrayLike,
    celsius: ArrayLike,
    edges_s: ArrayLike,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
    longest_gap_s: float = LONGEST_GAP_S,
    least_share: float = LEAST_SHARE,
) -> HourlyHeat:
    """Sum readings to degree-days by day.

    Parameters
    ----------
    at_s : array of numbers, shape (n,)
        Instants of the readings, epoch seconds [s], in any order.
    celsius : array of numbers, shape (n,)
        Readings [°C]; NaN is a hole.
    edges_s : array of numbers, shape (n_days + 1,)
        Where each day begins, and where the last ends, see `day_edges_s` [s].
    lower_c, upper_c, cutoff
        As in `degree_days`.
    longest_gap_s : float
        Readings further apart than this leave a hole between them [s].
    least_share : float
        A day is NaN unless at least this part of it is covered.

    Returns
    -------
    HourlyHeat
        Degree-days [°C d] and covered share of each day.

    Raises
    ------
    ValueError
        Readings and instants of different number, an infinite reading, edges that
        don't rise, thresholds the wrong way round.

    Notes
    -----
    A reading stands for half the time to its neighbours on either side (at an end of
    the series or of a hole, as much as on its other side), at most half
    `longest_gap_s` each way, and counts for the day it was taken on. A day's heat is
    the weighted mean of the degrees that count, times the day's length in days: 24
    readings at equal spacing give ``Σ (min(max(T, lower), upper) − lower) / 24``.
    A covered share below 1 is thus scaled up to the whole day, and said.
    """
    check_thresholds(lower_c, upper_c)
    edges = np.asarray(edges_s, dtype=np.float64)
    if len(edges) < 2 or not (np.diff(edges) > 0).all():
        raise ValueError(
            "Days need at least two edges, each later than the one before."
        )
    at, degrees = _known(at_s, celsius)
    counted = response(degrees, lower_c, upper_c, Cutoff(cutoff))
    weight = _stands_for_s(at, longest_gap_s)
    n_days = len(edges) - 1
    day = np.searchsorted(edges, at, side="right") - 1
    inside = (day >= 0) & (day < n_days)
    day, weight, counted = day[inside], weight[inside], counted[inside]
    covered = np.bincount(day, weights=weight, minlength=n_days)
    gained = np.bincount(day, weights=weight * counted, minlength=n_days)
    length = np.diff(edges)
    share = np.minimum(covered / length, 1.0)
    enough = (share >= least_share) & (covered > 0)
    mean = np.divide(gained, covered, out=np.full(n_days, np.nan), where=enough)
    return HourlyHeat(np.maximum(mean * length / DAY_S, 0.0), share)


def _known(at_s: ArrayLike, celsius: ArrayLike) -> tuple[Array, Array]:
    """Return the readings that are known, in order of time."""
    at = np.asarray(at_s, dtype=np.float64)
    degrees = np.asarray(celsius, dtype=np.float64)
    if at.shape != degrees.shape or at.ndim != 1:
        raise ValueError(
            f"{at.size} instants don't match {degrees.size} readings; "
            "both must be plain series."
        )
    if np.isinf(degrees).any():
        raise ValueError(
            f"The reading at index {int(np.argmax(np.isinf(degrees)))} is infinite."
        )
    known = ~np.isnan(degrees)
    at, degrees = at[known], degrees[known]
    order = np.argsort(at, kind="stable")
    return at[order], degrees[order]


def _stands_for_s(at: Array, longest_gap_s: float) -> Array:
    """Return how long each reading stands for [s], shape of `at`."""
    if len(at) < 2:
        # Alone, a reading speaks for nothing but its own instant.
        return np.zeros_like(at)
    gap = np.diff(at)
    joined = gap <= longest_gap_s
    half = np.where(joined, gap / 2.0, np.nan)
    before = np.concatenate([[np.nan], half])
    after = np.concatenate([half, [np.nan]])
    other = np.where(np.isnan(before), after, before)
    before, after = other, np.where(np.isnan(after), other, after)
    # A reading with a hole on both sides stands for nothing.
    stands: Array = np.nan_to_num(before + after, nan=0.0)
    return stands
