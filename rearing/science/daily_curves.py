"""The curve a day is taken to follow, and what an upper threshold does to it.

A minimum and a maximum don't say how warm it was in between. Each method of counting
degree-days assumes a curve; two integrals of it are enough for every upper cutoff:
the *area* above a threshold [degree-days] and the *share* of the day above it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Callable

Array = NDArray[np.float64]


class Cutoff(StrEnum):
    """What happens above the upper threshold."""

    HORIZONTAL = "horizontal"
    """Development goes on as fast as at the threshold, no faster."""
    INTERMEDIATE = "intermediate"
    """Development slows by a degree for every degree above the threshold."""
    VERTICAL = "vertical"
    """Development stands still above the threshold."""


@dataclass(frozen=True, slots=True)
class DayCurve:
    """A shape of day between its minimum and its maximum.

    Attributes
    ----------
    area : callable ``(low, high, threshold) -> degree-days``
        Integral of the curve above the threshold over one day.
    share : callable ``(low, high, threshold) -> 0..1``
        Part of the day spent above (not at) the threshold.
    """

    area: Callable[[Array, Array, float], Array]
    share: Callable[[Array, Array, float], Array]


def check_thresholds(lower_c: float, upper_c: float | None) -> None:
    """Refuse thresholds that are no numbers or stand the wrong way round."""
    if not np.isfinite(lower_c):
        raise ValueError(f"The lower threshold must be a number, not {lower_c}.")
    if upper_c is None:
        return
    if not np.isfinite(upper_c):
        raise ValueError(
            f"The upper threshold must be a number, not {upper_c}; "
            "leave it out where there is none."
        )
    if upper_c < lower_c:
        raise ValueError(
            f"The upper threshold ({upper_c:g}°) is below the lower ({lower_c:g}°)."
        )


def heat_under(
    curve: DayCurve,
    ends: tuple[Array, Array],
    lower_c: float,
    upper_c: float | None,
    cutoff: Cutoff,
) -> Array:
    """Return the degree-days of days that run between `ends`, floored nowhere.

    An intermediate cutoff makes very hot days negative here; the floor at zero is
    laid on the whole day by the caller, since a double method adds two halves first.
    """
    low, high = ends
    gained = curve.area(low, high, lower_c)
    if upper_c is None:
        return gained
    excess = curve.area(low, high, upper_c)
    if cutoff is Cutoff.HORIZONTAL:
        return gained - excess
    if cutoff is Cutoff.INTERMEDIATE:
        return gained - 2.0 * excess
    lost = (upper_c - lower_c) * curve.share(low, high, upper_c)
    return gained - excess - lost


def response(
    celsius: Array, lower_c: float, upper_c: float | None, cutoff: Cutoff
) -> Array:
    """Return the degrees that count at each temperature: the rate the methods sum.

    NaN stays NaN. Below zero only under an intermediate cutoff, when very hot.
    """
    counted = np.maximum(celsius, lower_c) - lower_c
    if upper_c is None:
        return counted
    if cutoff is Cutoff.HORIZONTAL:
        return np.minimum(counted, upper_c - lower_c)
    if cutoff is Cutoff.INTERMEDIATE:
        return counted - 2.0 * np.maximum(celsius - upper_c, 0.0)
    return np.where(celsius > upper_c, 0.0, counted)


def _flat_area(low: Array, high: Array, threshold: float) -> Array:
    return np.maximum((low + high) / 2.0 - threshold, 0.0)


def _flat_share(low: Array, high: Array, threshold: float) -> Array:
    return np.where((low + high) / 2.0 > threshold, 1.0, 0.0)


def _steps_area(low: Array, high: Array, threshold: float) -> Array:
    return (np.maximum(low - threshold, 0.0) + np.maximum(high - threshold, 0.0)) / 2.0


def _steps_share(low: Array, high: Array, threshold: float) -> Array:
    return ((low > threshold) * 0.5) + ((high > threshold) * 0.5)


def _triangle_area(low: Array, high: Array, threshold: float) -> Array:
    above = high - threshold
    # A half times the tip's height times its width; a flat day has no tip to cut.
    tip = above * _triangle_share(low, high, threshold) / 2.0
    whole = (low - threshold + above) / 2.0
    return np.where(above <= 0.0, 0.0, np.where(low >= threshold, whole, tip))


def _triangle_share(low: Array, high: Array, threshold: float) -> Array:
    above = high - threshold
    width = np.maximum(high - low, np.finfo(np.float64).tiny)
    return np.clip(above, 0.0, width) / width


def _sine_crossing(low: Array, high: Array, threshold: float) -> Array:
    """Where the threshold cuts the wave: −1 at its trough, +1 at its crest."""
    mean, half = (low + high) / 2.0, (high - low) / 2.0
    half = np.maximum(half, np.finfo(np.float64).tiny)
    # Clipped before the division too, so that a flat day can't overflow.
    return np.clip(np.clip(threshold - mean, -half, half) / half, -1.0, 1.0)


def _sine_area(low: Array, high: Array, threshold: float) -> Array:
    mean, half = (low + high) / 2.0, (high - low) / 2.0
    cut = _sine_crossing(low, high, threshold)
    # arccos(cut) is π/2 − φ, and √(1 − cut²) is cos φ, of the usual formula.
    crest = ((mean - threshold) * np.arccos(cut) + half * np.sqrt(1.0 - cut * cut)) / (
        np.pi
    )
    # At the edges rounding leaves specks (1e-17) that a "zero" must not have.
    crest = np.where(high <= threshold, 0.0, np.maximum(crest, 0.0))
    return np.where(low >= threshold, mean - threshold, crest)


def _sine_share(low: Array, high: Array, threshold: float) -> Array:
    share = np.arccos(_sine_crossing(low, high, threshold)) / np.pi
    return np.where(high <= threshold, 0.0, share)


FLAT = DayCurve(_flat_area, _flat_share)
"""The whole day at its mean."""
STEPS = DayCurve(_steps_area, _steps_share)
"""Half the day at its minimum, half at its maximum."""
TRIANGLE = DayCurve(_triangle_area, _triangle_share)
"""Straight from the minimum up to the maximum and down again."""
SINE = DayCurve(_sine_area, _sine_share)
"""One wave of a sine through the minimum and the maximum."""
