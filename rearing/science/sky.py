"""The sun: when it rises and sets, twilight, and how long the day is.

The formulas are those of Meeus' low-precision sun in the form of NOAA's calculator
(from memory, checked against published times): good to some seconds, but for
refraction, which near the horizon makes a minute or two uncertain for anyone. They are
here and not from a library because whole seasons and many latitudes are asked for at
once, and because a day without a sunset is an answer, not an error.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

DAY_S = 86400.0
J2000_S = 946_728_000.0  # 1 January 2000, 12:00 UTC [epoch s]

SUNRISE_DEG, CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG = -50 / 60, -6.0, -12.0, -18.0
"""Altitudes of the sun's middle at sunrise (refraction 34′ and radius 16′) and at the
ends of twilight [°]."""

_ROUNDS = 4  # the sun moves on between noon and the event; so often it is asked again


@dataclass(frozen=True, slots=True)
class Sun:
    """Where the sun stands: declination [rad] and the equation of time [s]."""

    declination: NDArray[np.float64]
    equation_s: NDArray[np.float64]


def sun(at_s: ArrayLike) -> Sun:
    """Return declination and equation of time at instants.

    Parameters
    ----------
    at_s : array_like, any shape
        Epoch seconds, UTC.

    Returns
    -------
    Sun
        Both of the shape of `at_s`.
    """
    century = (np.asarray(at_s, np.float64) - J2000_S) / (36525.0 * DAY_S)
    longitude = np.deg2rad(280.46646 + century * (36000.76983 + 0.0003032 * century))
    anomaly = np.deg2rad(357.52911 + century * (35999.05029 - 0.0001537 * century))
    eccentricity = 0.016708634 - century * (0.000042037 + 0.0000001267 * century)
    centre = np.deg2rad(
        np.sin(anomaly) * (1.914602 - century * (0.004817 + 0.000014 * century))
        + np.sin(2 * anomaly) * (0.019993 - 0.000101 * century)
        + np.sin(3 * anomaly) * 0.000289
    )
    node = np.deg2rad(125.04 - 1934.136 * century)
    apparent = longitude + centre - np.deg2rad(0.00569 + 0.00478 * np.sin(node))
    tilt = np.deg2rad(
        23.439291 - 0.0130042 * century - 1.64e-7 * century**2 + 0.00256 * np.cos(node)
    )
    y = np.tan(tilt / 2) ** 2
    turn = (
        y * np.sin(2 * longitude)
        - 2 * eccentricity * np.sin(anomaly)
        + 4 * eccentricity * y * np.sin(anomaly) * np.cos(2 * longitude)
        - 0.5 * y**2 * np.sin(4 * longitude)
        - 1.25 * eccentricity**2 * np.sin(2 * anomaly)
    )
    return Sun(
        np.asarray(np.arcsin(np.sin(tilt) * np.sin(apparent))),
        np.asarray(turn * DAY_S / (2 * np.pi)),
    )


def altitude_deg(at_s: ArrayLike, lat: float, lon: float) -> NDArray[np.float64]:
    """Return the altitude of the sun's middle, without refraction [°]."""
    instants = np.asarray(at_s, np.float64)
    found = sun(instants)
    solar_s = instants + found.equation_s + lon * 240.0
    hour_angle = 2 * np.pi * (solar_s % DAY_S) / DAY_S - np.pi
    phi = np.deg2rad(lat)
    sine = np.sin(phi) * np.sin(found.declination)
    sine += np.cos(phi) * np.cos(found.declination) * np.cos(hour_angle)
    return np.asarray(np.rad2deg(np.arcsin(np.clip(sine, -1, 1))))


def solar_noon_s(near_s: ArrayLike, lon: float) -> NDArray[np.float64]:
    """Return the sun's noon nearest to instants.

    Parameters
    ----------
    near_s : array_like, any shape
        For the noon of a calendar day give its 12 o'clock by the local clock: then the
        day is the keeper's, not that of Greenwich [epoch seconds].
    lon : float
        Longitude, east positive [°].
    """
    near = np.asarray(near_s, np.float64)
    noon = near
    for _ in range(2):
        # From the noon that was found: near midnight a second look from where it
        # began could choose the other noon, with this one's equation of time.
        solar_s = noon + sun(noon).equation_s + lon * 240.0 - DAY_S / 2
        noon = noon - (solar_s - DAY_S * np.round(solar_s / DAY_S))
    return noon


