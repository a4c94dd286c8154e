"""How T0 moves with the temperature range a line is fitted to.

Data set A: *Spodoptera frugiperda* egg to adult, Moon et al. 2022, Korean J. Appl.
Entomol. 61(2):349–356 (published durations); every refit is *computed*.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from rearing.science.rate_ranges import fits_by_range, temperature_steps
from rearing.science.rates import fit_ols, fit_rma

A_C = np.array([18.0, 21.0, 24.0, 27.0, 30.0, 32.0])
A_DAYS = np.array([79.8, 54.2, 34.3, 28.4, 24.6, 24.0])


def test_t0_of_data_set_a_moves_with_the_range() -> None:
    found = {(f.coldest_c, f.warmest_c): f for f in fits_by_range(A_C, A_DAYS)}
    # computed: T0 and K by OLS, T0 and K by RMA
    expected = {
        (18.0, 32.0): (11.879, 454.38, 12.794, 422.05),
        (18.0, 30.0): (12.822, 410.96, 13.131, 399.35),
        (18.0, 27.0): (13.419, 380.98, 13.359, 384.21),
    }
    for ends, (t0, k, rma_t0, rma_k) in expected.items():
        one = found[ends]
        assert one.ols is not None
        assert one.rma is not None
        assert_allclose(
            [one.ols.t0_c.value, one.rma.t0_c.value], [t0, rma_t0], atol=6e-4
        )
        assert_allclose([one.ols.k_dd.value, one.rma.k_dd.value], [k, rma_k], atol=6e-3)


def test_every_unbroken_range_of_three_or_more_is_there_once() -> None:
    found = fits_by_range(A_C, A_DAYS)
    ends = [(f.coldest_c, f.warmest_c) for f in found]
    assert len(ends) == len(set(ends)) == 10  # 4 + 3 + 2 + 1
    assert [f.n for f in found] == [6, 5, 5, 4, 4, 4, 3, 3, 3, 3]
    assert ends[:3] == [(18.0, 32.0), (18.0, 30.0), (21.0, 32.0)]
    for one in found:
        used = (one.coldest_c <= A_C) & (one.warmest_c >= A_C)
        assert one.ols == fit_ols(A_C[used], A_DAYS[used])
        assert one.rma == fit_rma(A_C[used], A_DAYS[used])


def test_broods_at_one_temperature_stay_together() -> None:
    celsius = np.array([18.0, 22.0, 22.0, 26.0, 26.0])
    days = np.array([30.0, 21.0, 20.0, 15.5, 16.0])
    found = fits_by_range(celsius, days)
    assert [(f.coldest_c, f.warmest_c, f.n) for f in found] == [(18.0, 26.0, 5)]


def test_temperatures_a_logger_cannot_tell_apart_are_one_step() -> None:
    celsius = np.array([20.3, 18.0, 20.1, 25.0, 20.6, 18.4])
    steps = temperature_steps(celsius)
    assert steps == ((18.0, 18.4), (20.1, 20.3), (20.6, 20.6), (25.0, 25.0))
    days = 200.0 / (celsius - 9.0)
    assert len(fits_by_range(celsius, days)) == 3  # of 4 steps: 1 of 4, 2 of 3


def test_a_range_without_a_line_says_why() -> None:
    celsius = np.array([18.0, 22.0, 26.0, 30.0, 34.0])
    days = np.array([30.0, 20.0, 14.0, 16.0, 22.0])
    found = {(f.coldest_c, f.warmest_c): f for f in fits_by_range(celsius, days)}
    assert found[26.0, 34.0].ols is None
    assert "does not speed up" in found[26.0, 34.0].refused
    assert found[18.0, 26.0].ols is not None
    assert found[18.0, 26.0].refused == ""


def test_fewer_than_three_temperatures_give_no_range() -> None:
    assert fits_by_range(np.array([18.0, 18.0, 22.0]), np.array([9.0, 8.0, 6.0])) == ()


def test_data_that_are_wrong_as_a_whole_are_refused() -> None:
    with pytest.raises(ValueError, match="point 2 is -1 days"):
        fits_by_range(np.array([18.0, 20.0, 22.0]), np.array([9.0, -1.0, 6.0]))
