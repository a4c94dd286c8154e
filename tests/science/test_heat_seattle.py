"""Degree-days on real weather: Seattle, as vega_datasets ships it.

Daily minima and maxima 2012 to 2015 against xclim's growing degree-days (fixture made
by tests/reference/make_growing_degree_days.py), and an hourly year, where every daily
method is measured against the sum of that day's readings.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from numpy.testing import assert_allclose
from vega_datasets import local_data

from rearing.science.heat import Cutoff, Method, average, degree_days, hourly

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Hours = tuple[NDArray[np.float64], NDArray[np.float64]]

FIXTURE = Path(__file__).parents[1] / "reference" / "growing_degree_days.json"
MADE = json.loads(FIXTURE.read_text(encoding="utf-8"))


@pytest.mark.parametrize("threshold", MADE["degree_days_by_threshold_c"])
def test_the_simple_average_equals_xclims_growing_degree_days(threshold: str) -> None:
    table = local_data.seattle_weather()
    heat = average(
        table["temp_min"].to_numpy(dtype=np.float64),
        table["temp_max"].to_numpy(dtype=np.float64),
        lower_c=float(threshold),
    )
    month = table["date"].to_numpy().astype("datetime64[M]")
    months, index = np.unique(month, return_inverse=True)
    found = np.bincount(index, weights=heat)
    assert [str(m) for m in months] == MADE["months"]
    expected = MADE["degree_days_by_threshold_c"][threshold]
    assert len(expected) == 48
    assert sum(expected) > 1000
    assert_allclose(found, expected, rtol=0, atol=2e-6)


@pytest.fixture(scope="module")
def hours() -> Hours:
    """Return the hourly year: seconds and °C."""
    table = local_data.seattle_temps()
    at = table["date"].to_numpy().astype("datetime64[s]").astype(np.float64)
    return at, (table["temp"].to_numpy(dtype=np.float64) - 32.0) / 1.8


# computed on this year's 365 days, °C d a day: mean difference from the hourly sum
# and root mean square, then what the year's total is out by [%]
MEASURED = (
    (10.0, None, Cutoff.HORIZONTAL, "average", 0.034, 0.283, 1.2),
    (10.0, None, Cutoff.HORIZONTAL, "clamped-average", 0.276, 0.377, 9.8),
    (10.0, None, Cutoff.HORIZONTAL, "single-triangle", 0.112, 0.203, 4.0),
    (10.0, None, Cutoff.HORIZONTAL, "double-triangle", 0.113, 0.198, 4.0),
    (10.0, None, Cutoff.HORIZONTAL, "single-sine", 0.153, 0.218, 5.4),
    (10.0, None, Cutoff.HORIZONTAL, "double-sine", 0.153, 0.214, 5.4),
    (10.0, 20.0, Cutoff.HORIZONTAL, "clamped-average", 0.094, 0.454, 3.5),
    (10.0, 20.0, Cutoff.HORIZONTAL, "single-triangle", 0.146, 0.251, 5.4),
    (10.0, 20.0, Cutoff.HORIZONTAL, "double-triangle", 0.147, 0.247, 5.5),
    (10.0, 20.0, Cutoff.HORIZONTAL, "single-sine", 0.132, 0.197, 4.9),
    (10.0, 20.0, Cutoff.HORIZONTAL, "double-sine", 0.132, 0.193, 4.9),
    (10.0, 20.0, Cutoff.INTERMEDIATE, "clamped-average", -0.088, 0.763, -3.5),
    (10.0, 20.0, Cutoff.INTERMEDIATE, "single-triangle", 0.180, 0.309, 7.1),
    (10.0, 20.0, Cutoff.INTERMEDIATE, "double-triangle", 0.181, 0.306, 7.1),
    (10.0, 20.0, Cutoff.INTERMEDIATE, "single-sine", 0.111, 0.190, 4.4),
    (10.0, 20.0, Cutoff.INTERMEDIATE, "double-sine", 0.111, 0.186, 4.4),
    # A vertical cutoff asks for the shape of the day; the averages don't have one.
    (10.0, 20.0, Cutoff.VERTICAL, "clamped-average", -0.436, 1.373, -22.3),
    (10.0, 20.0, Cutoff.VERTICAL, "single-triangle", 0.190, 0.383, 9.7),
    (10.0, 20.0, Cutoff.VERTICAL, "double-triangle", 0.191, 0.381, 9.8),
    (10.0, 20.0, Cutoff.VERTICAL, "single-sine", 0.011, 0.271, 0.6),
    (10.0, 20.0, Cutoff.VERTICAL, "double-sine", 0.011, 0.269, 0.6),
)


def off_by(
    hours: Hours,
    lower: float,
    upper: float | None,
    method: Method,
    cutoff: Cutoff,
) -> tuple[NDArray[np.float64], float]:
    """Return each day's difference from the hourly sum, and that sum's total."""
    at, celsius = hours
    edges = at[0] + np.arange(366) * 86_400.0
    day = ((at - at[0]) // 86_400).astype(int)
    low, high = np.full(365, np.inf), np.full(365, -np.inf)
    np.minimum.at(low, day, celsius)
    np.maximum.at(high, day, celsius)
    summed = hourly(at, celsius, edges, lower_c=lower, upper_c=upper, cutoff=cutoff)
    assert not np.isnan(summed.degree_days).any()
    found = degree_days(
        low, high, lower_c=lower, upper_c=upper, method=method, cutoff=cutoff
    )
    return found - summed.degree_days, float(summed.degree_days.sum())


@pytest.mark.parametrize("row", MEASURED, ids=lambda r: f"{r[3]}-{r[2]}-{r[1]}")
def test_daily_methods_differ_from_hourly_sums_by_what_was_measured(
    hours: Hours,
    row: tuple[float, float | None, Cutoff, str, float, float, float],
) -> None:
    lower, upper, cutoff, method, mean, rms, percent = row
    off, total = off_by(hours, lower, upper, Method(method), cutoff)
    assert_allclose(off.mean(), mean, atol=6e-4)
    assert_allclose(np.sqrt((off**2).mean()), rms, atol=6e-4)
    assert_allclose(100 * off.sum() / total, percent, atol=0.06)


@pytest.mark.parametrize("cutoff", Cutoff)
def test_the_curves_come_nearer_the_readings_than_the_averages(
    hours: Hours, cutoff: Cutoff
) -> None:
    def error(method: Method) -> float:
        return float(np.abs(off_by(hours, 10.0, 20.0, method, cutoff)[0]).mean())

    averages = error(Method.AVERAGE), error(Method.CLAMPED_AVERAGE)
    curves = [error(m) for m in Method if "sine" in m or "triangle" in m]
    assert max(curves) < min(averages)
    assert max(curves) < 0.5
