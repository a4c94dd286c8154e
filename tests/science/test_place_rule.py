"""A shed that follows the air outdoors: offset, damping and lag found again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.science.place_rule import PlaceRule, fit_rule, running_mean
from rearing.science.scenarios import Kind, by_rule, outdoors

if TYPE_CHECKING:
    from numpy.typing import NDArray

HOURS = np.arange(24 * 40)


def air() -> NDArray[np.float64]:
    rng = np.random.default_rng(3)
    spells = np.repeat(rng.normal(0, 3, len(HOURS) // 24), 24)
    return 14.0 + spells + 5.0 * np.sin(2 * np.pi * (HOURS - 9) / 24)


@settings(max_examples=25, deadline=None)
@given(st.floats(-3, 4), st.floats(0.5, 1.1), st.floats(0.2, 1.0), st.integers(0, 8))
def test_a_rule_is_found_again(
    offset: float, follows: float, damping: float, lag: int
) -> None:
    rule = PlaceRule(offset, follows, damping, lag)
    found = fit_rule(air(), rule.apply(air()))
    assert found.lag_h == lag
    assert found.follows == pytest.approx(follows, abs=1e-6)
    assert found.offset_c == pytest.approx(offset, abs=1e-5)
    assert found.damping == pytest.approx(damping, abs=1e-6)
    assert found.spread_c < 1e-6
    assert found.days == 40


def test_what_the_rule_leaves_is_its_spread() -> None:
    rng = np.random.default_rng(5)
    away = np.repeat(rng.normal(0, 0.8, len(HOURS) // 24), 24)
    found = fit_rule(air(), PlaceRule(1.5, 1.0, 0.6, 2).apply(air()) + away)
    assert found.spread_c == pytest.approx(0.8, rel=0.2)
    assert found.memory_days < 1.5
    assert found.lag_h == 2
    assert found.offset_c + 14.0 * (found.follows - 1) == pytest.approx(1.5, abs=0.4)


def test_days_too_alike_follow_one_to_one() -> None:
    alike = 15.0 + 4.0 * np.sin(2 * np.pi * (HOURS - 9) / 24)
    found = fit_rule(alike, 0.5 * (alike - 15.0) + 17.0)
    assert found.follows == 1.0
    assert found.offset_c == pytest.approx(2.0, abs=0.01)


def test_too_few_days_and_unequal_series_are_refused() -> None:
    place = air().copy()
    place[24 * 6 :] = np.nan
    with pytest.raises(ValueError, match="6 whole days"):
        fit_rule(air(), place)
    with pytest.raises(ValueError, match="as long as"):
        fit_rule(air()[:100], place)


def test_the_running_mean_of_a_day_has_no_swing() -> None:
    swing = np.sin(2 * np.pi * HOURS / 24)
    np.testing.assert_allclose(running_mean(swing)[12:-12], 0.0, atol=1e-12)


def test_the_futures_of_a_shed_are_those_outdoors_by_its_rule_and_spread() -> None:
    rng = np.random.default_rng(2)
    out = outdoors(air(), 0.0, 24 * 30, rng)
    rule = PlaceRule(1.5, 1.0, 0.5, 1, spread_c=0.7)
    shed = by_rule(out, rule, rng)
    assert shed.kind is Kind.RULE
    away = shed.celsius - rule.apply(out.celsius)
    assert away.std() == pytest.approx(0.7, rel=0.25)
    assert abs(away.mean()) < 0.15
