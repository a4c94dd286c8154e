"""Futures of places indoors, and of places that follow another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.science.day_course import DAY_H
from rearing.science.futures import (
    SCENARIOS,
    Kind,
    Scenarios,
    even_normals,
    mean_or_zero,
    wandering,
)
from rearing.science.weather import extend

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.science.place_rule import PlaceRule

SET_POINT_SPREAD_C = 1.0
"""Standard deviation about a set point where none is stated (from memory) [°C]."""

SET_POINT_LASTING = 0.5
"""Share of that variance that stays the same throughout: a warm shelf stays warm
(from memory); the rest comes and goes with `INDOOR_MEMORY_DAYS`."""

INDOOR_MEMORY_DAYS = 4.0
"""How long a room stays warmer or cooler than usual (from memory) [d]."""


def indoors(
    set_point_c: float,
    start_s: float,
    horizon_hours: int,
    rng: np.random.Generator,
    *,
    spread_c: float | None = None,
    recent: NDArray[np.float64] | None = None,
) -> Scenarios:
    """Let a place keep its set point, each future a little warmer or cooler.

    Parameters
    ----------
    set_point_c : float
        [°C].
    start_s : float
        Where the futures begin [epoch seconds].
    horizon_hours : int
        [h].
    rng : numpy.random.Generator
    spread_c : float or None
        Standard deviation of daily means about the set point; `SET_POINT_SPREAD_C`
        where none is stated [°C].
    recent : NDArray[float64] or None, shape (n_hours,)
        What was read there up to `start_s`, NaN for holes: the futures begin with the
        departure of its last three days and keep its daily swing [°C].

    Returns
    -------
    Scenarios
        `SET_POINT_LASTING` of the variance lasts, the rest comes and goes.
    """
    spread = SET_POINT_SPREAD_C if spread_c is None else spread_c
    shape = (SCENARIOS, horizon_hours)
    lasting = np.sqrt(SET_POINT_LASTING) * rng.permutation(even_normals(SCENARIOS))
    passing = np.sqrt(1 - SET_POINT_LASTING) * wandering(shape, INDOOR_MEMORY_DAYS, rng)
    away = spread * (lasting[:, None] + passing)
    if recent is not None and np.isfinite(recent).any():
        here = mean_or_zero(recent[-3 * DAY_H :] - set_point_c)
        memory_h = 3 * DAY_H * INDOOR_MEMORY_DAYS
        faded = np.exp(-np.arange(horizon_hours) / memory_h)
        away = away * np.sqrt(1 - faded**2) + here * faded
        away += _swing(recent, horizon_hours)
    return Scenarios(start_s, set_point_c + away, Kind.SET_POINT, 0, INDOOR_MEMORY_DAYS)


def _swing(recent: NDArray[np.float64], horizon: int) -> NDArray[np.float64]:
    """Carry on the mean daily swing of the last seven days."""
    last = recent[-7 * DAY_H :]
    if np.isfinite(last).sum() < 3 * DAY_H:
        return np.zeros(horizon)
    lead = len(last)
    course = extend(last, lead, lead + horizon)[0][lead:]
    mean = course[: max(horizon // DAY_H, 1) * DAY_H].mean()
    return np.asarray(course - mean, dtype=np.float64)


def by_rule(
    followed: Scenarios, rule: PlaceRule, rng: np.random.Generator
) -> Scenarios:
    """Return the futures of a place that follows another, with the rule's own spread.

    Parameters
    ----------
    followed : Scenarios
        Futures of the place that is followed.
    rule : PlaceRule
    rng : numpy.random.Generator

    Returns
    -------
    Scenarios
        As many futures, each with a departure of `rule.spread_c`.
    """
    away = rule.spread_c * wandering(followed.celsius.shape, rule.memory_days, rng)
    return Scenarios(
        followed.start_s,
        rule.apply(followed.celsius) + away,
        Kind.RULE,
        followed.years,
        followed.memory_days,
        followed.typed_days,
    )
