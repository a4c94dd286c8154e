"""The sky over a lamp night: whose evening, whose morning, and the moon."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from rearing.keeping.night_sky import NightSky, night_sky
from rearing.problems import Refusal

LJUBLJANA = ZoneInfo("Europe/Ljubljana")


def over(evening: str, lat: float, lon: float, zone: str) -> NightSky:
    day = dt.date.fromisoformat(evening)
    return night_sky(day, latitude=lat, longitude=lon, zone=ZoneInfo(zone))


def over_karst(evening: str) -> NightSky:
    return over(evening, 45.53, 13.93, "Europe/Ljubljana")


def near(moment: dt.datetime | None, published: str, seconds: float) -> bool:
    assert moment is not None
    wanted = dt.datetime.fromisoformat(published)
    return abs((moment - wanted).total_seconds()) <= seconds


@pytest.mark.parametrize(
    ("evening", "sunset"),
    [("2021-05-28", "20:41+02:00"), ("2021-03-27", "18:25+01:00")],
)
def test_sunset_of_the_stories(evening: str, sunset: str) -> None:
    # Computed for the stories, to be met within 3 minutes.
    assert near(over_karst(evening).sunset, f"{evening}T{sunset}", 180)


def test_dusk_is_of_the_evening_and_dawn_of_the_next_day() -> None:
    # Published: timeanddate.com as kept in the tests of the astral library. Dusk of
    # 1 December 2015 in London; the dawn is that of the 25th, for the evening before.
    dusk = over("2015-12-01", 51.5085, -0.1257, "Europe/London")
    assert near(dusk.sunset, "2015-12-01T15:55+00:00", 60)
    assert near(dusk.civil_dusk, "2015-12-01T16:34+00:00", 60)
    assert near(dusk.nautical_dusk, "2015-12-01T17:16+00:00", 60)
    dawn = over("2015-12-24", 51.5085, -0.1257, "Europe/London")
    assert near(dawn.civil_dawn, "2015-12-25T07:25+00:00", 60)
    assert near(dawn.sunrise, "2015-12-25T08:05+00:00", 60)


def test_the_evening_is_the_keepers_and_not_greenwichs() -> None:
    # Published: USNO as kept in pvlib's tests, sunset 19:13 MST of 2 August 2015; a
    # routine of UTC days gives that of 1 August.
    golden = over("2015-08-02", 39.742476, -105.1786, "Etc/GMT+7")
    assert near(golden.sunset, "2015-08-02T19:13-07:00", 60)
    assert golden.sunrise is not None
    assert golden.sunrise.date() == dt.date(2015, 8, 3)


@pytest.mark.parametrize("lon", [-179.9, -100.0, 0.0, 100.0, 179.9])
def test_the_moments_of_a_night_follow_one_another(lon: float) -> None:
    hours = round(lon / 15)
    zone = dt.timezone(dt.timedelta(hours=hours))
    found = night_sky(dt.date(2021, 9, 10), latitude=40, longitude=lon, zone=zone)
    moments = [
        found.sunset,
        found.civil_dusk,
        found.nautical_dusk,
        found.astronomical_dusk,
        found.astronomical_dawn,
        found.nautical_dawn,
        found.civil_dawn,
        found.sunrise,
    ]
    told = [moment for moment in moments if moment is not None]
    assert len(told) == 8
    assert told == sorted(told)
    assert (told[0].date(), told[-1].day) == (dt.date(2021, 9, 10), 11)
    assert found.night_hours + found.day_hours == pytest.approx(24, abs=0.1)


def test_polar_day_and_night_are_answers() -> None:
    summer = over("2021-06-21", 69.65, 18.96, "Europe/Oslo")
    winter = over("2021-12-21", 69.65, 18.96, "Europe/Oslo")
    assert (summer.sunset, summer.sunrise, summer.civil_dusk) == (None, None, None)
    assert (summer.day_hours, summer.night_hours) == (24, 0)
    assert (winter.sunset, winter.sunrise) == (None, None)
    assert winter.civil_dusk is not None
    assert (winter.day_hours, winter.night_hours) == (0, 24)


def test_the_night_the_clock_jumps_is_as_long_as_its_neighbours() -> None:
    jump, before = over_karst("2021-03-27"), over_karst("2021-03-26")
    assert jump.night_hours == pytest.approx(before.night_hours, abs=0.1)
    assert jump.sunrise is not None
    assert f"{jump.sunrise:%H %Z}" == "06 CEST"


def test_the_moon_of_a_session_is_what_it_was_up_of_it() -> None:
    # Story 1: lamp from 21:20 to 02:10, moon 91 % waning, rises at 23:28 (computed).
    found = over_karst("2021-05-28")
    on = dt.datetime(2021, 5, 28, 21, 20, tzinfo=LJUBLJANA)
    off = dt.datetime(2021, 5, 29, 2, 10, tzinfo=LJUBLJANA)
    assert found.moon_words == "moon 91% waning"
    assert near(found.moonrise, "2021-05-28T23:28+02:00", 60)
    assert found.moon_hours(on, off) == pytest.approx(2 + 42 / 60, abs=0.02)
    assert found.moon_hours(on, on + dt.timedelta(hours=2)) == 0


def test_no_such_place_is_refused() -> None:
    with pytest.raises(Refusal, match="within ±90"):
        over("2021-05-28", 45.5, 181, "UTC")
