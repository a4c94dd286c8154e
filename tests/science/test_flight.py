"""Nights on which both sexes fly: against drawn moths, and at the edges."""

from __future__ import annotations

import numpy as np
import pytest

from rearing.science.flight import both_sexes, stretches
from rearing.science.stage_days import Leaving, passings


def brood(number: int) -> Leaving:
    rows = [(half - 1.0, half, half + 2.0) for half in (16.0, 20.0, 26.0)]
    return Leaving("pupa", number, np.array(rows))


def test_the_chance_is_that_of_moths_drawn_one_by_one() -> None:
    """Against 20,000 broods drawn moth by moth (computed)."""
    passing = passings([brood(12)], np.zeros(1))[0]
    nights = np.arange(10.0, 35.0)
    found = both_sexes(passing, nights, pupae=12, female_nights=3, male_nights=4)
    z = np.random.default_rng(2).standard_normal((20_000, 12))
    spread = np.where(z < 0, passing.early[0], passing.late[0])
    age = nights - (passing.half[0] + spread * z)[:, :, None]
    females = ((age[:, :6] >= 0) & (age[:, :6] < 4)).any(axis=1)
    males = ((age[:, 6:] >= 0) & (age[:, 6:] < 5)).any(axis=1)
    assert found == pytest.approx((females & males).mean(axis=0), abs=0.015)


def test_nobody_meets_before_the_first_or_long_after_the_last() -> None:
    passing = passings([brood(40)], np.zeros(1))[0]
    nights = np.array([5.0, 20.0, 60.0])
    found = both_sexes(passing, nights, pupae=40, female_nights=3, male_nights=4)
    assert found[0] < 0.01
    assert found[1] > 0.99
    assert found[2] < 0.01


def test_runs_of_nights_are_told_by_first_and_last() -> None:
    likely = np.array([False, True, True, False, True])
    assert stretches(likely) == ((1, 2), (4, 4))
    assert stretches(np.zeros(3, dtype=bool)) == ()
