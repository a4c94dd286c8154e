"""Nights on which both sexes of a brood are on the wing and may pair."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.science.stage_days import Passing


def both_sexes(
    passing: Passing,
    nights: NDArray[np.float64],
    *,
    pupae: int,
    female_nights: float,
    male_nights: float,
) -> NDArray[np.float64]:
    """Chance that on a night at least one female and one male are fit to pair.

    Parameters
    ----------
    passing : Passing
        When moths emerge, by draw [days].
    nights : NDArray[float64], shape (n_nights,)
        Ends of the nights [days from the same origin].
    pupae : int
        Pupae; half are taken to be of either sex, both to emerge alike.
    female_nights, male_nights : float
        Greatest age at which she, and he, pairs [nights]; 0 is the first night only.

    Returns
    -------
    NDArray[float64], shape (n_nights,)
        Mean over the draws, 0 to 1.

    Notes
    -----
    One moth is of the age with p = F(night) - F(night - nights - 1); of n at least
    one is with 1 - (1 - p)^n. Given the draw, the sexes are independent.
    """
    by_now = passing.share_by(nights)
    females = by_now - passing.share_by(nights - female_nights - 1)
    males = by_now - passing.share_by(nights - male_nights - 1)
    half = pupae / 2
    any_female = 1 - (1 - np.clip(females, 0, 1)) ** half
    any_male = 1 - (1 - np.clip(males, 0, 1)) ** half
    return np.asarray((any_female * any_male).mean(axis=0))


def stretches(likely: NDArray[np.bool_]) -> tuple[tuple[int, int], ...]:
    """Return first and last index of each run of nights that are likely."""
    steps = np.diff(np.concatenate(([0], likely.astype(np.int8), [0])))
    begins, ends = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1)
    return tuple((int(a), int(b) - 1) for a, b in zip(begins, ends, strict=True))
