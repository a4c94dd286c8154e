"""Degree-days of days from their minimum and maximum, by named method and cutoff.

Every method takes a curve for the day and sums what the curve gains above the lower
threshold; the cutoff says what the part above the upper threshold is worth. So the
six methods differ in the curve only, and all cutoffs mean the same in all of them.

Temperatures are [°C] by name, but any one unit may be used throughout: readings and
thresholds in °F give degree-days in °F. Rules that hold for every daily method:

* no upper threshold (``upper_c=None``): the cutoff has nothing to do;
* an intermediate cutoff can make a very hot day negative: a day never counts less
  than zero (the floor is laid on the day's total, not on its halves);
* a minimum, maximum or next minimum that isn't known (NaN) makes that day NaN;
* a minimum above its maximum is a ValueError that names the day.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rearing.science.arrays import Numbers, floats, like
from rearing.science.daily_curves import (
    FLAT,
    SINE,
    STEPS,
    TRIANGLE,
    Cutoff,
    DayCurve,
    check_thresholds,
    heat_under,
)
from rearing.science.day_ends import check_ends, following_minimum
from rearing.science.hourly_heat import HourlyHeat, day_edges_s, hourly

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

__all__ = [
    "Cutoff",
    "HourlyHeat",
    "Method",
    "average",
    "clamped_average",
    "day_edges_s",
    "degree_days",
    "double_sine",
    "double_triangle",
    "following_minimum",
    "hourly",
    "single_sine",
    "single_triangle",
]

Array = NDArray[np.float64]


class Method(StrEnum):
    """How degree-days are counted."""

    AVERAGE = "average"
    CLAMPED_AVERAGE = "clamped-average"
    SINGLE_TRIANGLE = "single-triangle"
    DOUBLE_TRIANGLE = "double-triangle"
    SINGLE_SINE = "single-sine"
    DOUBLE_SINE = "double-sine"
    HOURLY = "hourly"

    @property
    def needs_next_minimum(self) -> bool:
        """True where the afternoon falls to the next day's minimum."""
        return self in {Method.DOUBLE_TRIANGLE, Method.DOUBLE_SINE}


_CURVES: dict[Method, DayCurve] = {
    Method.AVERAGE: FLAT,
    Method.CLAMPED_AVERAGE: STEPS,
    Method.SINGLE_TRIANGLE: TRIANGLE,
    Method.DOUBLE_TRIANGLE: TRIANGLE,
    Method.SINGLE_SINE: SINE,
    Method.DOUBLE_SINE: SINE,
}


def degree_days(  # noqa: PLR0913 - one door to six methods takes what each needs
    low_c: Numbers,
    high_c: Numbers,
    *,
    lower_c: float,
    upper_c: float | None = None,
    method: Method,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
    next_low_c: Numbers | None = None,
    days: Sequence[date] | NDArray[np.datetime64] | None = None,
) -> Numbers:
    """Return the degree-days of each day by the method named.

    Parameters
    ----------
    low_c, high_c : float or NDArray, shape (..., n_days)
        Each day's minimum and maximum [°C].
    lower_c : float
        Lower threshold, below which nothing develops [°C].
    upper_c : float, optional
        Upper threshold [°C]; the plain average passes it over.
    method : Method
        Any but ``Method.HOURLY``, which needs readings: see `hourly`.
    cutoff : Cutoff
        What the heat above the upper threshold is worth.
    next_low_c : float or NDArray, shape of `low_c`, optional
        Next day's minimum [°C], read by the double methods only. Left out, it is
        taken from `low_c` as `following_minimum` says.
    days : sequence of dates, shape (n_days,), optional
        Names the day in an error, and shows where the rows skip a day.

    Returns
    -------
    float or NDArray, shape of `low_c`
        Degree-days [°C d], never negative, NaN where a temperature is.

    Raises
    ------
    ValueError
        A minimum above its maximum, an infinite temperature, thresholds the wrong way
        round, days that don't match the temperatures, or the hourly method.

    Examples
    --------
    >>> degree_days(12.0, 28.0, lower_c=10.0, method=Method.SINGLE_SINE)
    10.0
    """
    method, cutoff = Method(method), Cutoff(cutoff)
    if method is Method.HOURLY:
        raise ValueError(
            "The hourly method sums readings; a minimum and a maximum aren't enough."
        )
    check_thresholds(lower_c, upper_c)
    low, high = floats(low_c), floats(high_c)
    check_ends(low, high, days)
    if method is Method.AVERAGE:
        upper_c = None  # the published formula compares the mean with the lower only
    curve = _CURVES[method]
    heat = heat_under(curve, (low, high), lower_c, upper_c, cutoff)
    unknown = np.isnan(low) | np.isnan(high)
    if method.needs_next_minimum:
        after = _next_minimum(low, next_low_c, days)
        # A warm night may stay above today's maximum: the curve then rises to it.
        ends = np.minimum(after, high), np.maximum(after, high)
        heat = (heat + heat_under(curve, ends, lower_c, upper_c, cutoff)) / 2.0
    return like(low_c, np.where(unknown, np.nan, np.maximum(heat, 0.0)))


