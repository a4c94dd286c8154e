"""How many animals stand in each stage on each day, read from windows of events."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.normal import ndtri
from rearing.science.shares_below import share_below

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

TENTH = float(ndtri(0.9))
"""An 80 % window ends so many standard deviations from its middle."""

FURTHEST = 2.5
"""Draws beyond so many standard deviations are held there: windows say no more."""

_INSTANT = 1e-6  # [days] spread of an event that all reach together

_MEAN_OF_HALF = float(1.0 / np.sqrt(2.0 * np.pi))  # E[Z; Z > 0]


@dataclass(frozen=True, slots=True)
class Leaving:
    """When some animals leave a stage.

    Attributes
    ----------
    stage : str
        The stage that is left.
    number : int
        The animals that leave it, those that are still in an earlier one among them.
    days : NDArray[float64], shape (3, 3)
        First, half and last of them; each the low end, the middle and the high end of
        an 80 % window [days from an origin]. Infinite where it is beyond sight.
    """

    stage: str
    number: int
    days: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Passing:
    """One draw a row of when half have left, and how the others lie about it [days].

    Shape (..., n_draws) each: an animal of rank z (normal) leaves at half + early z
    where z < 0, at half + late z where z > 0.
    """

    half: NDArray[np.float64]
    early: NDArray[np.float64]
    late: NDArray[np.float64]

    def share_by(self, days: NDArray[np.float64]) -> NDArray[np.float64]:
        """Share that has left by each day, shape (..., n_draws, n_days)."""
        away = days - self.half[..., None]
        with np.errstate(invalid="ignore"):
            away /= np.where(away < 0, self.early[..., None], self.late[..., None])
        beyond = np.isinf(self.half)
        away[beyond] = 0.0  # not a number, mostly
        share = share_below(away)
        share[beyond] = 0.0  # beyond sight: nobody has left
        return share

    @property
    def mean(self) -> NDArray[np.float64]:
        """The mean day of leaving, shape (..., n_draws)."""
        with np.errstate(invalid="ignore"):
            return self.half + _MEAN_OF_HALF * (self.late - self.early)


@dataclass(frozen=True, slots=True)
class StageDays:
    """Expected animals in each stage at each day, by draw.

    Attributes
    ----------
    stages : tuple of str
        The stages in the order of life; the last is what follows the last event.
    number : NDArray[float64], shape (n_draws, n_stages, n_days)
    length_days : NDArray[float64], shape (n_draws, n_stages)
        How long an animal is in the stage; NaN where the windows do not tell.
    """

    stages: tuple[str, ...]
    number: NDArray[np.float64]
    length_days: NDArray[np.float64]


def stage_days(
    leavings: Sequence[Leaving],
    levels: NDArray[np.float64],
    days: NDArray[np.float64],
    *,
    after: str = "",
) -> StageDays:
    """Say how many animals are expected in each stage on each day.

    Parameters
    ----------
    leavings : sequence of Leaving
        In the order of life; one begins where the one before ends.
    levels : NDArray[float64], shape (n_draws,)
        How late the whole brood is in each draw, in standard deviations of the normal:
        one draw is early, or late, in all that it does.
    days : NDArray[float64], shape (n_days,)
        From the same origin as the leavings [days].
    after : str
        What the animals are after the last event.

    Returns
    -------
    StageDays

    Raises
    ------
    ValueError
        Without leavings, or where fewer animals leave a later stage.

    Notes
    -----
    In a draw the first, the half and the last of an event are read off their windows
    at the brood's level, linear in it on either side of the middle. Between them the
    animals are spread as the two halves of normals with the first at the rank
    0.5/n and the last at 1 - 0.5/n. In stage i stand those that started in it or left
    the stage before, less those that left it: summed over all days that is the
    animals times the mean length of the stage. Nobody leaves a stage before it was
    begun, which tells only where windows of one event are far wider than the next's.
    """
    if not leavings:
        raise ValueError("no event was given to read stages from")
    numbers = [leaving.number for leaving in leavings]
    if any(a > b for a, b in pairwise(numbers)):
        raise ValueError(f"numbers {numbers} fall from one event to a later one")
    passed = _passing(leavings, levels)
    standing = np.empty((len(levels), len(leavings) + 1, len(days)))
    before, gone = 0, np.zeros((len(levels), len(days)))
    for i, (number, left) in enumerate(
        zip(numbers, passed.share_by(days), strict=True)
    ):
        begun = number - before + gone
        # nobody leaves a stage that was not begun, however the curves may cross
        left *= number
        gone = np.minimum(left, begun, out=left)
        np.subtract(begun, gone, out=standing[:, i])
        before = number
    standing[:, -1] = gone
    length = np.full((len(levels), len(leavings) + 1), np.nan)
    with np.errstate(invalid="ignore"):
        length[:, 1:-1] = np.diff(passed.mean.T, axis=1)
    return StageDays(
        stages=(*(leaving.stage for leaving in leavings), after),
        number=standing,
        length_days=length,
    )


def passings(leavings: Sequence[Leaving], levels: NDArray[np.float64]) -> list[Passing]:
    """Read each event at each level; none comes before the one before it.

    Parameters and levels as in `stage_days`; one Passing an event.
    """
    each = _passing(leavings, levels)
    return [Passing(*one) for one in zip(each.half, each.early, each.late, strict=True)]


def _passing(leavings: Sequence[Leaving], levels: NDArray[np.float64]) -> Passing:
    """Read all events at once, shape (n_events, n_draws) each."""
    times = _at(np.stack([leaving.days for leaving in leavings]), levels)
    times.sort(axis=1)
    np.maximum.accumulate(times, axis=0, out=times)
    first, half, last = times.transpose(1, 0, 2)
    rank = np.array([[_last_rank(leaving.number)] for leaving in leavings])
    with np.errstate(invalid="ignore"):
        early, late = (half - first) / rank, (last - half) / rank
    return Passing(half, np.fmax(early, _INSTANT), np.fmax(late, _INSTANT))


def _at(
    windows: NDArray[np.float64], levels: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Read windows, (..., 3), at each level: shape (..., n_draws)."""
    low, middle, high = np.moveaxis(windows, -1, 0)[..., None]
    held = np.clip(levels, -FURTHEST, FURTHEST) / TENTH
    with np.errstate(invalid="ignore"):
        slope = np.where(held < 0, middle - low, high - middle)
        times = middle + slope * held
    times[~np.isfinite(windows).all(axis=-1)] = np.inf
    return np.asarray(times)


@lru_cache(maxsize=1024)
def _last_rank(number: int) -> float:
    """Return how many spreads from the middle the first and the last of some lie."""
    return -float(ndtri(0.5 / number)) if number > 1 else 1.0


def even_levels(draws: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """Draw levels that cover the normal evenly, in an order of their own.

    Two broods with orders of their own are late or early independently.
    """
    return rng.permutation(_even(draws))


@lru_cache(maxsize=8)
def _even(draws: int) -> NDArray[np.float64]:
    return np.asarray(ndtri((np.arange(draws) + 0.5) / draws), dtype=np.float64)


def band(draws: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """Return the 10th, 50th and 90th hundredth over draws (the first axis)."""
    low, middle, high = np.quantile(draws, (0.1, 0.5, 0.9), axis=0)
    return low, middle, high
