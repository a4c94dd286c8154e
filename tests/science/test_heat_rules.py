"""What holds for every daily method: holes, impossible days, order, units."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from rearing.science.heat import (
    Cutoff,
    Method,
    average,
    clamped_average,
    degree_days,
    double_sine,
    double_triangle,
    following_minimum,
    single_sine,
    single_triangle,
)

if TYPE_CHECKING:
    from collections.abc import Callable

DAILY = [m for m in Method if m is not Method.HOURLY]
CURVED = [m for m in DAILY if m not in {Method.AVERAGE, Method.CLAMPED_AVERAGE}]
NAMED: dict[Method, Callable[..., Any]] = {
    Method.AVERAGE: average,
    Method.CLAMPED_AVERAGE: clamped_average,
    Method.SINGLE_TRIANGLE: single_triangle,
    Method.DOUBLE_TRIANGLE: double_triangle,
    Method.SINGLE_SINE: single_sine,
    Method.DOUBLE_SINE: double_sine,
}
degrees = st.floats(-30, 50)


@st.composite
def days(draw: st.DrawFn) -> tuple[float, float]:
    one, other = draw(degrees), draw(degrees)
    return min(one, other), max(one, other)


@pytest.mark.parametrize("cutoff", Cutoff)
@pytest.mark.parametrize("method", DAILY)
def test_the_named_function_and_the_dispatcher_agree(
    method: Method, cutoff: Cutoff
) -> None:
    low, high = np.array([4.0, 9.0, 21.0]), np.array([16.0, 33.0, 36.0])
    thresholds: dict[str, Any] = {"lower_c": 10.0, "upper_c": 28.0, "cutoff": cutoff}
    found = NAMED[method](low, high, **thresholds)
    assert_array_equal(found, degree_days(low, high, method=method, **thresholds))
    assert found.max() > 0


def test_a_single_day_gives_a_plain_float() -> None:
    assert type(single_sine(4.0, 16.0, lower_c=10.0)) is float
    assert type(double_sine(4.0, 16.0, 5.0, lower_c=10.0)) is float


@pytest.mark.parametrize("cutoff", Cutoff)
@pytest.mark.parametrize("method", DAILY)
@settings(deadline=None, max_examples=60)
@given(day=days(), after=degrees)
def test_degree_days_are_never_negative(
    method: Method, cutoff: Cutoff, day: tuple[float, float], after: float
) -> None:
    found = degree_days(
        *day, lower_c=5.0, upper_c=20.0, method=method, cutoff=cutoff, next_low_c=after
    )
    assert found >= 0.0


@pytest.mark.parametrize("method", DAILY)
@settings(deadline=None)
@given(day=days(), above=st.floats(0, 20))
def test_degree_days_are_zero_below_the_lower_threshold(
    method: Method, day: tuple[float, float], above: float
) -> None:
    assert degree_days(*day, lower_c=day[1] + above, method=method) == 0.0


@pytest.mark.parametrize("method", DAILY)
@settings(deadline=None)
@given(day=days(), warmer=st.tuples(*[st.floats(0, 15)] * 3), after=degrees)
def test_a_warmer_day_never_counts_less_under_a_horizontal_cutoff(
    method: Method,
    day: tuple[float, float],
    warmer: tuple[float, ...],
    after: float,
) -> None:
    low, high = day
    low_then, high_then = low + warmer[0], high + warmer[1]
    assume(low_then <= high_then)

    def counted(low: float, high: float, after: float) -> float:
        return degree_days(
            low, high, lower_c=8.0, upper_c=25.0, method=method, next_low_c=after
        )

    then = counted(low_then, high_then, after + warmer[2])
    assert then >= counted(low, high, after) - 1e-9


@pytest.mark.parametrize("method", [m for m in DAILY if m is not Method.AVERAGE])
@settings(deadline=None)
@given(day=days())
def test_cutoffs_only_ever_take_away(method: Method, day: tuple[float, float]) -> None:
    free = degree_days(*day, lower_c=8.0, method=method)
    flat, slow, halt = (
        degree_days(*day, lower_c=8.0, upper_c=25.0, method=method, cutoff=cutoff)
        for cutoff in Cutoff
    )
    assert free >= flat - 1e-9
    assert flat >= max(slow, halt) - 1e-9
    assert flat <= 25.0 - 8.0 + 1e-9


@pytest.mark.parametrize("cutoff", Cutoff)
@settings(deadline=None)
@given(lows=st.lists(st.floats(-5, 20), min_size=1, max_size=1), n=st.integers(1, 9))
def test_double_methods_equal_single_ones_when_all_minima_are_equal(
    cutoff: Cutoff, lows: list[float], n: int
) -> None:
    low = np.full(n, lows[0])
    high = low + np.linspace(0, 25, n)
    for single, double in (
        (single_sine, double_sine),
        (single_triangle, double_triangle),
    ):
        thresholds: dict[str, Any] = {"lower_c": 9.0, "upper_c": 24.0, "cutoff": cutoff}
        assert_array_equal(
            double(low, high, **thresholds), single(low, high, **thresholds)
        )


def fahrenheit(celsius: float) -> float:
    return celsius * 1.8 + 32.0


@pytest.mark.parametrize("cutoff", Cutoff)
@pytest.mark.parametrize("method", DAILY)
@settings(deadline=None)
@given(day=days(), after=degrees)
def test_fahrenheit_readings_give_the_same_heat_in_fahrenheit_degree_days(
    method: Method, cutoff: Cutoff, day: tuple[float, float], after: float
) -> None:
    low, high = day
    lower, upper = 7.0, 23.0
    # A vertical cutoff steps at the threshold: rounding may fall on either side.
    ends = (low, high, after, (low + high) / 2)
    assume(all(abs(t - upper) > 1e-6 for t in ends))
    assume(high - low > 1e-6 and abs(high - after) > 1e-6)
    in_c = degree_days(
        low,
        high,
        lower_c=lower,
        upper_c=upper,
        method=method,
        cutoff=cutoff,
        next_low_c=after,
    )
    in_f = degree_days(
        fahrenheit(low),
        fahrenheit(high),
        lower_c=fahrenheit(lower),
        upper_c=fahrenheit(upper),
        method=method,
        cutoff=cutoff,
        next_low_c=fahrenheit(after),
    )
    assert_allclose(in_f, 1.8 * in_c, rtol=1e-9, atol=1e-6)


@pytest.mark.parametrize("method", DAILY)
def test_an_unknown_end_makes_that_day_unknown_and_no_other(method: Method) -> None:
    low = np.array([8.0, np.nan, 8.0, 9.0])
    high = np.array([18.0, 6.0, np.nan, 19.0])
    found = degree_days(low, high, lower_c=10.0, upper_c=30.0, method=method)
    assert_array_equal(np.isnan(found), [False, True, True, False])


def test_an_unknown_next_minimum_that_was_given_makes_the_day_unknown() -> None:
    assert np.isnan(double_sine(8.0, 18.0, np.nan, lower_c=10.0))


def test_the_last_day_falls_back_on_its_own_minimum() -> None:
    low, high = np.array([6.0, 2.0]), np.array([20.0, 22.0])
    found = double_triangle(low, high, lower_c=10.0)
    assert found[1] == single_triangle(2.0, 22.0, lower_c=10.0)
    assert found[0] == double_triangle(6.0, 20.0, 2.0, lower_c=10.0)


def test_the_day_before_a_hole_falls_back_on_its_own_minimum() -> None:
    low = np.array([6.0, np.nan, 2.0, 1.0])
    assert_array_equal(following_minimum(low), [6.0, 2.0, 1.0, 1.0])
    june = [date(2021, 6, 1) + timedelta(days=i) for i in (0, 1, 4, 5)]
    skipping = following_minimum(np.array([6.0, 5.0, 2.0, 1.0]), june)
    assert_array_equal(skipping, [5.0, 5.0, 1.0, 1.0])


def test_places_side_by_side_are_counted_row_by_row() -> None:
    low = np.array([[6.0, 2.0, 8.0], [11.0, 12.0, 3.0]])
    high = low + 14.0
    found = double_sine(low, high, lower_c=10.0)
    for row in (0, 1):
        alone = double_sine(low[row], high[row], lower_c=10.0)
        assert_array_equal(found[row], alone)


@pytest.mark.parametrize("method", DAILY)
def test_a_minimum_above_its_maximum_names_the_day(method: Method) -> None:
    low, high = np.array([8.0, 14.0]), np.array([18.0, 9.5])
    june = [date(2021, 6, 11), date(2021, 6, 12)]
    with pytest.raises(ValueError, match=r"14°, is above .* 9\.5° on 2021-06-12"):
        degree_days(low, high, lower_c=10.0, method=method, days=june)
    with pytest.raises(ValueError, match="day at index 1"):
        degree_days(low, high, lower_c=10.0, method=method)
    with pytest.raises(ValueError, match="above the maximum"):
        degree_days(14.0, 9.5, lower_c=10.0, method=method)


def test_infinite_temperatures_are_refused() -> None:
    with pytest.raises(ValueError, match="infinite on the day at index 0"):
        single_sine(np.array([3.0]), np.array([np.inf]), lower_c=10.0)
    with pytest.raises(ValueError, match="next day's minimum is infinite"):
        double_sine(3.0, 4.0, -np.inf, lower_c=10.0)


def test_thresholds_the_wrong_way_round_are_refused_with_both_values() -> None:
    with pytest.raises(
        ValueError, match=r"upper threshold \(9°\) is below .*\(10\.5°\)"
    ):
        single_sine(3.0, 4.0, lower_c=10.5, upper_c=9.0)
    with pytest.raises(ValueError, match="lower threshold must be a number"):
        single_sine(3.0, 4.0, lower_c=float("nan"))
    with pytest.raises(ValueError, match="leave it out"):
        single_sine(3.0, 4.0, lower_c=1.0, upper_c=float("inf"))


def test_days_and_temperatures_of_different_number_are_refused() -> None:
    two = np.array([3.0, 4.0])
    with pytest.raises(ValueError, match="1 days are named"):
        degree_days(
            two, two, lower_c=1.0, method=Method.AVERAGE, days=[date(2021, 6, 1)]
        )
    with pytest.raises(ValueError, match="don't match maxima"):
        average(two, np.array([9.0]), lower_c=1.0)


def test_a_minimum_and_a_maximum_are_not_enough_for_the_hourly_method() -> None:
    with pytest.raises(ValueError, match="sums readings"):
        degree_days(3.0, 4.0, lower_c=1.0, method=Method.HOURLY)