def average(
    low_c: Numbers,
    high_c: Numbers,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
) -> Numbers:
    """Return degree-days by the simple average: the mean less the lower threshold.

    The whole day is taken to stand at its mean, ``M = (low + high) / 2``. The formula
    knows no upper threshold: one that is given is checked against the lower and then
    passed over, whatever the cutoff, so that every method can be called alike. For a
    ceiling take `clamped_average` or one of the curves.
    Parameters, returns, errors: see `degree_days`.

    Notes
    -----
    ``max(0, M − lower)``.

    References
    ----------
    From memory: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291–300, their
    first reading of the formula (the mean, not its two ends, is compared).
    """
    method = Method.AVERAGE
    return degree_days(
        low_c, high_c, lower_c=lower_c, upper_c=upper_c, method=method, cutoff=cutoff
    )


def clamped_average(
    low_c: Numbers,
    high_c: Numbers,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
) -> Numbers:
    """Return degree-days by the average of ends held between the thresholds.

    Half the day is taken to stand at its minimum and half at its maximum. Holding
    both ends between the thresholds *is* the horizontal cutoff; the other two treat
    an end above the upper threshold as they would an hour of that temperature.
    Parameters, returns, errors: see `degree_days`.

    Notes
    -----
    ``(g(low) + g(high)) / 2`` with ``g(T) = min(max(T, lower), upper) − lower``
    (horizontal), ``max(T, lower) − lower − 2·max(0, T − upper)`` (intermediate), or
    0 above `upper` (vertical).

    References
    ----------
    From memory: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291–300, their
    second reading of the formula.
    """
    method = Method.CLAMPED_AVERAGE
    return degree_days(
        low_c, high_c, lower_c=lower_c, upper_c=upper_c, method=method, cutoff=cutoff
    )


def single_triangle(
    low_c: Numbers,
    high_c: Numbers,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
) -> Numbers:
    """Return degree-days under a straight line up to the maximum and down again.

    Parameters, returns, errors: see `degree_days`.

    Notes
    -----
    Area above θ, for ``low < θ < high``: ``(high − θ)² / (2·(high − low))``; above
    the whole day ``M − θ``; share of the day above θ ``(high − θ) / (high − low)``.
    Horizontal ``A(lower) − A(upper)``, intermediate ``A(lower) − 2·A(upper)``,
    vertical ``A(lower) − A(upper) − (upper − lower)·F(upper)``.

    References
    ----------
    From memory: Lindsey & Newman 1956, Ecology 37:812–823.
    """
    method = Method.SINGLE_TRIANGLE
    return degree_days(
        low_c, high_c, lower_c=lower_c, upper_c=upper_c, method=method, cutoff=cutoff
    )


def double_triangle(
    low_c: Numbers,
    high_c: Numbers,
    next_low_c: Numbers | None = None,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
) -> Numbers:
    """Return degree-days under a line up from this night's minimum, down to the next.

    Parameters, returns, errors: see `degree_days`.

    Notes
    -----
    Half the single triangle of ``(low, high)`` and half that of ``(next_low, high)``.

    References
    ----------
    From memory: Zalom et al. 1983, University of California Leaflet 21373.
    """
    return degree_days(
        low_c,
        high_c,
        lower_c=lower_c,
        upper_c=upper_c,
        method=Method.DOUBLE_TRIANGLE,
        cutoff=cutoff,
        next_low_c=next_low_c,
    )


def single_sine(
    low_c: Numbers,
    high_c: Numbers,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
) -> Numbers:
    """Return degree-days under one sine wave through the minimum and the maximum.

    Parameters, returns, errors: see `degree_days`.

    Notes
    -----
    With ``M = (low + high)/2``, ``W = (high − low)/2`` and ``φ = asin((θ − M)/W)``,
    area above θ for ``low < θ < high``: ``((M − θ)·(π/2 − φ) + W·cos φ)/π``; share of
    the day above θ ``(π/2 − φ)/π``. Cutoffs as in `single_triangle`.

    References
    ----------
    From memory: Baskerville & Emin 1969, Ecology 50:514–517; cutoffs Allen 1976,
    Environ. Entomol. 5:388–396.
    """
    method = Method.SINGLE_SINE
    return degree_days(
        low_c, high_c, lower_c=lower_c, upper_c=upper_c, method=method, cutoff=cutoff
    )


def double_sine(
    low_c: Numbers,
    high_c: Numbers,
    next_low_c: Numbers | None = None,
    *,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
) -> Numbers:
    """Return degree-days under a half wave from this night's minimum, one to the next.

    Parameters, returns, errors: see `degree_days`.

    Notes
    -----
    Half the single sine of ``(low, high)`` and half that of ``(next_low, high)``.

    References
    ----------
    From memory: Allen 1976, Environ. Entomol. 5:388–396.
    """
    return degree_days(
        low_c,
        high_c,
        lower_c=lower_c,
        upper_c=upper_c,
        method=Method.DOUBLE_SINE,
        cutoff=cutoff,
        next_low_c=next_low_c,
    )


def _next_minimum(
    low: Array,
    given: Numbers | None,
    days: Sequence[date] | NDArray[np.datetime64] | None,
) -> Array:
    if given is None:
        return following_minimum(low, days)
    after = np.broadcast_to(floats(given), low.shape)
    if np.isinf(after).any():
        raise ValueError("A next day's minimum is infinite.")
    return after
