"""A place that follows another: the shed a degree and a half above the air, damped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.season_mean import daily_means, memory_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

DAY_H = 24

LONGEST_LAG_H = 12
"""Walls delay the day's course by less than this (common practice, no source)."""

LEAST_DAYS = 7
"""Days on which both places must have been read before a rule is fitted."""

_RANGE_FOR_SLOPE_C = 4.0  # of daily means; within less, warm days are not told apart


@dataclass(frozen=True, slots=True)
class PlaceRule:
    """How one place's temperature follows from another's.

    Attributes
    ----------
    offset_c : float
        Added to the daily mean [°C].
    follows : float
        Change of the daily mean for each degree the other's changes [1].
    damping : float
        Share of the other's swing within a day that is felt [1].
    lag_h : int
        Hours by which the swing comes later [h].
    spread_c, memory_days : float
        Standard deviation of daily means about the rule [°C] and how long such a
        departure lasts [d].
    days : int
        Days both were read on; 0 for a rule that was stated, not fitted.
    """

    offset_c: float
    follows: float = 1.0
    damping: float = 1.0
    lag_h: int = 0
    spread_c: float = 1.0
    memory_days: float = 3.0
    days: int = 0

    def apply(self, celsius: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the place's hourly temperatures from the other's.

        Parameters
        ----------
        celsius : NDArray[float64], shape (..., n_hours)
            Hourly temperatures of the other place without holes [°C].

        Returns
        -------
        NDArray[float64], shape of `celsius`
            Offset + follows × daily mean + damping × swing `lag_h` hours before [°C].
        """
        slow = running_mean(celsius)
        swing = _later(celsius - slow, self.lag_h)
        return self.offset_c + self.follows * slow + self.damping * swing


def running_mean(celsius: NDArray[np.float64]) -> NDArray[np.float64]:
    """Mean of the 24 hours about each hour; of fewer at either end.

    Parameters
    ----------
    celsius : NDArray[float64], shape (..., n_hours)
        Hourly temperatures without holes [°C].

    Returns
    -------
    NDArray[float64], shape of `celsius`
        [°C].
    """
    n_hours = celsius.shape[-1]
    total = np.zeros((*celsius.shape[:-1], n_hours + 1))
    np.cumsum(celsius, axis=-1, out=total[..., 1:])
    hours = np.arange(n_hours)
    low = np.maximum(hours - DAY_H // 2, 0)
    high = np.minimum(hours + DAY_H // 2, n_hours)
    return np.asarray((total[..., high] - total[..., low]) / (high - low))


def _later(swing: NDArray[np.float64], lag_h: int) -> NDArray[np.float64]:
    """Shift the swing; the first hours take the next day's same hours."""
    if not lag_h:
        return swing
    head = swing[..., DAY_H - lag_h : DAY_H]
    return np.concatenate((head, swing[..., :-lag_h]), axis=-1)


def fit_rule(other: NDArray[np.float64], place: NDArray[np.float64]) -> PlaceRule:
    """Fit the rule where both places were read.

    Parameters
    ----------
    other : NDArray[float64], shape (n_hours,)
        Hourly temperatures of the place that is followed; holes filled [°C].
    place : NDArray[float64], shape (n_hours,)
        Hourly temperatures of the place, NaN where it was not read [°C].

    Returns
    -------
    PlaceRule
        Of the lag that leaves the least with a damping not below 0; the daily mean
        follows one to one where the days were too alike (less than 4 °C between them)
        to say.

    Raises
    ------
    ValueError
        For series of unequal length, holes in `other`, or fewer than `LEAST_DAYS`
        whole days of both.
    """
    if len(other) != len(place) or not np.isfinite(other).all():
        raise ValueError("other [°C] must be as long as place and without holes")
    read = np.isfinite(daily_means(place))
    both_days = int(read.sum())
    if both_days < LEAST_DAYS:
        raise ValueError(
            f"{both_days} whole days were read at both places; {LEAST_DAYS} are needed"
        )
    seen = np.isfinite(place)
    slow = running_mean(other)
    swing = other - slow
    spans_c = float(np.ptp(daily_means(np.where(seen, other, np.nan))[read]))
    fits = [
        _least_squares(slow[seen], _later(swing, lag)[seen], place[seen], spans_c)
        for lag in range(LONGEST_LAG_H + 1)
    ]
    # A swing the other way about is a lag of half a day, or a lead: no damping.
    fair = [lag for lag, ((_, _, damping), _) in enumerate(fits) if damping >= 0]
    lag_h = min(fair or range(len(fits)), key=lambda lag: fits[lag][1])
    offset, follows, damping = fits[lag_h][0]
    bare = PlaceRule(offset, follows, damping, lag_h)
    away = daily_means(place - bare.apply(other))
    return PlaceRule(
        offset,
        follows,
        damping,
        lag_h,
        float(np.nanstd(away)),
        memory_of(away - np.nanmean(away)),
        both_days,
    )


def refit(
    other: NDArray[np.float64],
    place: NDArray[np.float64],
    lag_h: int,
    *,
    is_free: bool,
) -> tuple[float, float, float]:
    """Fit offset [°C], slope and damping again with the lag given.

    Parameters
    ----------
    other, place : NDArray[float64], shape (n_hours,)
        As in `fit_rule` [°C].
    lag_h : int
        [h].
    is_free : bool
        False keeps the slope of the daily means at 1.

    Returns
    -------
    (offset_c, follows, damping) : tuple of float
    """
    seen = np.isfinite(place)
    slow = running_mean(other)
    swing = _later(other - slow, lag_h)
    spans_c = np.inf if is_free else 0.0
    return _least_squares(slow[seen], swing[seen], place[seen], spans_c)[0]


def _least_squares(
    slow: NDArray[np.float64],
    swing: NDArray[np.float64],
    place: NDArray[np.float64],
    spans_c: float,
) -> tuple[tuple[float, float, float], float]:
    """Offset, slope and damping of one lag, and the squares they leave."""
    one = np.ones_like(slow)
    if spans_c >= _RANGE_FOR_SLOPE_C:
        columns = np.stack((one, slow, swing), axis=1)
        (a, b, c), *_ = np.linalg.lstsq(columns, place, rcond=None)
    else:
        columns = np.stack((one, swing), axis=1)
        (a, c), *_ = np.linalg.lstsq(columns, place - slow, rcond=None)
        b = 1.0
    left = float(((place - a - b * slow - c * swing) ** 2).sum())
    return (float(a), float(b), float(c)), left
