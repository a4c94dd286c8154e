"""Readings into hours, doubtful readings, and the course of a day."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from vega_datasets import local_data

from rearing.science.weather import from_daily, hourly_means, odd

DAY_S = 86400.0


def test_an_hour_is_the_mean_of_its_readings_in_any_order() -> None:
    means = hourly_means([7200, 1800, 0, 3600], [9.0, 12.0, 10.0, 20.0], 0, 4 * 3600)
    np.testing.assert_array_equal(means, [11.0, 20.0, 9.0, np.nan])


def test_hours_are_whole_utc_hours_even_when_asked_from_within_one() -> None:
    start = datetime(2021, 3, 28, 0, 40, tzinfo=UTC).timestamp()
    means = hourly_means([start - 1200, start + 1500], [4.0, 6.0], start, start + 3600)
    np.testing.assert_array_equal(means, [4.0, 6.0])


def test_missing_readings_and_those_outside_are_passed_over() -> None:
    means = hourly_means([-1, 0, 10, 3600], [99.0, np.nan, 5.0, 99.0], 0, 3600)
    np.testing.assert_array_equal(means, [5.0])


@given(
    st.lists(
        st.tuples(st.integers(0, 86399), st.floats(-20, 40)), min_size=1, max_size=60
    )
)
def test_the_mean_of_an_hour_lies_between_its_readings(
    readings: list[tuple[int, float]],
) -> None:
    at_s = np.array([r[0] for r in readings])
    celsius = np.array([r[1] for r in readings])
    means = hourly_means(at_s, celsius, 0, DAY_S)
    for hour in range(24):
        within = celsius[at_s // 3600 == hour]
        if len(within):
            assert within.min() - 1e-9 <= means[hour] <= within.max() + 1e-9
        else:
            assert np.isnan(means[hour])


def test_each_day_keeps_its_lowest_and_highest_on_real_weather() -> None:
    # Seattle 2012-2015, NOAA daily summaries as shipped by vega_datasets (local file).
    weather = local_data.seattle_weather()
    low, high = weather["temp_min"].to_numpy(), weather["temp_max"].to_numpy()
    days = np.arange(len(low)) * DAY_S + 8 * 3600
    hours = from_daily(days, low, high, days[0], days[-1] + DAY_S).reshape(-1, 24)
    np.testing.assert_allclose(hours.min(axis=1), low, atol=1e-9)
    np.testing.assert_allclose(hours.max(axis=1), high, atol=1e-9)
    assert np.median(hours.argmin(axis=1)) == 5
    assert np.median(hours.argmax(axis=1)) == 15


def test_the_mean_of_like_days_is_midway_between_the_extremes() -> None:
    days = np.arange(5) * DAY_S
    hours = from_daily(days, np.full(5, 6.0), np.full(5, 18.0), DAY_S, 4 * DAY_S)
    assert hours.mean() == pytest.approx(12.0, abs=1e-9)


def test_a_day_left_out_stays_empty_and_a_25_hour_day_has_no_hole() -> None:
    left_out = from_daily([0, 2 * DAY_S], [5, 5], [9, 9], 0, 3 * DAY_S)
    assert np.isnan(left_out[24:48]).all()
    assert np.isfinite(left_out[:24]).all()
    assert np.isfinite(left_out[48:]).all()
    longer = from_daily([0, DAY_S + 3600], [5, 5], [9, 9], 0, 2 * DAY_S + 3600)
    assert np.isfinite(longer).all()


def test_an_empty_day_beside_a_full_one_leaves_the_full_one_whole() -> None:
    hours = from_daily([0, DAY_S], [5, np.nan], [9, np.nan], 0, 2 * DAY_S)
    assert (hours[:24].min(), hours[:24].max()) == (5, 9)
    assert np.isnan(hours[24:]).all()


def test_a_lowest_above_the_highest_is_refused_with_its_day() -> None:
    with pytest.raises(ValueError, match="day 1: low_c 12"):
        from_daily([0, DAY_S], [5, 12], [9, 9], 0, DAY_S)


def test_impossible_readings_are_doubtful_and_missing_ones_are_not() -> None:
    doubtful = odd([0, 1, 2, 3], [20.0, 85.0, np.nan, -127.0])
    assert doubtful.tolist() == [False, True, False, True]


def test_a_spike_is_doubtful_wherever_it_stands_in_the_file() -> None:
    at_s = np.arange(48) * 1800.0
    celsius = 15 + 5 * np.sin(at_s / DAY_S * 2 * np.pi)
    celsius[20] += 14
    shuffled = np.random.default_rng(4).permutation(48)
    doubtful = odd(at_s[shuffled], celsius[shuffled])
    assert shuffled[doubtful].tolist() == [20]


def test_a_logger_carried_to_a_warmer_room_is_not_doubtful() -> None:
    celsius = np.concatenate((np.full(24, 9.0), np.full(24, 22.0)))
    assert not odd(np.arange(48) * 1800.0, celsius).any()


def test_readings_hours_apart_say_nothing_about_spikes() -> None:
    at_s = np.arange(12) * 6 * 3600.0
    celsius = np.where(np.arange(12) % 4 == 2, 30.0, 12.0)
    assert not odd(at_s, celsius).any()