def crossings(
    near_s: ArrayLike, lat: float, lon: float, altitude: float = SUNRISE_DEG
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return when the sun rises above and sinks below an altitude.

    Parameters
    ----------
    near_s : array_like, shape (n,)
        12 o'clock of each day by the local clock [epoch seconds].
    lat, lon : float
        Latitude and longitude, north and east positive [°].
    altitude : float
        Of the sun's middle [°].

    Returns
    -------
    rising, sinking : NDArray[float64], shape (n,)
        Before and after that day's noon [epoch seconds]; NaN where the sun stays above
        or below all day.

    Raises
    ------
    ValueError
        For a latitude beyond 90 or a longitude beyond 180 degrees.
    """
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise ValueError(f"no such place: latitude {lat}°, longitude {lon}°")
    noon = solar_noon_s(near_s, lon)
    events = []
    for side in (-1.0, 1.0):
        at = noon
        for _ in range(_ROUNDS):
            found = sun(at)
            # Noon by the equation of time of the event itself, not of noon.
            here = noon - (found.equation_s - sun(noon).equation_s)
            # Where it just fails to reach the altitude: noon, or midnight.
            at = here + side * _nearest_half_day_s(found.declination, lat, altitude)
        missing = np.isnan(half_day_s(sun(at).declination, lat, altitude))
        events.append(np.where(missing, np.nan, at))
    return events[0], events[1]


def half_day_s(
    declination: NDArray[np.float64], lat: float, altitude: float
) -> NDArray[np.float64]:
    """Time from noon until the sun sinks to an altitude, NaN where it does not [s].

    Notes
    -----
    cos H = (sin a - sin φ sin δ) / (cos φ cos δ).
    """
    inside = np.abs(_cosine(declination, lat, altitude)) <= 1.0
    nearest = _nearest_half_day_s(declination, lat, altitude)
    return np.asarray(np.where(inside, nearest, np.nan))


def _nearest_half_day_s(
    declination: NDArray[np.float64], lat: float, altitude: float
) -> NDArray[np.float64]:
    """As `half_day_s`, but nought or half a day where it stays below or above."""
    cosine = np.clip(_cosine(declination, lat, altitude), -1.0, 1.0)
    return np.asarray(np.arccos(cosine) / (2 * np.pi) * DAY_S)


def _cosine(
    declination: NDArray[np.float64], lat: float, altitude: float
) -> NDArray[np.float64]:
    """Cosine of the hour angle; beyond 1 where there is none."""
    phi = np.deg2rad(lat)
    high = np.sin(np.deg2rad(altitude)) - np.sin(phi) * np.sin(declination)
    return np.asarray(high / (np.cos(phi) * np.cos(declination)))


@dataclass(frozen=True, slots=True)
class SunDay:
    """The sun's events of one day [epoch seconds], NaN where there is none."""

    noon_s: float
    astronomical_dawn_s: float
    nautical_dawn_s: float
    civil_dawn_s: float
    sunrise_s: float
    sunset_s: float
    civil_dusk_s: float
    nautical_dusk_s: float
    astronomical_dusk_s: float


def sun_day(near_s: float, lat: float, lon: float) -> SunDay:
    """Return the sun's events of the day whose local 12 o'clock is given.

    Parameters and errors as for `crossings`.
    """
    rising, sinking = [], []
    for altitude in (ASTRONOMICAL_DEG, NAUTICAL_DEG, CIVIL_DEG, SUNRISE_DEG):
        up, down = crossings([near_s], lat, lon, altitude)
        rising.append(float(up[0]))
        sinking.append(float(down[0]))
    noon = float(solar_noon_s([near_s], lon)[0])
    return SunDay(noon, *rising, *sinking[::-1])


def day_hours(
    near_s: ArrayLike, lat: float, lon: float = 0.0, altitude: float = SUNRISE_DEG
) -> NDArray[np.float64]:
    """Return how long the sun is above an altitude.

    Parameters
    ----------
    near_s, lat, lon, altitude
        As for `crossings`; `CIVIL_DEG` gives the day with civil twilight, as an insect
        may see it.

    Returns
    -------
    NDArray[float64], shape (n,)
        [h]; 24 where the sun stays above it, 0 where it stays below.
    """
    up, down = crossings(near_s, lat, lon, altitude)
    hours = (down - up) / 3600.0
    above = altitude_deg(solar_noon_s(near_s, lon), lat, lon) > altitude
    return np.where(np.isnan(hours), np.where(above, 24.0, 0.0), hours)
