"""The sky over a lamp night, on paper or as JSON.

JSON: ``on`` (ISO date of the evening), ``latitude``, ``longitude``, ``zone``; ISO times
by the zone's clock, null where there is no such moment: of the evening ``sunset``,
``civil_dusk``, ``nautical_dusk``, ``astronomical_dusk``, of the next morning
``astronomical_dawn``, ``nautical_dawn``, ``civil_dawn``, ``sunrise``; ``day_hours`` and
``day_hours_civil`` of the day of the evening (with civil twilight), ``night_hours``
from sunset to sunrise; ``moon_fraction`` (lit share, 0 to 1, in the middle of the
night), ``moon_waxing``, ``moonrise`` and ``moonset`` (the first between noon and noon)
and ``moon_up``, the spans in which it is above the horizon between noon and noon, each
``from`` and ``to``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.moments import zone_of
from rearing.keeping.night_sky import night_sky

if TYPE_CHECKING:
    import datetime as dt

    from rearing.commands.paper import Paper
    from rearing.keeping.night_sky import NightSky

_MOMENTS = (
    "sunset",
    "civil_dusk",
    "nautical_dusk",
    "astronomical_dusk",
    "astronomical_dawn",
    "nautical_dawn",
    "civil_dawn",
    "sunrise",
)


def write_sky(
    evening: dt.date,
    place: tuple[float, float],
    zone_name: str,
    paper: Paper,
    *,
    as_json: bool = False,
) -> None:
    """Write the sky of an evening over a place of latitude and longitude."""
    zone = zone_of(zone_name)
    found = night_sky(evening, latitude=place[0], longitude=place[1], zone=zone)
    if as_json:
        paper.json(_data(found, place, zone_name))
    else:
        _write(found, place, zone_name, paper)


def _data(
    found: NightSky, place: tuple[float, float], zone_name: str
) -> dict[str, object]:
    return {
        "on": found.evening.isoformat(),
        "latitude": place[0],
        "longitude": place[1],
        "zone": zone_name,
        **{name: _iso(getattr(found, name)) for name in _MOMENTS},
        "day_hours": round(found.day_hours, 4),
        "day_hours_civil": round(found.day_hours_civil, 4),
        "night_hours": round(found.night_hours, 4),
        "moon_fraction": round(found.moon_fraction, 4),
        "moon_waxing": found.moon_waxing,
        "moonrise": _iso(found.moonrise),
        "moonset": _iso(found.moonset),
        "moon_up": [
            {"from": since.isoformat(), "to": to.isoformat()}
            for since, to in found.moon_up
        ],
    }


def _iso(moment: dt.datetime | None) -> str | None:
    return None if moment is None else moment.isoformat()


def _write(
    found: NightSky, place: tuple[float, float], zone_name: str, paper: Paper
) -> None:
    paper.line(f"Night of {full_day(found.evening)}")
    paper.line(f"{_degrees(place[0], 'NS')}, {_degrees(place[1], 'EW')} · {zone_name}")
    paper.line()
    rows = [(_words(name), _clock(getattr(found, name))) for name in _MOMENTS]
    rows += [
        ("moonrise", _clock(found.moonrise)),
        ("moonset", _clock(found.moonset)),
    ]
    paper.table(rows)
    paper.line()
    if found.sunset is None and found.sunrise is None:
        up = "up" if found.day_hours > 12 else "down"
        paper.line(f"The sun stays {up} all night")
    paper.line(found.moon_words.capitalize())
    paper.line(
        f"Day {_hours(found.day_hours)} ({_hours(found.day_hours_civil)} with civil "
        f"twilight), night {_hours(found.night_hours)}"
    )


def _words(name: str) -> str:
    return name.replace("_", " ")


def _clock(moment: dt.datetime | None) -> str:
    return "none" if moment is None else f"{moment:%a %H:%M}"


def _degrees(number: float, sides: str) -> str:
    return f"{abs(number):g}° {sides[0] if number >= 0 else sides[1]}"


def _hours(hours: float) -> str:
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d}"
