"""Every daily method and cutoff against numerical integration of its curve."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad

from rearing.science.heat import Cutoff, Method, degree_days

if TYPE_CHECKING:
    from collections.abc import Callable

DAILY = [m for m in Method if m is not Method.HOURLY]
LOWER, UPPER = 10.0, 27.0


def curve(
    method: Method, low: float, high: float, after: float
) -> Callable[[float], float]:
    """Return the temperature at a part of the day: minimum at 0, maximum at ½."""
    if not method.needs_next_minimum:
        after = low

    def at(x: float) -> float:
        night = low if x < 0.5 else after
        rise = 2 * x if x < 0.5 else 2 - 2 * x
        if method is Method.AVERAGE:
            return (low + high) / 2
        if method is Method.CLAMPED_AVERAGE:
            return high if 0.25 <= x < 0.75 else low
        if method in {Method.SINGLE_TRIANGLE, Method.DOUBLE_TRIANGLE}:
            return night + (high - night) * rise
        return (night + high) / 2 - (high - night) / 2 * math.cos(math.pi * rise)

    return at


def rate(degrees: float, upper: float | None, cutoff: Cutoff) -> float:
    """Return the degrees that count at one moment."""
    if degrees <= LOWER:
        return 0.0
    if upper is None or degrees <= upper:
        return degrees - LOWER
    return {
        Cutoff.HORIZONTAL: upper - LOWER,
        Cutoff.INTERMEDIATE: upper - LOWER - (degrees - upper),
        Cutoff.VERTICAL: 0.0,
    }[cutoff]


def crossings(at: Callable[[float], float], upper: float | None) -> list[float]:
    """Return where the curve has corners or crosses a threshold."""
    from scipy.optimize import brentq

    marks = [0.0, 0.25, 0.5, 0.75, 1.0]
    found = list(marks)
    for a, corner in pairwise(marks):
        b = math.nextafter(corner, a)  # stay on this side of a step
        for threshold in (LOWER, *([] if upper is None else [upper])):
            ends = at(a) - threshold, at(b) - threshold
            if ends[0] * ends[1] < 0:
                found.append(brentq(lambda x, t=threshold: at(x) - t, a, b))
    return sorted(found)


def integral(
    at: Callable[[float], float], upper: float | None, cutoff: Cutoff
) -> float:
    total = 0.0
    for a, b in pairwise(crossings(at, upper)):
        # The open middle of a piece, so that no piece sees beyond its corner.
        inside = (b - a) * 1e-12
        total += quad(
            lambda x: rate(at(x), upper, cutoff), a + inside, b - inside, epsabs=1e-10
        )[0]
    return max(0.0, total)


temperatures = st.floats(-15, 45).map(lambda t: round(t, 3))


@pytest.mark.parametrize("cutoff", Cutoff)
@pytest.mark.parametrize("method", DAILY)
@settings(deadline=None, max_examples=40)
@given(
    one=temperatures,
    other=temperatures,
    after=temperatures,
    upper=st.sampled_from([UPPER, 15.5, None]),
)
def test_the_closed_form_is_the_area_under_the_curve(
    method: Method,
    cutoff: Cutoff,
    one: float,
    other: float,
    after: float,
    upper: float | None,
) -> None:
    low, high = sorted((one, other))
    ceiling = None if method is Method.AVERAGE else upper
    found = degree_days(
        low,
        high,
        lower_c=LOWER,
        upper_c=upper,
        method=method,
        cutoff=cutoff,
        next_low_c=after,
    )
    # The next minimum may lie above today's maximum: a warm front in the night.
    expected = integral(curve(method, low, high, after), ceiling, cutoff)
    assert_allclose(found, expected, rtol=0, atol=2e-6)


@pytest.mark.parametrize("cutoff", Cutoff)
@pytest.mark.parametrize("method", DAILY)
def test_a_season_of_random_days_agrees_with_integration(
    method: Method, cutoff: Cutoff
) -> None:
    rng = np.random.default_rng(20210612)
    low = rng.normal(9, 7, 40)
    high = low + rng.gamma(3, 4, 40)
    found = degree_days(
        low, high, lower_c=LOWER, upper_c=UPPER, method=method, cutoff=cutoff
    )
    after = [*low[1:], low[-1]]
    # The plain average passes its upper threshold over.
    ceiling = None if method is Method.AVERAGE else UPPER
    expected = [
        integral(curve(method, *day), ceiling, cutoff)
        for day in zip(low, high, after, strict=True)
    ]
    assert max(expected) > 5
    assert_allclose(found, expected, rtol=0, atol=2e-6)
