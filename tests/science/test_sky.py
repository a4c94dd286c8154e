"""Sun times against published ones, a general astronomy library, and by the trap."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rearing.science.sky import (
    ASTRONOMICAL_DEG,
    CIVIL_DEG,
    NAUTICAL_DEG,
    SUNRISE_DEG,
    SunDay,
    altitude_deg,
    crossings,
    day_hours,
    solar_noon_s,
    sun_day,
)

DAY_S = 86400.0
LONDON = (51.5085, -0.1257)
GOLDEN = (39.742476, -105.1786)
FIXTURE = Path(__file__).parents[1] / "reference" / "sun_times.json"


def on(day: str, place: tuple[float, float], utc_h: float) -> SunDay:
    noon = datetime.fromisoformat(day).replace(
        hour=12, tzinfo=timezone(timedelta(hours=utc_h))
    )
    return sun_day(noon.timestamp(), *place)


def mountain_time(moment: str) -> float:
    return datetime.fromisoformat(f"{moment}-07:00").timestamp()


def minutes_apart(at_s: float, utc_h: float, published: str) -> float:
    zone = timezone(timedelta(hours=utc_h))
    there = datetime.fromtimestamp(at_s, zone)
    hour, minute = (int(part) for part in published.split(":"))
    wanted = there.replace(hour=hour, minute=minute, second=0, microsecond=0)
    return abs((there - wanted).total_seconds()) / 60


# Published: timeanddate.com as kept in the tests of the astral library, UTC. London's
# coordinates are from memory.
LONDON_TIMES = [
    ("2015-12-01", "07:04", "07:43", "11:49", "15:55", "16:34"),
    ("2015-12-12", "07:16", "07:56", "11:54", "15:51", "16:31"),
    ("2015-12-25", "07:25", "08:05", "12:00", "15:55", "16:36"),
    ("2019-08-29", "04:32", "05:08", None, "18:54", "19:30"),
]


@pytest.mark.parametrize(
    ("day", "dawn", "sunrise", "noon", "sunset", "dusk"), LONDON_TIMES
)
def test_london(
    day: str, dawn: str, sunrise: str, noon: str | None, sunset: str, dusk: str
) -> None:
    found = on(day, LONDON, 0)
    pairs = [
        (found.civil_dawn_s, dawn),
        (found.sunrise_s, sunrise),
        (found.sunset_s, sunset),
        (found.civil_dusk_s, dusk),
    ]
    if noon is not None:
        pairs.append((found.noon_s, noon))
    for at_s, published in pairs:
        assert minutes_apart(at_s, 0, published) <= 1.0


def test_nautical_and_astronomical_twilight_in_london() -> None:
    # Published, same source: 1 December 2015.
    found = on("2015-12-01", LONDON, 0)
    assert minutes_apart(found.nautical_dawn_s, 0, "06:22") <= 1.0
    assert minutes_apart(found.nautical_dusk_s, 0, "17:16") <= 1.0
    assert minutes_apart(found.astronomical_dawn_s, 0, "05:41") <= 1.0


def test_golden_within_a_second() -> None:
    # Published: NREL's solar position algorithm, as kept in pvlib's tests (MST).
    found = on("2015-01-02", GOLDEN, -7)
    for at_s, published in (
        (found.sunrise_s, "07:21:55"),
        (found.noon_s, "12:04:45"),
        (found.sunset_s, "16:47:43"),
    ):
        assert abs(at_s - mountain_time(f"2015-01-02T{published}")) <= 1.0


def test_the_day_is_the_keepers_and_not_greenwichs() -> None:
    # The same tests list 19:13:58 as Golden's sunset of 2 August 2015: it is that of
    # 1 August, the UTC day's. USNO (same file) gives 19:13 for 2 August.
    first, second = (on(f"2015-08-0{i}", GOLDEN, -7) for i in (1, 2))
    assert abs(first.sunset_s - mountain_time("2015-08-01T19:13:58")) <= 1.0
    assert minutes_apart(second.sunset_s, -7, "19:13") <= 1.0
    assert abs(second.sunrise_s - mountain_time("2015-08-02T05:00:27")) <= 1.5
    for found in (first, second):
        assert found.sunrise_s < found.noon_s < found.sunset_s


def test_a_sunset_in_the_east_of_the_united_states() -> None:
    # Published: the page of the solartime package, 38 N, 79 W, 20 April 2014.
    published = datetime.fromisoformat("2014-04-20T19:56:38-04:00").timestamp()
    assert abs(on("2014-04-20", (38.0, -79.0), -4).sunset_s - published) <= 1.0


# Computed with NOAA's position and the sunrise equation: hours of day, and with civil
# twilight, 2025, longitude 0.
DAYS_2025 = ("03-21", "05-01", "06-21", "08-01", "09-01", "10-01", "12-21")
DAY_HOURS = {
    0: "12.11/12.80 12.11/12.83 12.12/12.87 12.12/12.84 12.11/12.81 12.11/12.80 "
    "12.13/12.88",
    30: "12.16/12.96 13.34/14.19 14.08/15.00 13.57/14.43 12.75/13.57 11.86/12.66 "
    "10.21/11.09",
    40: "12.19/13.09 13.92/14.89 15.02/16.11 14.25/15.26 13.06/13.98 11.76/12.66 "
    "9.33/10.35",
    50: "12.24/13.32 14.72/15.94 16.37/17.86 15.21/16.50 13.47/14.59 11.63/12.70 "
    "8.07/9.36",
    60: "12.32/13.71 16.02/17.80 18.87/22.42 16.81/18.81 14.13/15.62 11.43/12.81 "
    "5.87/7.80",
}


@pytest.mark.parametrize("lat", list(DAY_HOURS))
def test_day_lengths_by_latitude(lat: int) -> None:
    near = [
        datetime.fromisoformat(f"2025-{day}T12:00").replace(tzinfo=UTC).timestamp()
        for day in DAYS_2025
    ]
    cells = [cell.split("/") for cell in DAY_HOURS[lat].split()]
    bare, civil = np.array(cells, dtype=np.float64).T
    np.testing.assert_allclose(day_hours(near, lat), bare, atol=0.006)
    np.testing.assert_allclose(
        day_hours(near, lat, altitude=CIVIL_DEG), civil, atol=0.011
    )


def test_a_hundred_places_agree_with_a_general_astronomy_library() -> None:
    # tests/reference/make_sun_times.py: ephem 4.2.1, VSOP87, places and days by seed.
    rows: list[dict[str, Any]] = json.loads(FIXTURE.read_text("utf-8"))["rows"]
    assert len(rows) == 100
    compared, none = 0, 0
    for row in rows:
        lat, lon, noon = row["lat"], row["lon"], row["noon_s"]
        levels = (SUNRISE_DEG, CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG)
        for level, times in zip(levels, row["times"], strict=True):
            found = [float(one[0]) for one in crossings([noon], lat, lon, level)]
            night = altitude_deg([noon - DAY_S / 2, noon + DAY_S / 2], lat, lon)
            grazes = np.abs(night - level).min() < 0.5
            for mine, theirs in zip(found, times, strict=True):
                if theirs is None or np.isnan(mine):
                    none += 1
                    assert grazes or (theirs is None and np.isnan(mine))
                else:
                    compared += 1
                    assert abs(mine - theirs) < (60 if grazes else 10)
    assert compared > 700
    assert none > 10


def test_polar_day_and_night_are_answers() -> None:
    tromso = (69.65, 18.96)
    summer, winter = on("2021-06-21", tromso, 2), on("2021-12-21", tromso, 1)
    for found in (summer, winter):
        assert np.isnan([found.sunrise_s, found.sunset_s]).all()
    assert np.isnan(summer.civil_dusk_s)
    assert winter.civil_dawn_s < winter.noon_s < winter.civil_dusk_s
    near = [summer.noon_s, winter.noon_s]
    assert day_hours(near, *tromso).tolist() == [24.0, 0.0]


@example(0.0, 0.0, 182.0, -1.0)  # midway between two noons
@given(
    st.floats(-89, 89), st.floats(-180, 180), st.floats(0, 4e9), st.floats(-18, -0.8)
)
def test_at_a_crossing_the_sun_stands_at_that_altitude(
    lat: float, lon: float, near_s: float, altitude: float
) -> None:
    noon = solar_noon_s([near_s], lon)
    assert abs(float(noon[0]) - near_s) <= DAY_S / 2 + 60
    for times in crossings([near_s], lat, lon, altitude):
        if np.isfinite(times[0]):
            assert altitude_deg(times, lat, lon)[0] == pytest.approx(altitude, abs=0.05)


def test_no_such_place() -> None:
    with pytest.raises(ValueError, match="latitude 91"):
        crossings([0.0], 91.0, 0.0)


@pytest.mark.parametrize("lat", [-69.0, 45.5, 48.6, 50.0, 54.5, 60.0, 66.5, 69.0])
def test_the_ends_of_twilight_follow_one_another_on_every_day(lat: float) -> None:
    # Also on the days on which the sun only just reaches or misses one of them.
    first = datetime(2024, 1, 1, 12, tzinfo=UTC).timestamp()
    near = first + DAY_S * np.arange(366)
    levels = (SUNRISE_DEG, CIVIL_DEG, NAUTICAL_DEG, ASTRONOMICAL_DEG)
    events = [crossings(near, lat, 0.0, level) for level in levels]
    for (rises, sets), (dawns, dusks) in pairwise(events):
        assert not (dusks < sets).any()
        assert not (dawns > rises).any()
        assert np.isfinite(sets).sum() > 50
    for level, (dawns, dusks) in zip(levels, events, strict=True):
        for times in (dawns, dusks):
            real = times[np.isfinite(times)]
            np.testing.assert_allclose(altitude_deg(real, lat, 0), level, atol=0.05)
