"""The normal looked up in tables, against scipy's (computed)."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from rearing.science.shares_below import level_at, share_below


def test_shares_are_scipys_to_one_in_a_hundred_thousand() -> None:
    from scipy.special import ndtr

    z = np.linspace(-7.9, 7.9, 9999).reshape(3, -1)
    assert_allclose(share_below(z), ndtr(z), atol=1e-5)
    assert_allclose(share_below(np.array([-np.inf, np.inf])), [0.0, 1.0], atol=1e-12)


def test_levels_are_scipys_to_one_in_ten_thousand() -> None:
    from scipy.special import ndtri

    share = np.concatenate(
        (np.linspace(1e-4, 1 - 1e-4, 9998), [0.02, 0.98, 1e-9, 1 - 1e-9])
    ).reshape(2, -1)
    assert_allclose(level_at(share), ndtri(share), atol=1e-4)


def test_nought_and_one_are_as_far_as_can_be_told() -> None:
    low, high = level_at(np.array([0.0, 1.0])).tolist()
    assert -9.0 < low < -8.0
    assert high == -low


def test_levels_and_shares_undo_each_other() -> None:
    z = np.linspace(-3.0, 3.0, 501)
    assert_allclose(level_at(share_below(z)), z, atol=2e-3)
