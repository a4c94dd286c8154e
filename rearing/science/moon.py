"""The moon: how much of it is lit, when it rises and sets, and whether it is up.

Its place comes from ephem, a general astronomy library that needs no data files and no
network; rising and setting are searched for here, since places near the poles, where
the moon stays up or down for days, are to have an answer and not an error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

DAY_S = 86400.0
REFRACTION_DEG = 34 / 60
"""How much the air lifts what stands at the horizon [°]; the almanacs' usual figure."""

_STEP_S = 600.0  # up or down for less than this may be missed: a mere graze
_HALVINGS = 10  # of a step: to 0.6 s


@dataclass(frozen=True, slots=True)
class Moon:
    """The moon of one night: how it is lit, and its comings and goings."""

    fraction: float
    """Lit share of the disc, 0 to 1."""
    waxing: bool
    rises_s: tuple[float, ...]
    """Moments of rising [epoch seconds]."""
    sets_s: tuple[float, ...]
    """Moments of setting [epoch seconds]."""
    up_s: tuple[tuple[float, float], ...]
    """Spans in which its upper edge is above the horizon [epoch seconds]."""


def lit_fraction(at_s: float) -> float:
    """Return the lit share of the moon's disc, 0 to 1, at epoch seconds `at_s`."""
    import ephem

    return float(ephem.Moon(_ephem_days(at_s)).moon_phase)


def upper_edge_deg(
    at_s: NDArray[np.float64], lat: float, lon: float
) -> NDArray[np.float64]:
    """Return how high the moon's upper edge is seen above a level horizon.

    Parameters
    ----------
    at_s : NDArray[float64], shape (n,)
        Epoch seconds, UTC.
    lat, lon : float
        Latitude and longitude, north and east positive [°].

    Returns
    -------
    NDArray[float64], shape (n,)
        Altitude of the middle as seen from the place, its radius and the refraction at
        the horizon added [°]; right where it is near 0, which is what it is for.

    Raises
    ------
    ValueError
        For a latitude beyond 90 or a longitude beyond 180 degrees.
    """
    import ephem

    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise ValueError(f"no such place: latitude {lat}°, longitude {lon}°")
    place, moon = ephem.Observer(), ephem.Moon()
    place.lat, place.lon = math.radians(lat), math.radians(lon)
    place.elevation, place.pressure = 0, 0
    found = np.empty(len(at_s))
    for i, moment in enumerate(at_s):
        place.date = _ephem_days(float(moment))
        moon.compute(place)
        found[i] = math.degrees(moon.alt + moon.radius) + REFRACTION_DEG
    return found


def moon_between(start_s: float, end_s: float, lat: float, lon: float) -> Moon:
    """Return the moon of a span of time at a place.

    Parameters
    ----------
    start_s, end_s : float
        Epoch seconds, UTC; for a night, from noon to noon.
    lat, lon : float
        Latitude and longitude, north and east positive [°].

    Returns
    -------
    Moon
        Lit fraction of the middle of the span.

    Raises
    ------
    ValueError
        For a span that ends before it starts, and as `upper_edge_deg`.
    """
    if end_s <= start_s:
        raise ValueError(f"a span can't end ({end_s}) before it starts ({start_s})")
    steps = max(2, math.ceil((end_s - start_s) / _STEP_S) + 1)
    at = np.linspace(start_s, end_s, steps)
    above = upper_edge_deg(at, lat, lon) > 0
    turns = np.flatnonzero(above[1:] != above[:-1])
    turns_s = [_turn_s(at[i], at[i + 1], lat, lon) for i in turns]
    rising = [bool(above[i + 1]) for i in turns]
    middle = (start_s + end_s) / 2
    return Moon(
        fraction=lit_fraction(middle),
        waxing=lit_fraction(middle + 3600) > lit_fraction(middle - 3600),
        rises_s=tuple(t for t, up in zip(turns_s, rising, strict=True) if up),
        sets_s=tuple(t for t, up in zip(turns_s, rising, strict=True) if not up),
        up_s=_spans(bool(above[0]), [start_s, *turns_s, end_s]),
    )


def _spans(up: bool, edges: list[float]) -> tuple[tuple[float, float], ...]:
    """Return every second span between edges, from the first where it is up there."""
    return tuple(pairwise(edges))[0 if up else 1 :: 2]


def _turn_s(low_s: float, high_s: float, lat: float, lon: float) -> float:
    """Return when the upper edge crosses the horizon within one step."""
    was_up = bool(upper_edge_deg(np.array([low_s]), lat, lon)[0] > 0)
    for _ in range(_HALVINGS):
        middle = (low_s + high_s) / 2
        if bool(upper_edge_deg(np.array([middle]), lat, lon)[0] > 0) is was_up:
            low_s = middle
        else:
            high_s = middle
    return (low_s + high_s) / 2


def _ephem_days(at_s: float) -> float:
    """Return epoch seconds in the library's own count: days from noon of 1899-12-31."""
    return at_s / DAY_S + 25567.5
