"""The sky over a lamp night: dusk and dawn, and when the moon was up."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.moments import NOON, zone_of
from rearing.problems import Refusal
from rearing.science import moon, sky

if TYPE_CHECKING:
    from rearing.records.rows import SiteRow

Span = tuple[dt.datetime, dt.datetime]


@dataclass(frozen=True, slots=True)
class NightSky:
    """One night's sky by the site's clock: dusk of the evening, dawn of the next day.

    None where there is no such moment. Moonrise and moonset are the first between noon
    and noon. Counts at a lamp are never "corrected" by any of it.
    """

    evening: dt.date
    sunset: dt.datetime | None
    civil_dusk: dt.datetime | None
    nautical_dusk: dt.datetime | None
    astronomical_dusk: dt.datetime | None
    astronomical_dawn: dt.datetime | None
    nautical_dawn: dt.datetime | None
    civil_dawn: dt.datetime | None
    sunrise: dt.datetime | None
    day_hours: float
    """Sun up on the day of the evening [h]."""
    day_hours_civil: float
    """The same with civil twilight, as an insect may see it [h]."""
    night_hours: float
    """From sunset to sunrise [h]; 0 where the sun stays up, 24 where it stays down."""
    moon_fraction: float
    """Lit share of the moon in the middle of the night, 0 to 1."""
    moon_waxing: bool
    moonrise: dt.datetime | None
    moonset: dt.datetime | None
    moon_up: tuple[Span, ...]
    """When the moon is above the horizon, from noon to noon."""

    def moon_hours(self, start: dt.datetime, end: dt.datetime) -> float:
        """Return for how long the moon was up between two moments [h]."""
        spans = (min(end, to) - max(start, since) for since, to in self.moon_up)
        return sum(max(span.total_seconds(), 0) for span in spans) / 3600

    @property
    def moon_words(self) -> str:
        """The moon in a few words: moon 91% waning."""
        return f"moon {self.moon_fraction:.0%} {self._growing}"

    @property
    def _growing(self) -> str:
        return "waxing" if self.moon_waxing else "waning"


def site_sky(site: SiteRow, evening: dt.date) -> NightSky:
    """Return the sky over a site in the night of an evening."""
    return night_sky(
        evening,
        latitude=site.latitude,
        longitude=site.longitude,
        zone=zone_of(site.zone),
    )


def night_sky(
    evening: dt.date, *, latitude: float, longitude: float, zone: dt.tzinfo
) -> NightSky:
    """Return the sky over a place in the night of an evening, by a zone's clock.

    The noon before and after are the clock's, so that a night in the west of a
    continent is not that of Greenwich.
    """
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise Refusal(
            "A latitude lies within ±90 and a longitude within ±180 degrees.",
            field="latitude",
        )
    noon_s, next_s = (
        dt.datetime.combine(day, NOON, zone).timestamp()
        for day in (evening, evening + dt.timedelta(days=1))
    )
    first = sky.sun_day(noon_s, latitude, longitude)
    second = sky.sun_day(next_s, latitude, longitude)
    days = sky.day_hours([noon_s], latitude, longitude)
    civil = sky.day_hours([noon_s], latitude, longitude, sky.CIVIL_DEG)
    lit = moon.moon_between(noon_s, next_s, latitude, longitude)

    def local(at_s: float) -> dt.datetime | None:
        return None if math.isnan(at_s) else _moment(at_s, zone)

    return NightSky(
        evening=evening,
        sunset=local(first.sunset_s),
        civil_dusk=local(first.civil_dusk_s),
        nautical_dusk=local(first.nautical_dusk_s),
        astronomical_dusk=local(first.astronomical_dusk_s),
        astronomical_dawn=local(second.astronomical_dawn_s),
        nautical_dawn=local(second.nautical_dawn_s),
        civil_dawn=local(second.civil_dawn_s),
        sunrise=local(second.sunrise_s),
        day_hours=float(days[0]),
        day_hours_civil=float(civil[0]),
        night_hours=_night_hours(first.sunset_s, second.sunrise_s, float(days[0])),
        moon_fraction=lit.fraction,
        moon_waxing=lit.waxing,
        moonrise=local(lit.rises_s[0]) if lit.rises_s else None,
        moonset=local(lit.sets_s[0]) if lit.sets_s else None,
        moon_up=tuple(
            (_moment(since, zone), _moment(to, zone)) for since, to in lit.up_s
        ),
    )


def _night_hours(sunset_s: float, sunrise_s: float, day_hours: float) -> float:
    hours = (sunrise_s - sunset_s) / 3600
    # Next to the polar day or night one of the two is missing.
    return 24.0 - day_hours if math.isnan(hours) else hours


def _moment(at_s: float, zone: dt.tzinfo) -> dt.datetime:
    return dt.datetime.fromtimestamp(round(at_s), zone)
