"""What futures are: rows of hours, each as likely as the other, and their wandering."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.day_course import DAY_H
from rearing.science.normal import ndtri

if TYPE_CHECKING:
    from numpy.typing import NDArray

SCENARIOS = 16
"""Futures looked for; few years on file serve several times, moved by weeks."""


class Kind(StrEnum):
    """What the futures rest on."""

    PAST_YEARS = "past years"
    SET_POINT = "set point"
    RULE = "rule"
    LAST_DAYS = "last days"


@dataclass(frozen=True, slots=True)
class TypedDay:
    """A day of a short forecast: when it begins, lowest and highest [°C]."""

    start_s: float
    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True)
class Scenarios:
    """Futures of one place, hour by hour, each as likely as the other.

    Attributes
    ----------
    start_s : float
        Where they begin: the end of the last hour read [epoch seconds].
    celsius : NDArray[float64], shape (n_scenarios, n_hours)
        Complete [°C].
    kind : Kind
        What they rest on.
    years : int
        Past years that served.
    memory_days : float
        How long the present departure lasts [d].
    typed_days : int
        Days overridden by a short forecast.
    """

    start_s: float
    celsius: NDArray[np.float64]
    kind: Kind
    years: int
    memory_days: float
    typed_days: int = 0


def wandering(
    shape: tuple[int, int], memory_days: float, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Departures of spread 1 that fade with `memory_days`, one value for every hour.

    Parameters
    ----------
    shape : (n_scenarios, n_hours)
    memory_days : float
        [d].
    rng : numpy.random.Generator

    Returns
    -------
    NDArray[float64], shape `shape`
        First-order autoregression by days, straight between their middles.
    """
    n, n_hours = shape
    n_days = n_hours // DAY_H + 2
    r = float(np.exp(-1.0 / memory_days))
    days = rng.standard_normal((n, n_days))
    days[:, 1:] *= np.sqrt(1 - r * r)
    # What a day keeps of those before it, added over 1, 2, 4 ... days: eight sums of
    # whole rows instead of hundreds of columns one after the other.
    step = 1
    while step < n_days:
        days[:, step:] += r**step * days[:, :-step].copy()
        step *= 2
    part = np.arange(DAY_H) / DAY_H
    hourly = days[:, :-1, None] + np.diff(days, axis=1)[:, :, None] * part
    return np.asarray(hourly.reshape(n, -1)[:, :n_hours])


def even_normals(n: int) -> NDArray[np.float64]:
    """Evenly likely values of a standard normal, of spread 1."""
    z = np.asarray(ndtri((np.arange(n) + 0.5) / n), dtype=np.float64)
    return np.asarray(z / z.std() if n > 1 else z, dtype=np.float64)


def mean_or_zero(part: NDArray[np.float64]) -> float:
    """Mean of what was seen; nothing seen is no departure."""
    seen = part[np.isfinite(part)]
    return float(seen.mean()) if len(seen) else 0.0
