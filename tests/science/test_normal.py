"""The normal distribution against SciPy and the standard library."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy import special

from rearing.science.normal import ndtr, ndtri


def test_shares_below_agree_with_scipy_over_the_whole_line() -> None:
    z = np.concatenate((np.linspace(-8.0, 9.0, 40_001), [-0.6629126, 0.6629126]))
    assert_allclose(ndtr(z), special.ndtr(z), rtol=1e-14, atol=0)
    # far out the rounding of z itself is multiplied by z
    far = np.linspace(-37.0, -8.0, 4_001)
    assert_allclose(ndtr(far), special.ndtr(far), rtol=1e-13, atol=0)


def test_scores_agree_with_scipy_from_the_far_tail_to_the_other() -> None:
    tail = np.logspace(-300, -3, 4_000)
    share = np.concatenate((tail, np.linspace(0.001, 0.999, 20_001), 1 - tail[2_500:]))
    inside = (share > 0) & (share < 1)
    assert_allclose(
        ndtri(share[inside]), special.ndtri(share[inside]), rtol=4e-15, atol=1e-15
    )


@pytest.mark.parametrize("share", [1e-9, 0.02425, 0.075, 0.1, 0.5, 0.8, 0.925, 0.9999])
def test_scores_agree_with_the_standard_library(share: float) -> None:
    assert_allclose(ndtri(share), NormalDist().inv_cdf(share), rtol=1e-14, atol=1e-15)


def test_ends_and_what_is_no_number_are_kept() -> None:
    assert_array_equal(ndtr([-np.inf, np.inf, np.nan]), [0.0, 1.0, np.nan])
    assert_array_equal(
        ndtri([0.0, 1.0, np.nan, -0.1, 1.1]), [-np.inf, np.inf, np.nan, np.nan, np.nan]
    )


def test_a_single_number_and_a_table_keep_their_shape() -> None:
    assert ndtr(0.0).shape == ()
    assert ndtri(np.full((3, 4), 0.3)).shape == (3, 4)
