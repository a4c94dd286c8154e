"""Brière's and Lactin's curves fitted to durations.

No published set of parameters for a moth could be seen, so the curves' own figures
here are *computed* from illustrative parameters. Data set A is published:
*Spodoptera frugiperda* egg to adult, Moon et al. 2022, Korean J. Appl. Entomol.
61(2):349–356, doi 10.5656/KSAE.2022.04.0.023; T0 11.8 °C, K 456.8 by a line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rearing.science.rate_curves import briere_1, briere_2, lactin_2
from rearing.science.rate_fits import PARAMETERS, Curve, fit_curve

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.science.rate_fits import CurveFit
    from rearing.science.rates import Estimate

A_C = np.array([18.0, 21.0, 24.0, 27.0, 30.0, 32.0])
A_DAYS = np.array([79.8, 54.2, 34.3, 28.4, 24.6, 24.0])

WIDE_C = np.array([13.0, 16.0, 19.0, 22.0, 25.0, 27.0, 29.0, 31.0, 33.0, 34.5])
BRIERE_1: dict[str, float] = {"a": 1e-4, "t0_c": 10.0, "limit_c": 35.0}
BRIERE_2: dict[str, float] = {"a": 1e-4, "t0_c": 9.0, "limit_c": 36.0, "m": 3.0}
LACTIN_2: dict[str, float] = {
    "rho": 0.0084,
    "limit_c": 39.0,
    "delta_c": 1.5,
    "shift": -1.08,
}
# the other family of Lactin's curve: two exponentials that nearly cancel
LACTIN_SOFT: dict[str, float] = {
    "rho": 0.15,
    "limit_c": 39.0,
    "delta_c": 6.4,
    "shift": -0.2,
}
FITS: dict[str, tuple[Curve, Callable[..., Any], dict[str, float]]] = {
    "Brière 1": (Curve.BRIERE_1, briere_1, BRIERE_1),
    "Brière 2": (Curve.BRIERE_2, briere_2, BRIERE_2),
    "Lactin": (Curve.LACTIN_2, lactin_2, LACTIN_2),
    "Lactin, soft": (Curve.LACTIN_2, lactin_2, LACTIN_SOFT),
}


def _values(fit: CurveFit) -> dict[str, float]:
    return {name: one.value for name, one in fit.parameters.items()}


@pytest.mark.parametrize("name", FITS)
def test_durations_on_a_curve_give_that_curve_back(name: str) -> None:
    curve, rate, parameters = FITS[name]
    fit = fit_curve(curve, WIDE_C, 1.0 / rate(WIDE_C, **parameters))
    found = _values(fit)
    assert found.keys() == parameters.keys()
    for key, value in parameters.items():
        assert_allclose(found[key], value, rtol=1e-6, err_msg=key)
    assert_allclose(fit.r2, 1.0, atol=1e-12)
    assert (fit.n, fit.coldest_c, fit.warmest_c) == (10, 13.0, 34.5)
    # The data leave no doubt, so neither may the intervals.
    for estimate in fit.parameters.values():
        assert estimate.low == estimate.value == estimate.high


def test_landmarks_of_exact_data_are_the_computed_ones() -> None:
    briere = fit_curve(Curve.BRIERE_1, WIDE_C, 1.0 / briere_1(WIDE_C, **BRIERE_1))
    lactin = fit_curve(Curve.LACTIN_2, WIDE_C, 1.0 / lactin_2(WIDE_C, **LACTIN_2))
    # computed
    assert_allclose(briere.optimum_c.value, 29.20656, atol=6e-6)
    assert lactin.t0_c is not None
    marks = [lactin.t0_c.value, lactin.optimum_c.value, lactin.end_c.value]
    assert_allclose(marks, [9.16203, 32.35519, 36.59875], atol=6e-6)


@settings(deadline=None, max_examples=25)
@given(
    t0_c=st.floats(3, 12),
    limit_c=st.floats(34.6, 40),
    scale=st.floats(2e-5, 4e-4),
)
def test_any_curve_of_brieres_first_kind_comes_back(
    t0_c: float, limit_c: float, scale: float
) -> None:
    days = 1.0 / briere_1(WIDE_C, a=scale, t0_c=t0_c, limit_c=limit_c)
    fit = fit_curve(Curve.BRIERE_1, WIDE_C, days)
    assert_allclose(list(_values(fit).values()), [scale, t0_c, limit_c], rtol=1e-5)


@pytest.mark.parametrize("name", FITS)
def test_the_order_of_the_points_does_not_matter(name: str) -> None:
    curve, rate, parameters = FITS[name]
    rng = np.random.default_rng(7)
    noise = 1 + 0.02 * rng.standard_normal(len(WIDE_C))
    days = noise / rate(WIDE_C, **parameters)
    mixed = rng.permutation(len(WIDE_C))
    one = fit_curve(curve, WIDE_C, days)
    other = fit_curve(curve, WIDE_C[mixed], days[mixed])
    assert_allclose(one.optimum_c.value, other.optimum_c.value, rtol=1e-5)
    assert_allclose(one.noise, other.noise, rtol=1e-6)


def test_a_curve_leaves_less_than_scipys_own_fit_or_as_much() -> None:
    from scipy.optimize import curve_fit

    def rate(celsius: np.ndarray, a: float, t0: float, limit: float) -> np.ndarray:
        room = np.maximum(limit - celsius, 0)
        return np.asarray(a * 1e-5 * celsius * (celsius - t0) * np.sqrt(room))

    values, spread = curve_fit(rate, A_C, 1 / A_DAYS, p0=(3, 12, 38))
    fit = fit_curve(Curve.BRIERE_1, A_C, A_DAYS)
    found = _values(fit)
    assert_allclose(
        [found["a"], found["t0_c"], found["limit_c"]],
        [values[0] * 1e-5, values[1], values[2]],
        rtol=1e-4,
    )
    # The interval of the tangent plane is of about the same width, but not lopsided.
    half = 3.182446 * float(np.sqrt(spread[1, 1]))  # t for 3 degrees, from scipy
    low, high = fit.parameters["t0_c"].low, fit.parameters["t0_c"].high
    assert low is not None
    assert high is not None
    assert_allclose(high - low, 2 * half, rtol=0.25)
    assert fit.parameters["t0_c"].value - low > high - fit.parameters["t0_c"].value


def test_the_bounds_are_where_the_sum_of_squares_says() -> None:
    from scipy import stats
    from scipy.optimize import minimize

    fit = fit_curve(Curve.BRIERE_1, A_C, A_DAYS)
    freedom = len(A_C) - 3
    most = fit.noise**2 * (freedom + stats.t.ppf(0.975, freedom) ** 2)

    def least_with(limit: float) -> float:
        def left(free: np.ndarray) -> float:
            bare = briere_1(A_C, a=1.0, t0_c=float(free[0]), limit_c=limit)
            scale = float(bare @ (1 / A_DAYS)) / float(bare @ bare)
            return float(((scale * bare - 1 / A_DAYS) ** 2).sum()) * 1e6

        found = minimize(left, [12.0], bounds=[(-30, 17.99)], method="Nelder-Mead")
        return float(found.fun) / 1e6

    for bound in (fit.end_c.low, fit.end_c.high):
        assert bound is not None
        assert_allclose(least_with(bound), most, rtol=1e-3)


def test_data_set_a_bends_at_a_lower_threshold_than_its_cold_end() -> None:
    # published durations; all figures computed
    fit = fit_curve(Curve.BRIERE_1, A_C, A_DAYS)
    assert fit.t0_c is not None
    marks = [fit.t0_c.value, fit.optimum_c.value, fit.end_c.value]
    assert_allclose(marks, [12.691, 31.907, 37.903], atol=2e-3)
    assert _holds(fit.t0_c, 11.8)  # published, by the line
    assert fit.r2 > 0.99
    # within the scatter of the durations themselves
    assert_allclose(1 / fit.rate(A_C), A_DAYS, rtol=0.09)


def _holds(estimate: Estimate | None, truth: float) -> bool:
    if estimate is None:
        return True
    low = -np.inf if estimate.low is None else estimate.low
    high = np.inf if estimate.high is None else estimate.high
    return bool(low <= truth <= high)


# computed, as the docstring claims; 3 % scatter of equal size in all rates. Lactin's
# curve holds a little less: data may suit either of its two families.
@pytest.mark.parametrize(
    ("name", "number", "least"),
    [("Brière 1", 150, 0.91), ("Brière 2", 60, 0.86), ("Lactin", 40, 0.78)],
)
def test_intervals_hold_the_truth_about_as_often_as_they_say(
    name: str, number: int, least: float
) -> None:
    curve, true_rate, parameters = FITS[name]
    rng = np.random.default_rng(20260101)
    rate = true_rate(WIDE_C, **parameters)
    fine = np.linspace(0.0, 50.0, 50_001)
    alive = true_rate(fine, **parameters)
    optimum = float(fine[alive.argmax()])
    start = float(fine[alive > 0][0])
    held = []
    for _ in range(number):
        noise = 0.03 * rate.mean() * rng.standard_normal(len(rate))
        fit = fit_curve(curve, WIDE_C, 1.0 / (rate + noise))
        held.append((_holds(fit.optimum_c, optimum), _holds(fit.t0_c, start)))
    shares = np.mean(held, axis=0)
    assert (shares >= least).all()
    if number > 100:  # enough of them to tell 95 from 100
        assert (shares < 1).all()


def test_narrower_data_leave_wider_intervals() -> None:
    rng = np.random.default_rng(3)
    rate = briere_1(WIDE_C, **BRIERE_1)
    days = 1.0 / (rate + 0.02 * rate.mean() * rng.standard_normal(len(WIDE_C)))
    days = np.abs(days)
    whole = fit_curve(Curve.BRIERE_1, WIDE_C, days)
    part = fit_curve(Curve.BRIERE_1, WIDE_C[:-3], days[:-3])
    assert whole.end_c.low is not None
    assert whole.end_c.high is not None
    assert part.end_c.low is not None
    width = whole.end_c.high - whole.end_c.low
    assert part.end_c.high is None or part.end_c.high - part.end_c.low > 3 * width


def test_no_end_is_sought_where_animals_developed() -> None:
    rng = np.random.default_rng(11)
    days = (1 + 0.05 * rng.standard_normal(10)) / briere_2(WIDE_C, **BRIERE_2)
    fit = fit_curve(Curve.BRIERE_2, WIDE_C, days)
    assert fit.end_c.low is not None
    assert fit.end_c.low >= WIDE_C[-1]
    assert fit.t0_c is not None
    assert fit.t0_c.high is not None
    assert fit.t0_c.high <= WIDE_C[0]


def _line(celsius: list[float]) -> tuple[np.ndarray, np.ndarray]:
    degrees = np.array(celsius)
    return degrees, 400.0 / (degrees - 10.0)


@pytest.mark.parametrize("curve", Curve)
def test_too_few_points_are_refused_with_the_number_needed(curve: Curve) -> None:
    needed = PARAMETERS[curve] + 1
    celsius = np.linspace(15.0, 33.0, needed - 1)
    words = f"at least {needed} points, not {needed - 1}"
    with pytest.raises(ValueError, match=words):
        fit_curve(curve, celsius, 1 / briere_1(celsius, **BRIERE_1))


@pytest.mark.parametrize("curve", Curve)
def test_too_few_temperatures_are_refused(curve: Curve) -> None:
    celsius = np.repeat([20.0, 28.0], 4)
    with pytest.raises(ValueError, match=r"different temperatures, not 2"):
        fit_curve(curve, celsius, 1 / briere_1(celsius, **BRIERE_1))


@pytest.mark.parametrize("curve", [Curve.BRIERE_2, Curve.LACTIN_2])
def test_a_straight_rate_gives_no_upper_end(curve: Curve) -> None:
    celsius, days = _line([14, 17, 20, 23, 26, 29])
    with pytest.raises(ValueError, match="no slowing in the heat"):
        fit_curve(curve, celsius, days)


@pytest.mark.parametrize(
    ("celsius", "days", "words"),
    [
        ([15, 20, 25, 30, 33], [30, 0, 15, 14, 15], "point 2 is 0 days"),
        ([15, 20, 25, 30, 33], [30, 20, np.nan, 14, 15], "point 3 is missing"),
        ([15, 20, 25, 30, 33], [15, 16, 20, 22, 30], "does not speed up"),
        ([0, 10, 20, 25, 30], [90, 50, 20, 15, 14], "0 °C and below"),
        ([15, 20, 25], [30, 20, 15, 14], "don't match"),
    ],
)
def test_data_that_give_no_curve_are_refused_in_words(
    celsius: list[float], days: list[float], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        fit_curve(Curve.BRIERE_1, np.array(celsius, float), np.array(days, float))


def test_a_threshold_above_the_coldest_temperature_is_refused() -> None:
    celsius = np.array([12.0, 18.0, 20.0, 24.0, 28.0, 32.0])
    days = np.array([5000.0, 300.0, 47.0, 33.0, 27.0, 26.0])
    with pytest.raises(ValueError, match="start at 12 °C"):
        fit_curve(Curve.BRIERE_1, celsius, days)


def test_an_end_below_the_warmest_temperature_is_refused() -> None:
    celsius = np.array([14.0, 18.0, 22.0, 26.0, 30.0, 34.0])
    days = np.array([100.0, 50.0, 33.3, 25.0, 20.0, 5000.0])
    with pytest.raises(ValueError, match="break off at 34 °C"):
        fit_curve(Curve.BRIERE_1, celsius, days)


@settings(deadline=None, max_examples=40)
@given(
    pairs=st.lists(
        st.tuples(st.integers(40, 400), st.integers(1, 5000)),
        min_size=3,
        max_size=9,
        unique_by=lambda pair: pair[0],
    ),
    curve=st.sampled_from(Curve),
)
def test_any_data_give_bounds_around_a_figure_or_a_refusal(
    pairs: list[tuple[int, int]], curve: Curve
) -> None:
    celsius, days = np.array(pairs, dtype=float).T / 10
    try:
        fit = fit_curve(curve, celsius, days)
    except ValueError:
        return  # what it says is held by the tests of refusals above
    marks = [*fit.parameters.values(), fit.optimum_c, fit.end_c]
    for mark in marks if fit.t0_c is None else [*marks, fit.t0_c]:
        assert np.isfinite(mark.value)
        assert mark.low is None or mark.low <= mark.value
        assert mark.high is None or mark.value <= mark.high
    assert fit.end_c.value > celsius.max()
    assert (np.asarray(fit.rate(celsius)) >= 0).all()
