"""Coordinates as they are handed on: as they are, or rounded and saying so."""

from __future__ import annotations

import math
from dataclasses import dataclass

DEGREE_M = 111_700.0
"""The longest a degree of latitude gets, at the poles, rounded up [m]."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place as it is told to others."""

    latitude: float
    longitude: float
    step: float | None
    """What it was rounded to [°], or None."""
    uncertainty_m: int | None
    """The true place lies within this distance; None where nothing was rounded."""


def spot(latitude: float, longitude: float, step: float | None = None) -> Spot:
    """Return a place, rounded to a step of degrees where one is given.

    The uncertainty reaches to the corner of the rounded cell, so that the true place is
    always within it.
    """
    if step is None:
        return Spot(latitude, longitude, None, None)
    low, side = _rounded(latitude, step, 90), _rounded(longitude, step, 180)
    half = step / 2 * DEGREE_M
    # The corner nearer to the equator is the farther one.
    nearer = max(abs(low) - step / 2, 0)
    reach = math.hypot(half, half * math.cos(math.radians(nearer)))
    return Spot(low, side, step, math.ceil(reach))


def _rounded(degrees: float, step: float, most: float) -> float:
    places = max(0, math.ceil(-math.log10(step)) + 3)
    rounded = round(round(degrees / step) * step, places)
    return min(max(rounded, -most), most)
