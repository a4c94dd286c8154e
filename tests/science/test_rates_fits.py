"""T0 and K fitted to published durations, and intervals that hold what they claim.

Data sets (durations *published*, read in the sources):

A   *Spodoptera frugiperda*, egg to adult. Moon et al. 2022, Korean J. Appl. Entomol.
    61(2):349–356, doi 10.5656/KSAE.2022.04.0.023; T0 11.8 °C, K 456.8.
B   *Narathura bazalus* (a butterfly), hatch to adult, LD 15:9. Inoue & Koyama 2003,
    Trans. Lepid. Soc. Japan 54(3):163–176, doi 10.18984/lepid.54.3_163;
    larva T0 9.0, K 320, pupa T0 9.9, K 171.
B'  the same at LD 12:12; larva T0 6.9, K 384, pupa T0 8.3, K 196.
D   *Streblote panda*. Calvo & Molina 2005, Span. J. Agric. Res. 3(3):319–325; only
    the two end temperatures, 16 and 31 °C, are in the text read; egg T0 7.9.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rearing.science.rates import Estimate, Line, fit_ols, fit_rma, linear_rate

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.science.rates import LineFit

A_C = np.array([18.0, 21.0, 24.0, 27.0, 30.0, 32.0])
A_DAYS = np.array([79.8, 54.2, 34.3, 28.4, 24.6, 24.0])
B_C = np.array([17.0, 20.0, 23.0, 25.0, 28.0])
B_DAYS = np.array([64.0, 47.0, 36.0, 30.0, 27.0])
B_SHORT_DAYS = np.array([61.0, 47.0, 36.0, 32.0, 29.0])

# computed: data, OLS T0, K, r², RMA T0, K
REFITS = {
    "A": (A_C, A_DAYS, 11.879, 454.38, 0.9709, 12.794, 422.05),
    "A, 18–30 °C": (A_C[:5], A_DAYS[:5], 12.822, 410.96, 0.9857, 13.131, 399.35),
    "A, 18–27 °C": (A_C[:4], A_DAYS[:4], 13.419, 380.98, 0.9858, 13.359, 384.21),
    "B": (B_C, B_DAYS, 9.267, 493.62, 0.9895, 9.484, 485.47),
    "B'": (B_C, B_SHORT_DAYS, 7.260, 584.69, 0.9868, 7.817, 562.90),
}


@pytest.mark.parametrize("name", REFITS)
def test_published_durations_refit_to_their_computed_constants(name: str) -> None:
    celsius, days, t0, k, r2, rma_t0, rma_k = REFITS[name]
    ols, rma = fit_ols(celsius, days), fit_rma(celsius, days)
    assert_allclose([ols.t0_c.value, rma.t0_c.value], [t0, rma_t0], atol=6e-4)
    assert_allclose([ols.k_dd.value, rma.k_dd.value], [k, rma_k], atol=6e-3)
    assert_allclose(ols.r2, r2, atol=6e-5)
    assert (ols.line, rma.line) == (Line.OLS, Line.RMA)
    assert (ols.n, ols.coldest_c, ols.warmest_c) == (
        len(days),
        celsius.min(),
        celsius.max(),
    )


def test_data_set_a_comes_back_to_its_published_constants() -> None:
    fit = fit_ols(A_C, A_DAYS)
    # published: 11.8 °C and 456.8 degree-days
    assert_allclose(fit.t0_c.value, 11.8, atol=0.1)
    assert_allclose(fit.k_dd.value, 456.8, rtol=0.006)
    assert _holds(fit.t0_c, 11.8)
    assert _holds(fit.k_dd, 456.8)


# published constants, published durations: the sum of both stages' days
@pytest.mark.parametrize(
    ("days", "larva", "pupa", "predicted"),
    [
        (B_DAYS, (9.0, 320.0), (9.9, 171.0), [64.1, 46.0, 35.9, 31.3, 26.3]),
        (B_SHORT_DAYS, (6.9, 384.0), (8.3, 196.0), [60.5, 46.1, 37.2, 33.0, 28.1]),
    ],
    ids=["B", "B'"],
)
def test_published_constants_predict_the_published_durations(
    days: np.ndarray,
    larva: tuple[float, float],
    pupa: tuple[float, float],
    predicted: list[float],
) -> None:
    total = sum(
        1.0 / linear_rate(B_C, t0_c=t0_c, k_dd=k_dd) for t0_c, k_dd in (larva, pupa)
    )
    assert_allclose(total, predicted, atol=0.051)  # computed
    # published durations; the worst is out by 1.32 days (B at 25 °C, computed)
    assert_allclose(total, days, atol=1.35)


def test_streblote_eggs_at_two_temperatures_agree_on_k_at_the_published_threshold() -> (
    None
):
    # published: 18.0 days at 16 °C, 7.2 at 31 °C, T0 7.9 °C; a line through the two
    # gives 6.0 °C (computed), the published T0 rests on six temperatures
    k = np.array([18.0, 7.2]) * (np.array([16.0, 31.0]) - 7.9)
    assert_allclose(k, [145.8, 166.3], atol=0.05)
    days = 1.0 / linear_rate(np.array([16.0, 31.0]), t0_c=7.9, k_dd=float(k.mean()))
    assert_allclose(days, [18.0, 7.2], rtol=0.08)


@pytest.mark.parametrize("fit", [fit_ols, fit_rma])
@settings(deadline=None)
@given(
    t0_c=st.floats(2, 15),
    k_dd=st.floats(40, 1200),
    above=st.lists(st.integers(2, 20), min_size=3, max_size=8, unique=True),
)
def test_durations_on_a_line_give_that_line_back(
    fit: Callable[..., LineFit], t0_c: float, k_dd: float, above: list[int]
) -> None:
    celsius = t0_c + np.array(above, dtype=float)
    found = fit(celsius, k_dd / (celsius - t0_c))
    assert_allclose(found.t0_c.value, t0_c, rtol=1e-6)
    assert_allclose(found.k_dd.value, k_dd, rtol=1e-6)
    assert_allclose(found.r2, 1.0, atol=1e-9)
    # The data leave no doubt, so neither may the intervals.
    for estimate in (found.t0_c, found.k_dd):
        assert estimate.low is not None
        assert estimate.high is not None
        assert estimate.high - estimate.low <= 1e-4 * estimate.value


def test_slope_and_its_interval_agree_with_scipys_line() -> None:
    from scipy import stats

    line = stats.linregress(A_C, 1.0 / A_DAYS)
    t = stats.t.ppf(0.975, len(A_C) - 2)
    fit = fit_ols(A_C, A_DAYS)
    assert_allclose(fit.k_dd.value, 1 / line.slope)
    assert_allclose(fit.t0_c.value, -line.intercept / line.slope)
    assert_allclose(fit.r2, line.rvalue**2)
    bounds = [1 / (line.slope + t * line.stderr), 1 / (line.slope - t * line.stderr)]
    assert fit.k_dd.low is not None
    assert fit.k_dd.high is not None
    assert_allclose([fit.k_dd.low, fit.k_dd.high], bounds)


def test_the_bounds_of_t0_are_where_the_lines_band_meets_zero() -> None:
    # The 95 % band of the fitted mean rate crosses zero at Fieller's bounds.
    from scipy import stats

    fit = fit_ols(B_C, B_DAYS)
    rate = 1.0 / B_DAYS
    line = stats.linregress(B_C, rate)
    left = rate - line.intercept - line.slope * B_C
    noise = np.sqrt(left @ left / (len(B_C) - 2))
    away = B_C - B_C.mean()
    t = stats.t.ppf(0.975, len(B_C) - 2)
    for bound in (fit.t0_c.low, fit.t0_c.high):
        assert bound is not None
        mean_rate = line.intercept + line.slope * bound
        half = np.sqrt(1 / len(B_C) + (bound - B_C.mean()) ** 2 / (away @ away))
        assert_allclose(abs(mean_rate), t * noise * half, rtol=1e-9)
    assert fit.t0_c.low is not None
    assert fit.t0_c.high is not None
    # Lopsided: the cold side is the less certain one.
    assert fit.t0_c.value - fit.t0_c.low > fit.t0_c.high - fit.t0_c.value


def _holds(estimate: Estimate, truth: float) -> bool:
    low = -np.inf if estimate.low is None else estimate.low
    high = np.inf if estimate.high is None else estimate.high
    return bool(low <= truth <= high)


# computed, as the docstrings claim: 1,000 simulated fits at six temperatures
@pytest.mark.parametrize(
    ("fit", "scatter", "t0_share", "k_share"),
    [
        (fit_ols, "rates", (0.935, 0.965), (0.935, 0.97)),
        (fit_ols, "durations", (0.96, 0.995), (0.93, 0.97)),
        (fit_rma, "durations", (0.92, 0.97), (0.93, 0.97)),
        (fit_rma, "rates", (0.78, 0.85), (0.88, 0.94)),
    ],
    ids=["ols-rates", "ols-durations", "rma-durations", "rma-rates"],
)
def test_intervals_hold_the_truth_as_often_as_they_say(
    fit: Callable[..., LineFit],
    scatter: str,
    t0_share: tuple[float, float],
    k_share: tuple[float, float],
) -> None:
    rng = np.random.default_rng(20211112)
    celsius = np.array([16.0, 19.0, 22.0, 25.0, 28.0, 30.0])
    rate = (celsius - 10.0) / 400.0
    held = np.zeros(2)
    for _ in range(1000):
        noise = rng.standard_normal(len(celsius))
        days = (
            1 / (rate + 0.0015 * noise)
            if scatter == "rates"
            else np.exp(0.05 * noise) / rate
        )
        found = fit(celsius, days)
        held += _holds(found.t0_c, 10.0), _holds(found.k_dd, 400.0)
    shares = held / 1000
    assert t0_share[0] <= shares[0] <= t0_share[1]
    assert k_share[0] <= shares[1] <= k_share[1]


def test_data_that_hardly_slope_set_no_bound() -> None:
    celsius = np.array([20.0, 21.0, 22.0, 23.0])
    fit = fit_ols(celsius, np.array([20.0, 24.0, 18.0, 19.0]))
    assert (fit.t0_c.low, fit.t0_c.high, fit.k_dd.high) == (None, None, None)
    assert fit.k_dd.low is not None
    assert fit.k_dd.low < fit.k_dd.value


@pytest.mark.parametrize("spread", [1.0, 4.0])
def test_t0_has_no_bounds_exactly_where_the_slope_may_be_zero(spread: float) -> None:
    from scipy import stats

    celsius = np.array([16.0, 20.0, 24.0, 28.0])
    rate = 0.05 + 0.004 * (celsius - 22) + spread * np.array([3, -4, -2, 3]) * 1e-3
    line = stats.linregress(celsius, rate)
    may_be_zero = line.slope < stats.t.ppf(0.975, 2) * line.stderr
    assert may_be_zero == (spread == 4.0)
    fit = fit_ols(celsius, 1.0 / rate)
    assert (fit.t0_c.low is None) == may_be_zero
    assert (fit.t0_c.high is None) == may_be_zero
    assert (fit.k_dd.high is None) == may_be_zero


@pytest.mark.parametrize("fit", [fit_ols, fit_rma])
def test_a_threshold_below_freezing_is_found(fit: Callable[..., LineFit]) -> None:
    celsius = np.array([6.0, 11.0, 17.0, 24.0])
    found = fit(celsius, 300.0 / (celsius + 4.0))
    assert_allclose([found.t0_c.value, found.k_dd.value], [-4.0, 300.0])
    noisy = fit(celsius, 300.0 / (celsius + 4.0) * np.array([1.02, 0.98, 1.01, 0.99]))
    assert noisy.t0_c.low is not None
    assert noisy.t0_c.high is not None
    assert noisy.t0_c.low < noisy.t0_c.value < noisy.t0_c.high


@pytest.mark.parametrize("fit", [fit_ols, fit_rma])
@pytest.mark.parametrize(
    ("celsius", "days", "words"),
    [
        ([18, 24], [30, 15], "at least 3 points, not 2"),
        ([20, 20, 20], [30, 29, 31], "All temperatures are 20 °C"),
        ([18, 21, 24], [30, 0, 15], "point 2 is 0 days"),
        ([18, 21, 24], [30, 22, -3], "point 3 is -3 days"),
        ([18, 21, 24], [15, 22, 30], "does not speed up with warmth"),
        ([18, 21, 24], [30, np.nan, 15], "duration of point 2 is missing"),
        ([np.inf, 21, 24], [30, 20, 15], "temperature of point 1 is missing"),
        ([18, 21, 24], [30, 20], "3 temperatures don't match 2 durations"),
    ],
)
def test_data_that_give_no_line_are_refused_in_words(
    fit: Callable[..., LineFit],
    celsius: list[float],
    days: list[float],
    words: str,
) -> None:
    with pytest.raises(ValueError, match=words):
        fit(np.array(celsius, dtype=float), np.array(days, dtype=float))


def test_equal_durations_are_refused_whatever_rounding_makes_of_them() -> None:
    celsius = np.array([11.3, 16.1, 22.7, 29.9, 33.1])
    for days in (0.2, 0.3, 7.0, 2000.1):
        with pytest.raises(ValueError, match="does not speed up"):
            fit_ols(celsius, np.full(5, days))


def test_equal_durations_give_no_threshold() -> None:
    celsius, days = np.array([18.0, 21.0, 24.0]), np.array([20.0, 20.0, 20.0])
    with pytest.raises(ValueError, match="does not speed up"):
        fit_ols(celsius, days)
    with pytest.raises(ValueError, match="All durations are equal"):
        fit_rma(celsius, days)
