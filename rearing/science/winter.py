"""Cold that must be met, and whether a pupa goes direct or waits for next year."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.heats import CHILL_HIGH_C, CHILL_LOW_C
from rearing.science.sky import CIVIL_DEG, SUNRISE_DEG, crossings, day_hours

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

DAY_S = 86400.0

SPREAD_H = 0.25
"""Spread of the logistic curve about the critical day length: from a tenth to nine
tenths direct in a little over an hour (from memory) [h]."""


@dataclass(frozen=True, slots=True)
class Chill:
    """How far a stage's cold is met.

    Attributes
    ----------
    had_h, wanted_h : float
        Hours of cold so far, and that must be met before heat counts [h].
    met_hour : float or None
        Hours since the start at which they were met; None where they are not yet.
    """

    had_h: float
    wanted_h: float
    met_hour: float | None

    @property
    def to_go_h(self) -> float:
        """Hours of cold still wanted [h]."""
        return max(self.wanted_h - self.had_h, 0.0)


def chill(celsius: NDArray[np.float64], wanted_h: float) -> Chill:
    """Count the cold a stage has had since it began.

    Parameters
    ----------
    celsius : NDArray[float64], shape (n_hours,)
        Hourly temperatures since the stage began, as far as read; a hole is no cold
        [°C].
    wanted_h : float
        [h].

    Returns
    -------
    Chill
        An hour counts between `heats.CHILL_LOW_C` and `heats.CHILL_HIGH_C`.
    """
    with np.errstate(invalid="ignore"):
        cold = (celsius >= CHILL_LOW_C) & (celsius <= CHILL_HIGH_C)
    had = np.cumsum(cold)
    total = float(had[-1]) if len(had) else 0.0
    if total < wanted_h:
        return Chill(total, wanted_h, None)
    met = float(np.searchsorted(had, wanted_h)) + 1.0 if wanted_h > 0 else 0.0
    return Chill(total, wanted_h, met)


def direct_probability(
    light_h: ArrayLike, critical_h: float, spread_h: float = SPREAD_H
) -> NDArray[np.float64]:
    """Probability that a pupa develops at once, from the day its larva knew.

    Parameters
    ----------
    light_h : array_like, any shape
        Day length with what twilight the animal sees (`light_hours`) [h].
    critical_h : float
        Day length at which half go direct [h].
    spread_h : float
        Scale of the logistic curve [h].

    Returns
    -------
    NDArray[float64], shape of `light_h`
        Never a promise: warmth and the strain shift it, and pupae may lie over.

    Raises
    ------
    ValueError
        For a spread that is not above 0.

    Examples
    --------
    >>> float(direct_probability(14.5, 14.5))
    0.5
    """
    if spread_h <= 0:
        raise ValueError(f"spread_h {spread_h} h must be above 0")
    away = (np.asarray(light_h, np.float64) - critical_h) / spread_h
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(away, -50, 50))))


def light_hours(
    near_s: ArrayLike,
    lat: float,
    lon: float,
    *,
    before_sunrise_min: float | None = None,
    after_sunset_min: float | None = None,
) -> NDArray[np.float64]:
    """Return the day length as an insect sees it.

    Parameters
    ----------
    near_s : array_like, shape (n,)
        12 o'clock of each day by the local clock [epoch seconds].
    lat, lon : float
        [°].
    before_sunrise_min, after_sunset_min : float or None
        Twilight that counts, where it is known for the species; else all civil
        twilight [min].

    Returns
    -------
    NDArray[float64], shape (n,)
        [h].
    """
    if before_sunrise_min is None or after_sunset_min is None:
        return day_hours(near_s, lat, lon, CIVIL_DEG)
    bare = day_hours(near_s, lat, lon, SUNRISE_DEG)
    more = (before_sunrise_min + after_sunset_min) / 60.0
    up, _ = crossings(near_s, lat, lon)
    return np.where(np.isnan(up), bare, np.minimum(bare + more, 24.0))


def direct_share(
    sensitive_s: NDArray[np.float64],
    *,
    lat: float,
    lon: float,
    critical_h: float,
    spread_h: float = SPREAD_H,
    artificial_h: float | None = None,
) -> float:
    """Share of a brood that is likely to go direct, over its draws.

    Parameters
    ----------
    sensitive_s : NDArray[float64], shape (n,)
        When animals of each draw were, or will be, in the stage that reads the day
        [epoch seconds]; infinite ones are left out.
    lat, lon : float
        Where the larvae see the sky [°].
    critical_h, spread_h : float
        As for `direct_probability` [h].
    artificial_h : float or None
        Lamp hours a day where they are kept under a lamp instead: light left on in
        the evening counts [h].

    Returns
    -------
    float
        Mean probability [0 to 1]; NaN without a draw within the track.
    """
    known = sensitive_s[np.isfinite(sensitive_s)]
    if not len(known):
        return float("nan")
    if artificial_h is not None:
        return float(direct_probability(artificial_h, critical_h, spread_h))
    # By the sun's own noon: which calendar day it is makes minutes of difference.
    noon = np.round((known + lon * 240.0) / DAY_S - 0.5) * DAY_S + DAY_S / 2
    days, back = np.unique(noon - lon * 240.0, return_inverse=True)
    light = light_hours(days, lat, lon)
    return float(direct_probability(light[back], critical_h, spread_h).mean())
