"""Readings summed to degree-days: spacing, holes, clock changes."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from rearing.science.heat import Cutoff, HourlyHeat, day_edges_s, hourly, single_sine

if TYPE_CHECKING:
    from numpy.typing import NDArray

HOUR = 3600.0
DAY = 24 * HOUR
ONE_DAY = np.array([0.0, DAY])


def sine_day(
    low: float, high: float, at_s: NDArray[np.floating]
) -> NDArray[np.float64]:
    """Return a day's wave at instants: minimum at midnight, maximum at noon."""
    wave = np.cos(2 * np.pi * at_s / DAY)
    return np.asarray((low + high) / 2 - (high - low) / 2 * wave)


# computed: 24 samples of the wave at half past each hour, °F, lower 50; in brackets
# the closed form
@pytest.mark.parametrize(
    ("low", "high", "upper", "expected", "closed"),
    [(45, 75, None, 10.8858, 10.882), (55, 91, 88.0, 22.6270, 22.629)],
)
def test_twenty_four_samples_of_a_sine_come_near_its_closed_form(
    low: float, high: float, upper: float | None, expected: float, closed: float
) -> None:
    at = (np.arange(24) + 0.5) * HOUR
    found = hourly(at, sine_day(low, high, at), ONE_DAY, lower_c=50.0, upper_c=upper)
    assert_allclose(found.degree_days, [expected], atol=6e-5)
    assert_allclose(
        single_sine(low, high, lower_c=50.0, upper_c=upper), closed, atol=6e-4
    )


@pytest.mark.parametrize("offset_s", [0.0, 60.0, 1800.0, 3599.0])
def test_even_readings_are_simply_averaged_wherever_they_fall_in_the_hour(
    offset_s: float,
) -> None:
    rng = np.random.default_rng(7)
    celsius = rng.normal(14, 8, 72)
    at = np.arange(72) * HOUR + offset_s
    found = hourly(at, celsius, np.arange(4) * DAY, lower_c=10.0, upper_c=25.0)
    expected = (np.clip(celsius, 10, 25) - 10).reshape(3, 24).sum(axis=1) / 24
    assert_allclose(found.degree_days, expected, rtol=1e-12)
    assert_allclose(found.share, 1.0)


def test_a_fast_logger_does_not_outweigh_a_slow_one() -> None:
    # Every ten minutes in the cool morning, two-hourly in the warm afternoon.
    morning = np.arange(0, 12 * HOUR, 600.0)
    afternoon = np.arange(12 * HOUR, DAY, 2 * HOUR)
    at = np.concatenate([morning, afternoon])
    celsius = np.where(at < 12 * HOUR, 12.0, 22.0)
    found = hourly(at, celsius, ONE_DAY, lower_c=10.0)
    plain_mean = (celsius - 10).mean()
    assert plain_mean < 3
    assert_allclose(found.degree_days, [7.0], atol=0.2)


def test_uneven_readings_of_a_sine_come_near_its_closed_form() -> None:
    rng = np.random.default_rng(11)
    at = np.sort(rng.uniform(-DAY, 2 * DAY, 600))
    found = hourly(at, sine_day(4, 26, at), ONE_DAY, lower_c=10.0, upper_c=22.0)
    closed = single_sine(4.0, 26.0, lower_c=10.0, upper_c=22.0)
    assert_allclose(found.degree_days, [closed], atol=0.05)


def test_a_day_with_too_large_a_hole_is_unknown_and_says_its_share() -> None:
    at = np.arange(48) * HOUR
    keep = (at < 30 * HOUR) | (at >= 38 * HOUR)
    found = hourly(at[keep], np.full(40, 15.0), np.arange(3) * DAY, lower_c=10.0)
    assert_array_equal(np.isnan(found.degree_days), [False, True])
    assert_allclose(found.share, [1.0, 16 / 24])
    shorter = hourly(
        at[keep], np.full(40, 15.0), np.arange(3) * DAY, lower_c=10.0, least_share=0.6
    )
    assert_allclose(shorter.degree_days, [5.0, 5.0])


