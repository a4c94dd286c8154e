"""Degree-days of single days, cell by cell.

Tags: *published* cells were read in the source named; *computed* ones are our own
arithmetic (closed form against numerical integration of the curve), so they guard
the code against change and are nobody's table.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from rearing.science.heat import (
    Cutoff,
    Method,
    average,
    clamped_average,
    degree_days,
    double_sine,
    double_triangle,
    single_sine,
    single_triangle,
)

FLAT, SLOW, HALT = Cutoff.HORIZONTAL, Cutoff.INTERMEDIATE, Cutoff.VERTICAL

# computed, °F, lower 50, upper 88 ("simple" without an upper threshold):
# min, max, simple, clamped, triangle and sine under the three cutoffs
FAHRENHEIT = (
    (36, 48, 0, 0, 0, 0, 0, 0, 0, 0),
    (40, 60, 0, 5.000, 2.500, 2.500, 2.500, 3.183, 3.183, 3.183),
    (44, 56, 0, 3.000, 1.500, 1.500, 1.500, 1.910, 1.910, 1.910),
    (45, 75, 10.000, 12.500, 10.417, 10.417, 10.417, 10.882, 10.882, 10.882),
    (48, 72, 10.000, 11.000, 10.083, 10.083, 10.083, 10.247, 10.247, 10.247),
    (50, 70, 10.000, 10.000, 10.000, 10.000, 10.000, 10.000, 10.000, 10.000),
    (50, 90, 20.000, 19.000, 19.950, 19.900, 18.050, 19.809, 19.618, 14.354),
    (60, 80, 20.000, 20.000, 20.000, 20.000, 20.000, 20.000, 20.000, 20.000),
    (60, 100, 30.000, 24.000, 28.200, 26.400, 16.800, 27.117, 24.235, 13.095),
    (70, 100, 35.000, 29.000, 32.600, 30.200, 17.400, 31.630, 28.259, 15.065),
    (75, 95, 35.000, 31.500, 33.775, 32.550, 20.475, 33.173, 31.345, 17.858),
    (88, 100, 44.000, 38.000, 38.000, 32.000, 0, 38.000, 32.000, 0),
    (90, 104, 47.000, 38.000, 38.000, 29.000, 0, 38.000, 29.000, 0),
)

# computed, °C, lower 10, upper 30; columns as above
CELSIUS = (
    (2, 9, 0, 0, 0, 0, 0, 0, 0, 0),
    (4, 16, 0, 3.000, 1.500, 1.500, 1.500, 1.910, 1.910, 1.910),
    (6, 14, 0, 2.000, 1.000, 1.000, 1.000, 1.273, 1.273, 1.273),
    (12, 28, 10.000, 10.000, 10.000, 10.000, 10.000, 10.000, 10.000, 10.000),
    (31, 38, 24.500, 20.000, 20.000, 15.500, 0, 20.000, 15.500, 0),
)

CELLS = [(50.0, 88.0, *row) for row in FAHRENHEIT] + [
    (10.0, 30.0, *row) for row in CELSIUS
]

# computed, °F, lower 50, upper 88: min, max, next min,
# triangle and sine under the three cutoffs
DOUBLE = (
    (45, 75, 40, 9.673, 9.673, 9.673, 10.361, 10.361, 10.361),
    (45, 75, 55, 12.708, 12.708, 12.708, 12.941, 12.941, 12.941),
    (40, 60, 48, 3.333, 3.333, 3.333, 3.768, 3.768, 3.768),
)


@pytest.mark.parametrize("cell", CELLS, ids=lambda c: f"{c[2]}-{c[3]}")
def test_each_method_gives_its_computed_cell(cell: tuple[float, ...]) -> None:
    lower, upper, low, high, *expected = cell
    found = [
        average(low, high, lower_c=lower),
        clamped_average(low, high, lower_c=lower, upper_c=upper),
        *(
            method(low, high, lower_c=lower, upper_c=upper, cutoff=cutoff)
            for method in (single_triangle, single_sine)
            for cutoff in (FLAT, SLOW, HALT)
        ),
    ]
    assert_allclose(found, expected, rtol=0, atol=5.01e-4)


@pytest.mark.parametrize("cell", DOUBLE, ids=lambda c: f"{c[0]}-{c[1]}-{c[2]}")
def test_the_double_methods_give_their_computed_cells(cell: tuple[float, ...]) -> None:
    low, high, after, *expected = cell
    found = [
        method(low, high, after, lower_c=50.0, upper_c=88.0, cutoff=cutoff)
        for method in (double_triangle, double_sine)
        for cutoff in (FLAT, SLOW, HALT)
    ]
    assert_allclose(found, expected, rtol=0, atol=5.01e-4)


def test_a_column_of_days_gives_what_its_days_give_one_by_one() -> None:
    low = np.array([row[0] for row in FAHRENHEIT], dtype=float)
    high = np.array([row[1] for row in FAHRENHEIT], dtype=float)
    found = degree_days(
        low, high, lower_c=50.0, upper_c=88.0, method=Method.SINGLE_SINE, cutoff=HALT
    )
    assert_allclose(found, [row[9] for row in FAHRENHEIT], rtol=0, atol=5.01e-4)


# published: University of California citrus guideline (mean 64 °F, threshold 53 °F:
# 11 degree-days); University of Kentucky ENTFACT-123, Bessin & Villanueva (mean
# 49 °F, threshold 48 °F: 1 degree-day). The spread about the mean is ours.
@pytest.mark.parametrize(
    ("mean", "threshold", "expected"), [(64.0, 53.0, 11.0), (49.0, 48.0, 1.0)]
)
@pytest.mark.parametrize("spread", [0.0, 6.0, 17.0])
def test_the_simple_average_gives_the_published_examples(
    mean: float, threshold: float, expected: float, spread: float
) -> None:
    assert average(mean - spread, mean + spread, lower_c=threshold) == expected


def met_service(low: float, high: float, base: float) -> float:
    """Return the four-case rule published by Met Éireann (climate data page)."""
    mean = (low + high) / 2
    if low >= base:
        return mean - base
    if high <= base:
        return 0.0
    if mean >= base:
        return (high - base) / 2 - (base - low) / 4
    return (high - base) / 4


# The rule is published, the cells are computed from it.
MET_SERVICE_CELLS = (
    (12.0, 20.0, 10.0, 6.0),
    (5.0, 9.0, 10.0, 0.0),
    (6.0, 18.0, 10.0, 3.0),
    (4.0, 14.0, 10.0, 1.0),
    (8.0, 12.0, 10.0, 0.5),
    (10.0, 25.0, 15.5, 3.375),
    (12.0, 18.0, 15.5, 0.625),
)


@pytest.mark.parametrize(("low", "high", "base", "cell"), MET_SERVICE_CELLS)
def test_the_curves_stay_near_the_weather_services_rule_of_thumb(
    low: float, high: float, base: float, cell: float
) -> None:
    assert met_service(low, high, base) == cell
    for method in (single_triangle, single_sine):
        found = method(low, high, lower_c=base)
        if low >= base or high <= base:
            assert found == cell
        else:
            # A rule of four straight pieces; widest here 0.37 (triangle, computed).
            assert abs(found - cell) < 0.4


@pytest.mark.parametrize("cutoff", [FLAT, SLOW, HALT])
def test_the_simple_average_knows_no_upper_threshold(cutoff: Cutoff) -> None:
    heat = average(20.0, 40.0, lower_c=10.0, upper_c=28.0, cutoff=cutoff)
    assert heat == 20.0


def test_a_cutoff_acts_on_each_end_in_the_clamped_average() -> None:
    days = {"low_c": 14.0, "high_c": 34.0, "lower_c": 10.0, "upper_c": 30.0}
    assert clamped_average(**days, cutoff=FLAT) == (4 + 20) / 2
    assert clamped_average(**days, cutoff=SLOW) == (4 + 16) / 2
    assert clamped_average(**days, cutoff=HALT) == (4 + 0) / 2
