"""Leaf that larvae eat day by day, and what must be cut for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.stage_days import StageDays

EIGHTY = 1.2815515655446004
"""Four of five values of the normal lie within so many deviations of its middle."""

LEAST_LENGTH_DAYS = 0.5
"""No feeding stage is taken to be shorter: grams a day would be beyond belief."""


def eaten_by_stage(
    standing: StageDays,
    grams: Sequence[float],
    usual_days: Sequence[float],
    *,
    day_length: float = 1.0,
) -> NDArray[np.float64]:
    """Grams eaten on each day by the animals of each stage.

    Parameters
    ----------
    standing : StageDays
        Animals in each stage by draw and day, and how long they are in it.
    grams : sequence of float, one for each stage
        What one larva eats in the whole of the stage, 0 where it does not feed [g].
    usual_days : sequence of float, one for each stage
        Length of a stage where the windows do not tell it [days].
    day_length : float
        Step between the days of `standing` [days].

    Returns
    -------
    NDArray[float64], shape (n_draws, n_stages, n_days)
        Eaten during the step [g].

    Raises
    ------
    ValueError
        Where a stage that feeds has no length.

    Notes
    -----
    A larva eats ``grams / length`` a day. Temperature enters by the length: in warmth
    the same leaf goes in fewer days. Within a stage a larva eats more from day to
    day; over a brood that is not all of one age this evens out. Nobody eats more than
    `grams` in a stage.
    """
    told = standing.length_days
    length = np.where(np.isfinite(told), told, np.asarray(usual_days)[None, :])
    length = np.maximum(length, _still_in_it(standing.number, day_length))
    feeds = np.asarray(grams) > 0
    if not np.isfinite(length[:, feeds]).all():
        raise ValueError("a stage that feeds has no length [days]")
    length = np.maximum(np.where(feeds[None, :], length, 1.0), LEAST_LENGTH_DAYS)
    a_day = np.asarray(grams)[None, :] / length
    return np.asarray(standing.number * a_day[:, :, None] * day_length)


def _still_in_it(number: NDArray[np.float64], day_length: float) -> NDArray[np.float64]:
    """Return how long those that come to a stage, or are in it, still stand there.

    Shape (n_draws, n_stages). Where some are in the stage already and others yet to
    come, the distance between two events is not the time spent in it: no larva may
    eat more than a whole stage's leaf.
    """
    to_come = np.cumsum(number[:, :, 0], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        still = number.sum(axis=2) * day_length / to_come
    return np.where(to_come > 0, still, 0.0)


def last_instar_share(eaten: NDArray[np.float64], last: int) -> float:
    """Return the share of all leaf that the stage with index `last` eats."""
    return float(eaten[:, last].sum() / eaten.sum())


def appetites(levels: NDArray[np.float64], spread: float) -> NDArray[np.float64]:
    """Return what animals of each draw eat, as a part of what the sheet says.

    Parameters
    ----------
    levels : NDArray[float64], shape (n_draws,)
        Standard normal levels, one for each draw.
    spread : float
        Four of five lie between the sheet's grams divided and multiplied by this.

    Returns
    -------
    NDArray[float64], shape (n_draws,)
        Factors, of mean 1: what is expected stays what the sheet says.

    Raises
    ------
    ValueError
        For a spread below 1.
    """
    if spread < 1:
        raise ValueError(f"spread {spread:g} is below 1")
    factor = np.exp(levels * (np.log(spread) / EIGHTY))
    return np.asarray(factor / factor.mean())


def to_cut(eaten_g: NDArray[np.float64], cut_per_eaten: float) -> NDArray[np.float64]:
    """Grams to cut for what is eaten: twigs, spoilt and wilted leaf come on top.

    Raises
    ------
    ValueError
        For a factor below 1: nobody eats more than is cut.
    """
    if cut_per_eaten < 1:
        raise ValueError(f"cut_per_eaten {cut_per_eaten:g} is below 1")
    return eaten_g * cut_per_eaten