def test_readings_that_reach_into_the_neighbouring_days_cover_no_more_than_one() -> (
    None
):
    # At 00:00 and 23:59 each speaks for an hour of the night outside this day too.
    minutes = np.array([*range(-120, 1440, 120), 1439, 1559])
    found = hourly(minutes * 60.0, np.full(15, 15.0), ONE_DAY, lower_c=10.0)
    assert_array_equal(found.share, [1.0])
    assert_allclose(found.degree_days, [5.0])


def test_a_reading_that_is_nan_is_a_hole() -> None:
    at = np.arange(24) * HOUR
    celsius = np.full(24, 15.0)
    celsius[3:12] = np.nan
    found = hourly(at, celsius, ONE_DAY, lower_c=10.0)
    assert np.isnan(found.degree_days[0])
    assert_allclose(found.share, [15 / 24])


def test_days_without_readings_and_a_lone_reading_are_unknown() -> None:
    for at in (np.array([]), np.array([HOUR])):
        found = hourly(at, np.full(len(at), 15.0), ONE_DAY, lower_c=10.0)
        assert np.isnan(found.degree_days).all()
        assert_array_equal(found.share, [0.0])


@settings(deadline=None)
@given(order=st.permutations(list(range(24))))
def test_the_order_of_the_readings_does_not_matter(order: list[int]) -> None:
    at = np.arange(24) * HOUR
    celsius = 10 + 8 * np.sin(at / DAY * 6)
    shuffled = hourly(at[order], celsius[order], ONE_DAY, lower_c=10.0)
    assert (
        shuffled.degree_days == hourly(at, celsius, ONE_DAY, lower_c=10.0).degree_days
    )


@pytest.mark.parametrize(
    ("cutoff", "expected"),
    [(Cutoff.HORIZONTAL, 20.0), (Cutoff.INTERMEDIATE, 12.0), (Cutoff.VERTICAL, 0.0)],
)
def test_cutoffs_mean_the_same_for_readings(cutoff: Cutoff, expected: float) -> None:
    found = _steady(38.0, cutoff)
    assert_allclose(found.degree_days, [expected])


def test_a_very_hot_day_counts_nothing_rather_than_less() -> None:
    assert_array_equal(_steady(55.0, Cutoff.INTERMEDIATE).degree_days, [0.0])


def _steady(celsius: float, cutoff: Cutoff) -> HourlyHeat:
    at = np.arange(24) * HOUR
    readings = np.full(24, celsius)
    return hourly(at, readings, ONE_DAY, lower_c=10.0, upper_c=30.0, cutoff=cutoff)


def test_days_of_a_clock_change_are_as_long_as_they_are() -> None:
    # The last Sunday of March and of October 2021 in Paris (EU summer time).
    paris = ZoneInfo("Europe/Paris")
    spring = day_edges_s(date(2021, 3, 27), date(2021, 3, 29), paris)
    autumn = day_edges_s(date(2021, 10, 30), date(2021, 11, 1), paris)
    assert_array_equal(np.diff(spring) / HOUR, [24, 23, 24])
    assert_array_equal(np.diff(autumn) / HOUR, [24, 25, 24])
    at = np.arange(spring[0], spring[-1], HOUR)
    found = hourly(at, np.full(len(at), 34.0), spring, lower_c=10.0)
    assert_allclose(found.degree_days, [24.0, 23.0, 24.0])


def test_readings_that_make_no_sense_are_refused() -> None:
    at, celsius = np.array([0.0, HOUR]), np.array([10.0, 11.0])
    with pytest.raises(ValueError, match="2 instants don't match 1 readings"):
        hourly(at, celsius[:1], ONE_DAY, lower_c=5.0)
    with pytest.raises(ValueError, match="index 1 is infinite"):
        hourly(at, np.array([10.0, np.inf]), ONE_DAY, lower_c=5.0)
    with pytest.raises(ValueError, match="each later"):
        hourly(at, celsius, np.array([DAY, 0.0]), lower_c=5.0)
    with pytest.raises(ValueError, match=r"upper threshold \(4°\)"):
        hourly(at, celsius, ONE_DAY, lower_c=5.0, upper_c=4.0)
    with pytest.raises(ValueError, match="is before the first"):
        day_edges_s(date(2021, 6, 2), date(2021, 6, 1), ZoneInfo("UTC"))
