"""How sure a rule between two places is: refitted with stretches of days left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.place_rule import refit

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.science.place_rule import PlaceRule

STRETCHES = 10
"""Stretches of days left out one after the other."""

T80_9 = 1.383
"""Student's t for 80 % on both sides with 9 degrees of freedom (published tables)."""


@dataclass(frozen=True, slots=True)
class RuleIntervals:
    """80 % intervals of a rule, each (low, middle, high).

    Attributes
    ----------
    warmer_c : tuple of float
        How much warmer the place is on the mean of the days both were read [°C].
    follows, damping : tuple of float
        As in `PlaceRule` [1].
    """

    warmer_c: tuple[float, float, float]
    follows: tuple[float, float, float]
    damping: tuple[float, float, float]


def rule_intervals(
    other: NDArray[np.float64], place: NDArray[np.float64], rule: PlaceRule
) -> RuleIntervals:
    """Return how sure the figures of a fitted rule are, by a block jackknife.

    Parameters
    ----------
    other, place : NDArray[float64], shape (n_hours,)
        What `fit_rule` was given [°C].
    rule : PlaceRule
        What it returned; its lag is kept.

    Returns
    -------
    RuleIntervals
        Estimate ± t × standard error. Days that hang together are left out together,
        or the weather of one week would count as seven witnesses.

    Notes
    -----
    Delete-a-group jackknife: Efron B, Tibshirani R (1993), An introduction to the
    bootstrap, ch. 11 (from memory): se² = (g - 1)/g Σ (estimate without i - mean)².
    """
    hours = np.flatnonzero(np.isfinite(place))
    groups = np.array_split(hours, STRETCHES)
    away = place - other
    middle = np.array([float(np.nanmean(away)), rule.follows, rule.damping])
    is_free = rule.follows != 1.0
    left = []
    for group in groups:
        part = place.copy()
        part[group] = np.nan
        _, follows, damping = refit(other, part, rule.lag_h, is_free=is_free)
        left.append((float(np.nanmean(part - other)), follows, damping))
    table = np.array(left)
    number = len(table)
    spread = np.sqrt((number - 1) / number * ((table - table.mean(axis=0)) ** 2).sum(0))
    low, high = middle - T80_9 * spread, middle + T80_9 * spread
    found = [
        (float(low[i]), float(middle[i]), float(high[i])) for i in range(len(middle))
    ]
    return RuleIntervals(found[0], found[1], found[2])
