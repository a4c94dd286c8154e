"""Rates at given temperatures: the line, Brière's curves, Lactin's curve.

The curves' parameters are illustrative, not published, and every figure here is
*computed*: no published set for a moth could be seen.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from rearing.science.rate_curves import (
    briere_1,
    briere_1_optimum_c,
    briere_2,
    briere_2_optimum_c,
    lactin_2,
    lactin_2_optimum_c,
)
from rearing.science.rates import linear_rate

BRIERE: dict[str, Any] = {"a": 1e-4, "t0_c": 10.0, "limit_c": 35.0}
LACTIN: dict[str, Any] = {
    "rho": 0.0084,
    "limit_c": 39.0,
    "delta_c": 1.5,
    "shift": -1.08,
}
FINE_C = np.linspace(-10.0, 60.0, 700_001)


def test_briere_gives_its_computed_rates_and_optimum() -> None:
    celsius = np.array([15.0, 20.0, 25.0, 30.0, 34.0])
    expected = [0.03354, 0.07746, 0.11859, 0.13416, 0.08160]
    assert_allclose(briere_1(celsius, **BRIERE), expected, atol=6e-6)
    assert_allclose(briere_1_optimum_c(t0_c=10.0, limit_c=35.0), 29.20656, atol=6e-6)


def test_lactin_gives_its_computed_rates_optimum_and_zeros() -> None:
    celsius = np.array([15.0, 20.0, 25.0, 30.0, 35.0])
    expected = [0.05428, 0.10293, 0.15356, 0.20316, 0.16537]
    assert_allclose(lactin_2(celsius, **LACTIN), expected, atol=6e-6)
    optimum = lactin_2_optimum_c(rho=0.0084, limit_c=39.0, delta_c=1.5)
    assert_allclose(optimum, 32.35519, atol=6e-6)
    alive = FINE_C[lactin_2(FINE_C, **LACTIN) > 0]
    assert_allclose([alive[0], alive[-1]], [9.16203, 36.59875], atol=2e-4)


@pytest.mark.parametrize("m", [1.3, 2.0, 4.5])
def test_the_optimum_of_briere_is_where_its_rate_is_highest(m: float) -> None:
    rate = briere_2(FINE_C, **BRIERE, m=m)
    optimum = briere_2_optimum_c(t0_c=10.0, limit_c=35.0, m=m)
    assert_allclose(FINE_C[rate.argmax()], optimum, atol=2e-4)


def test_the_optimum_of_lactin_is_where_its_rate_is_highest() -> None:
    rate = lactin_2(FINE_C, **LACTIN)
    optimum = lactin_2_optimum_c(rho=0.0084, limit_c=39.0, delta_c=1.5)
    assert_allclose(FINE_C[rate.argmax()], optimum, atol=2e-4)


def test_nothing_develops_outside_the_limits_and_holes_stay_holes() -> None:
    celsius = np.array([-300.0, -5.0, 10.0, 35.0, 50.0, 4000.0, np.nan])
    nothing = [0, 0, 0, 0, 0, 0, np.nan]
    assert_array_equal(briere_1(celsius, **BRIERE), nothing)
    cold_start = {**BRIERE, "t0_c": -4.0}
    assert_array_equal(briere_1(np.array([-3.0, 0.0]), **cold_start), [0, 0])
    assert briere_1(1.0, **cold_start) > 0
    assert_array_equal(
        lactin_2(celsius, **LACTIN)[[0, 1, 4, 5, 6]], [0, 0, 0, 0, np.nan]
    )


def test_one_temperature_gives_a_plain_float() -> None:
    assert type(linear_rate(20.0, t0_c=10.0, k_dd=100.0)) is float
    assert type(briere_1(20.0, **BRIERE)) is float
    assert type(lactin_2(20.0, **LACTIN)) is float


def test_a_constant_temperature_takes_k_over_degrees_above_t0() -> None:
    celsius = np.array([12.0, 17.0, 26.0])
    days = 1 / linear_rate(celsius, t0_c=10.5, k_dd=90.0)
    assert_allclose(days, [60.0, 90 / 6.5, 90 / 15.5])


def test_the_line_is_flat_above_its_limit_and_zero_below_t0() -> None:
    celsius = np.array([-4.0, 10.0, 28.0, 30.0, 41.0, np.nan])
    rate = linear_rate(celsius, t0_c=10.0, k_dd=200.0, upper_c=28.0)
    assert_array_equal(rate, [0, 0, 0.09, 0.09, 0.09, np.nan])


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: linear_rate(20.0, t0_c=10.0, k_dd=0.0), "K must be above 0"),
        (lambda: linear_rate(20.0, t0_c=10.0, k_dd=9.0, upper_c=8.0), "above T0"),
        (lambda: briere_1(20.0, a=-1.0, t0_c=10.0, limit_c=35.0), "scale a"),
        (lambda: briere_1(20.0, a=1.0, t0_c=35.0, limit_c=10.0), "above T0"),
        (lambda: briere_1(20.0, a=1.0, t0_c=-35.0, limit_c=-1.0), "above 0 °C"),
        (lambda: briere_2(20.0, a=1.0, t0_c=1.0, limit_c=9.0, m=0.0), "steepness m"),
        (lambda: lactin_2(20.0, **{**LACTIN, "rho": 0.0}), "rho must"),
        (lambda: lactin_2(20.0, **{**LACTIN, "delta_c": -2.0}), "delta must"),
        (lambda: lactin_2_optimum_c(rho=0.8, limit_c=39.0, delta_c=2.0), "summit"),
    ],
)
def test_parameters_that_make_no_curve_are_refused(wrong: Any, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        wrong()
