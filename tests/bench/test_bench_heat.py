"""A million days of degree-days, against the bare arithmetic in the same run."""

from __future__ import annotations

from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from rearing.science.heat import Method, degree_days, hourly

if TYPE_CHECKING:
    from collections.abc import Callable

Array = NDArray[np.float64]
DAYS = 1_000_000
LOWER, UPPER = 10.0, 30.0


def weather() -> tuple[Array, Array]:
    rng = np.random.default_rng(5)
    low = rng.normal(9.0, 6.0, DAYS)
    return low, low + rng.gamma(4.0, 2.5, DAYS)


def bare_sine(low: Array, high: Array) -> Array:
    """The formula alone: no holes, no checks, one mask."""
    mean, half = (low + high) / 2, (high - low) / 2

    def area(threshold: float) -> Array:
        cut = np.clip((threshold - mean) / half, -1.0, 1.0)
        angle = np.arcsin(cut)
        return ((mean - threshold) * (np.pi / 2 - angle) + half * np.cos(angle)) / np.pi

    return area(LOWER) - area(UPPER)


def best_of(run: Callable[[], object], times: int = 3) -> float:
    taken = []
    for _ in range(times):
        start = perf_counter()
        run()
        taken.append(perf_counter() - start)
    return min(taken)


# computed on two shared cores: single 1.6, double 3.4 times the bare kernel (40 ms),
# which draws one wave a day where the double draws two
@pytest.mark.parametrize(
    ("method", "most"), [(Method.SINGLE_SINE, 3.0), (Method.DOUBLE_SINE, 6.0)]
)
def test_a_million_days_cost_little_more_than_the_bare_formula(
    method: Method, most: float
) -> None:
    low, high = weather()
    found = degree_days(low, high, lower_c=LOWER, upper_c=UPPER, method=method)
    if method is Method.SINGLE_SINE:
        assert_allclose(found, bare_sine(low, high), atol=1e-9)
    bare = best_of(lambda: bare_sine(low, high))
    ours = best_of(
        lambda: degree_days(low, high, lower_c=LOWER, upper_c=UPPER, method=method)
    )
    assert ours < most * bare, f"{ours / bare:.1f} times the bare kernel"


# computed on two shared cores: 2.8 times the bare kernel, 54 ms in all
def test_a_million_readings_cost_little_more_than_adding_them_up() -> None:
    rng = np.random.default_rng(6)
    at = np.arange(DAYS) * 600.0
    celsius = rng.normal(15.0, 6.0, DAYS)
    edges = np.arange(DAYS // 144 + 1) * 86_400.0

    def bare() -> Array:
        day = np.searchsorted(edges, at, side="right") - 1
        counted = np.clip(celsius, LOWER, UPPER) - LOWER
        return np.bincount(day, weights=counted) / 144

    def ours() -> Array:
        return hourly(at, celsius, edges, lower_c=LOWER, upper_c=UPPER).degree_days

    assert_allclose(ours(), bare()[: len(edges) - 1], rtol=1e-9)
    ratio = best_of(ours) / best_of(bare)
    assert ratio < 6.0, f"{ratio:.1f} times the bare kernel"
