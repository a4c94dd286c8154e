"""Chances read from a brood's draws: done by a day, both sexes alive on a night."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rearing.science.normal import ndtr

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

Array = NDArray[np.float64]

DAY_S = 86400.0

PROTANDRY_DAYS = 1.5
"""Males come so much before females (protandry in *Pieris napi*, a butterfly: 1.4 d;
for moths from memory) [d]."""

FEMALE_NIGHTS, MALE_NIGHTS = 3, 4
"""Greatest age at which a female calls, and a male flies to her (common practice, no
source) [nights]."""


@dataclass(frozen=True, slots=True)
class DoneBy:
    """Probability that first, half and last of a brood have reached an event."""

    first: float
    half: float
    last: float


def done_by(times_s: Array, by_s: float, spread_days: float = 0.0) -> DoneBy:
    """Return the chance that an event is reached before a day: leaf-drop, a journey.

    Parameters
    ----------
    times_s : NDArray[float64], shape (n_draws, 3)
        First, half and last of every draw (`cohort.Simulated.times`) [epoch seconds].
    by_s : float
        The day, such as when the host is bare [epoch seconds].
    spread_days : float
        Standard deviation of that day itself, where it is not known [d].

    Returns
    -------
    DoneBy
        The risk of leaf-drop before all have pupated is 1 - last.

    Notes
    -----
    The mean over the draws of the normal distribution of the day, at each time.
    """
    if spread_days <= 0:
        share = (times_s <= by_s).mean(axis=0)
    else:
        share = ndtr((by_s - times_s) / (spread_days * DAY_S)).mean(axis=0)
    return DoneBy(float(share[0]), float(share[1]), float(share[2]))


@dataclass(frozen=True, slots=True)
class SexTimes:
    """When the moths of either sex emerge, by draw.

    Attributes
    ----------
    females_s, males_s : NDArray[float64], shape (n_draws, n_ranks)
        Evenly spaced ranks of each sex, ascending [epoch seconds].
    """

    females_s: Array
    males_s: Array


def by_sex(
    moths_s: Array, protandry_days: float = PROTANDRY_DAYS, held_back_days: float = 0.0
) -> SexTimes:
    """Part the moths into sexes, males earlier.

    Parameters
    ----------
    moths_s : NDArray[float64], shape (n_draws, n_ranks)
        When evenly spaced ranks of the moths emerge [epoch seconds].
    protandry_days : float
        How much earlier the middle male is than the middle female [d].
    held_back_days : float
        By how much the males are held back in the cold [d].

    Returns
    -------
    SexTimes
    """
    half = 0.5 * protandry_days * DAY_S
    ordered = np.sort(moths_s, axis=1)
    return SexTimes(ordered + half, ordered - half + held_back_days * DAY_S)


def overlap(
    times: SexTimes,
    nights_s: ArrayLike,
    *,
    females: int,
    males: int,
    female_nights: float = FEMALE_NIGHTS,
    male_nights: float = MALE_NIGHTS,
) -> Array:
    """Return for each night the chance that both sexes are there to pair.

    Parameters
    ----------
    times : SexTimes
    nights_s : array_like, shape (n_nights,)
        Midnights of the nights [epoch seconds].
    females, males : int
        Moths that will emerge of either sex.
    female_nights, male_nights : float
        Greatest age; a moth that emerges during the day is of age 0 that night
        [nights].

    Returns
    -------
    NDArray[float64], shape (n_nights,)
        Chance that at least one female of age 0 to `female_nights` and one male of
        age 0 to `male_nights` are alive.

    Notes
    -----
    In a draw a moth is of that age with p = F(night) - F(night - nights - 1), F the
    share of its sex that has emerged, straight between ranks; of n at least one is with
    1 - (1 - p)^n; the sexes are independent given the draw.
    """
    nights = np.asarray(nights_s, np.float64)
    some_female = _any_of(times.females_s, nights, females, female_nights)
    some_male = _any_of(times.males_s, nights, males, male_nights)
    return np.asarray((some_female * some_male).mean(axis=0))


def _any_of(emerge_s: Array, nights_s: Array, number: int, greatest: float) -> Array:
    """Chance that at least one of a sex is of the age, (n_draws, n_nights)."""
    by_now = _share_by(emerge_s, nights_s)
    before = _share_by(emerge_s, nights_s - (greatest + 1.0) * DAY_S)
    return np.asarray(1.0 - (1.0 - np.clip(by_now - before, 0.0, 1.0)) ** number)


def _share_by(emerge_s: Array, at_s: Array) -> Array:
    """Share of the ranks that have emerged, straight between them."""
    n_draws, n = emerge_s.shape
    ranks = (np.arange(n) + 0.5) / n
    found = np.empty((n_draws, len(at_s)))
    for i, row in enumerate(emerge_s):
        seen = np.isfinite(row)
        if not seen.any():
            found[i] = 0.0
            continue
        known, shares = row[seen], ranks[seen]
        step = max(float(known[-1] - known[0]) / n, 1.0)
        points = np.concatenate(([known[0] - step], known, [known[-1] + step]))
        last = 1.0 if seen.all() else shares[-1]
        values = np.concatenate(([0.0], shares, [last]))
        found[i] = np.interp(at_s, points, values)
    return found
