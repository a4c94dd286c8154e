"""Invented temperatures for every place of the sample season, hour by hour.

Nothing here was measured. A year's course, a day's course and spells of some days are
drawn with a fixed seed and then bent to the temperatures the season's notes tell of.
"""

from __future__ import annotations

import datetime as dt
import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

HOUR_S = 3600
DAY_H = 24
SUN_LAG_H = 15
"""The warmest hour of the day outdoors, local winter time."""


@dataclass(frozen=True, slots=True)
class Clock:
    """The hours of the whole record, and the local time of each."""

    at_s: NDArray[np.int64]
    zone: ZoneInfo

    @property
    def year_share(self) -> NDArray[np.float64]:
        """Share of the year gone by, 0 to 1."""
        return np.asarray(self.at_s / (365.25 * 86_400) % 1.0)

    @property
    def winter_hour(self) -> NDArray[np.float64]:
        """Hour of the day in local winter time (UTC+1)."""
        return np.asarray((self.at_s / HOUR_S + 1) % DAY_H)

    @property
    def local_hour(self) -> NDArray[np.float64]:
        """Hour of the day as the clock on the wall shows it."""
        return np.array(
            [dt.datetime.fromtimestamp(int(at), self.zone).hour for at in self.at_s],
            dtype=np.float64,
        )

    def index(self, moment: dt.datetime) -> int:
        """Return which hour a local moment falls in."""
        at_s = moment.replace(tzinfo=self.zone).timestamp()
        return int((at_s - self.at_s[0]) // HOUR_S)


def hours_between(first: dt.date, last: dt.date, zone_name: str) -> Clock:
    """Return the hours from the first day to the last, inclusive."""
    zone = ZoneInfo(zone_name)
    start = dt.datetime.combine(first, dt.time(), zone).timestamp()
    end = dt.datetime.combine(last + dt.timedelta(days=1), dt.time(), zone).timestamp()
    return Clock(np.arange(int(start), int(end), HOUR_S, dtype=np.int64), zone)


def temperatures(
    told_in: Path, clock: Clock, seed: int
) -> Mapping[str, NDArray[np.float64]]:
    """Return the temperatures of every place [°C], as the file of weather tells."""
    told = tomllib.loads(told_in.read_text(encoding="utf-8"))
    rng = np.random.default_rng(seed)
    air = _bent(outdoors(clock, rng), clock, told["air"])
    made: dict[str, NDArray[np.float64]] = {}
    for place in told["place"]:
        base = _place(place, air, clock, rng)
        base = _bent(base, clock, place.get("at", []))
        base = _levelled(base, clock, place.get("mean", []))
        base = np.clip(base, *place.get("bounds_c", (-40.0, 60.0)))
        made[place["name"]] = np.round(base, 1)
    return made


def outdoors(clock: Clock, rng: np.random.Generator) -> NDArray[np.float64]:
    """Return the air of a hill at 480 m: year, spells and days [°C]."""
    year = 10.6 - 9.6 * np.cos(2 * np.pi * (clock.year_share - 0.055))
    days = len(clock.at_s) // DAY_H + 2
    spells = np.zeros(days)
    for i in range(1, days):
        spells[i] = 0.76 * spells[i - 1] + rng.normal(0.0, 1.7)
    sunny = np.clip(0.5 + 0.18 * spells + rng.normal(0, 0.25, days), 0.1, 1.0)
    day = (clock.at_s - clock.at_s[0]) / 86_400
    knots = np.arange(days)
    swing = (2.2 + 4.2 * np.sin(np.pi * clock.year_share) ** 2) * (
        0.35 + np.interp(day, knots, sunny)
    )
    course = np.cos(2 * np.pi * (clock.winter_hour - SUN_LAG_H) / DAY_H)
    gusts = rng.normal(0, 0.35, len(clock.at_s))
    return np.asarray(year + np.interp(day, knots, spells) + swing * course + gusts)


def _place(
    place: Mapping[str, Any],
    air: NDArray[np.float64],
    clock: Clock,
    rng: np.random.Generator,
) -> NDArray[np.float64]:
    """Return one place: so much of the air, so slowly, and a course of its own."""
    slow = _smoothed(air, place.get("slow_hours", 1))
    own = place["level_c"] + place["share"] * (slow - place.get("air_c", 0.0))
    own += place.get("swing_c", 0.0) * np.cos(
        2 * np.pi * (clock.winter_hour - place.get("warmest_hour", SUN_LAG_H)) / DAY_H
    )
    if "sun_c" in place:
        height = np.clip(np.sin(np.pi * (clock.winter_hour - 6) / 13), 0, None)
        summer = np.sin(np.pi * clock.year_share) ** 2
        own += place["sun_c"] * summer * height
    own += rng.normal(0, place.get("noise_c", 0.1), len(air))
    return np.asarray(own)


def _smoothed(series: NDArray[np.float64], hours: int) -> NDArray[np.float64]:
    if hours <= 1:
        return series
    keep = np.exp(-1.0 / hours)
    out = np.empty_like(series)
    level = float(series[: 5 * DAY_H].mean())
    for i, value in enumerate(series):
        level = keep * level + (1 - keep) * float(value)
        out[i] = level
    return out


def _bent(
    series: NDArray[np.float64], clock: Clock, points: Sequence[Mapping[str, Any]]
) -> NDArray[np.float64]:
    """Bend a series to pass through what was noted, fading within some hours."""
    if not points:
        return series
    found = [clock.index(point["at"]) for point in points]
    missing = np.array(
        [
            point["c"] - series[i]
            for i, point in zip(found, points, strict=True)
            if 0 <= i < len(series)
        ]
    )
    known = np.array([i for i in found if 0 <= i < len(series)], dtype=np.float64)
    # Solved together, so that neighbouring points are both met.
    near = np.exp(-(((known[:, None] - known[None, :]) / 7.0) ** 2))
    weights = np.linalg.solve(near + 1e-3 * np.eye(len(known)), missing)
    hours = np.arange(len(series), dtype=np.float64)
    bent = series.copy()
    for at, weight in zip(known, weights, strict=True):
        bent += weight * np.exp(-(((hours - at) / 7.0) ** 2))
    return bent


def _levelled(
    series: NDArray[np.float64], clock: Clock, spans: Sequence[Mapping[str, Any]]
) -> NDArray[np.float64]:
    """Shift spans of a series so that each has the mean that was noted."""
    out = series.copy()
    local = clock.local_hour
    for span in spans:
        first, last = clock.index(span["from"]), clock.index(span["to"])
        chosen = np.zeros(len(series), dtype=bool)
        chosen[first:last] = True
        inside = chosen.copy()
        if "hours" in span:
            begin, end = span["hours"]
            in_hours = (local >= begin) & (local < end)
            if begin > end:
                in_hours = (local >= begin) | (local < end)
            inside &= in_hours
        out[chosen] += span["c"] - float(out[inside].mean())
        if "swing_times" in span:
            middle = float(out[chosen].mean())
            out[chosen] = middle + span["swing_times"] * (out[chosen] - middle)
            out[chosen] += span["c"] - float(out[inside].mean())
    return out
