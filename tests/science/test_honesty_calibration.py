"""Windows of broods of known truth hold as often as they say; nothing published.

The full table is made by tests/reference/make_calibration_table.py.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from rearing.science.honesty import score
from tests.science.known_broods import AGES
from tests.science.replaying import Replay, replay

BROODS = 80
TAUGHT_BROODS = 30
PIECES = ("first", "half", "last")


@pytest.fixture(scope="module")
def by_sheet() -> Replay:
    return replay(BROODS, 21)


@pytest.mark.slow
@pytest.mark.parametrize(("age", "piece"), list(product(AGES, PIECES)))
def test_four_windows_in_five_hold_at_every_age(
    by_sheet: Replay, age: str, piece: str
) -> None:
    some = [one for one in by_sheet.of() if one.age == age and one.piece == piece]
    found = score(some)
    assert found is not None
    # Of one brood the events hang together: the broods are what can be counted on.
    by_chance = 1.96 * np.sqrt(0.8 * 0.2 / min(BROODS, found.number))
    assert 0.75 - by_chance <= found.held.share <= 0.85 + by_chance


@pytest.mark.slow
def test_over_all_ages_the_share_is_within_75_and_85(by_sheet: Replay) -> None:
    found = score(by_sheet.of())
    assert found is not None
    assert 0.75 <= found.held.share <= 0.85
    for place in ("indoors", "outdoors"):
        there = score(by_sheet.of(place=place))
        assert there is not None
        assert 0.72 <= there.held.share <= 0.88


@pytest.mark.slow
def test_counting_sharpens_the_moths_window(by_sheet: Replay) -> None:
    error = {}
    for age in AGES:
        moths = [
            one
            for one in by_sheet.of()
            if one.calendar_s is not None and one.age == age
        ]
        found = score(moths)
        assert found is not None
        error[age] = found.error_days
    assert error["egg"] > error["L3"] > error["pupa"]
    assert error["pupa"] < 0.65 * error["egg"]


@pytest.mark.slow
def test_counted_and_taught_it_halves_the_calendars_error() -> None:
    done = replay(TAUGHT_BROODS, 5, ages=("L5", "pupa"), learns=True)
    found = score([one for one in done.of() if one.calendar_s is not None])
    assert found is not None
    assert found.against_calendar is not None
    assert found.against_calendar <= 0.5
