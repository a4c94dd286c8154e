"""The moon against another astronomy library, by eclipses, and at the poles."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.science.moon import lit_fraction, moon_between, upper_edge_deg

DAY_S = 86400.0
FIXTURE = Path(__file__).parents[1] / "reference" / "moon_times.json"
KARST = (45.53, 13.93)


def test_a_hundred_places_agree_with_another_library() -> None:
    # tests/reference/make_moon_times.py: skyfield 1.55 with DE421, fifteen of the
    # places beyond 76 degrees.
    rows: list[dict[str, Any]] = json.loads(FIXTURE.read_text("utf-8"))["rows"]
    assert len(rows) == 100
    compared, without = 0, 0
    for row in rows:
        start = row["noon_s"]
        found = moon_between(start, start + DAY_S, row["lat"], row["lon"])
        assert found.fraction == pytest.approx(row["fraction"], abs=0.003)
        for mine, theirs in (
            (found.rises_s, row["rises"]),
            (found.sets_s, row["sets"]),
        ):
            assert mine == pytest.approx(theirs, abs=5)
            compared += len(theirs)
            without += not theirs
    assert compared > 150
    assert without > 15


@pytest.mark.parametrize(
    ("evening", "share", "waxing"),
    [
        # Computed for the stories with a general astronomy library, 22:00 UT.
        ("2020-05-16", 0.28, False),
        ("2020-08-15", 0.13, False),
        ("2021-03-27", 0.99, True),
        ("2021-05-07", 0.13, False),
        ("2021-05-14", 0.09, True),
        ("2021-05-28", 0.91, False),
        ("2021-06-04", 0.25, False),
        ("2021-08-06", 0.03, False),
        ("2022-05-13", 0.93, True),
    ],
)
def test_the_nights_of_the_stories(evening: str, share: float, waxing: bool) -> None:
    at_s = datetime.fromisoformat(f"{evening}T22:00+00:00").timestamp()
    found = moon_between(at_s - DAY_S / 2, at_s + DAY_S / 2, *KARST)
    assert found.fraction == pytest.approx(share, abs=0.03)
    assert found.waxing is waxing


def test_full_at_a_lunar_and_dark_at_a_solar_eclipse() -> None:
    # From memory: total eclipse of the moon 26 May 2021 11:19 UTC, annular eclipse of
    # the sun 10 June 2021 10:42 UTC.
    full = datetime(2021, 5, 26, 11, 19, tzinfo=UTC).timestamp()
    dark = datetime(2021, 6, 10, 10, 42, tzinfo=UTC).timestamp()
    assert lit_fraction(full) > 0.999
    assert lit_fraction(dark) < 0.001


def test_near_the_pole_it_stays_up_or_down_for_days() -> None:
    start = datetime(2021, 6, 1, 12, tzinfo=UTC).timestamp()
    month = [
        moon_between(start + i * DAY_S, start + (i + 1) * DAY_S, 89.0, 0.0)
        for i in range(28)
    ]
    still = [one for one in month if not one.rises_s and not one.sets_s]
    up_all_day = [one for one in still if one.up_s]
    assert 8 <= len(up_all_day) <= 16
    assert len(still) - len(up_all_day) >= 8
    assert all(end - first == DAY_S for one in up_all_day for first, end in one.up_s)


@settings(max_examples=40, deadline=None)
@given(st.floats(-90, 90), st.floats(-180, 180), st.floats(1e9, 2.5e9))
def test_it_is_up_between_rising_and_setting(
    lat: float, lon: float, start: float
) -> None:
    found = moon_between(start, start + DAY_S, lat, lon)
    edges = {start, start + DAY_S, *found.rises_s, *found.sets_s}
    assert {edge for span in found.up_s for edge in span} <= edges
    for first, end in found.up_s:
        middle = np.array([(first + end) / 2])
        assert end - first < 1 or upper_edge_deg(middle, lat, lon)[0] > 0
    for at_s in (*found.rises_s, *found.sets_s):
        assert abs(upper_edge_deg(np.array([at_s]), lat, lon)[0]) < 0.02
    assert 0 <= found.fraction <= 1


def test_no_such_place_and_no_such_span() -> None:
    with pytest.raises(ValueError, match="longitude 181"):
        moon_between(0.0, DAY_S, 0.0, 181.0)
    with pytest.raises(ValueError, match="before it starts"):
        moon_between(DAY_S, 0.0, 0.0, 0.0)
