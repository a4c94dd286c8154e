"""Mixtures at equal distances, against scipy's normal and against each by itself."""

from __future__ import annotations

import numpy as np
from numpy.testing import assert_allclose

from rearing.science.even_mixture import EvenMixtures, Told

LEAST = 0.01
STARTS = ((2, 0.3), (4, 0.2), (3, 0.6), (7, 0.27), (5, 0.14))


def widths(spread: float = 0.05, each: int = 15, seed: int = 3) -> np.ndarray:
    """Return invented larvae of five instars at a ratio of 1.4 (computed) [mm]."""
    rng = np.random.default_rng(seed)
    means = np.repeat(0.6 * 1.4 ** np.arange(5), each)
    return np.round(means * np.exp(spread * rng.standard_normal(len(means))), 3)


def test_the_density_is_the_sum_of_the_normals() -> None:
    from scipy.stats import norm

    log = np.linspace(-1.0, 1.0, 40)
    mixtures = EvenMixtures.about(Told.of(log), STARTS, LEAST)
    share, density = mixtures.shares(log)
    for i, (count, step) in enumerate(STARTS):
        means = mixtures.begin[i] + step * np.arange(count)
        each = norm.pdf(log, means[:, None], step / 6) / count  # computed by scipy
        assert_allclose(density[i], np.log(each.sum(axis=0)), rtol=1e-9)
        assert_allclose(share[i, :count], each / each.sum(axis=0), atol=1e-12)
        assert (share[i, count:] == 0).all()


def test_many_at_once_come_where_each_comes_by_itself() -> None:
    told = Told.of(np.log(widths()))
    together = EvenMixtures.about(told, STARTS, LEAST).climbed(told, 200, LEAST)
    for i, start in enumerate(STARTS):
        alone = EvenMixtures.about(told, [start], LEAST).climbed(told, 200, LEAST)
        assert_allclose(together.bic[i], alone.bic[0], rtol=1e-9)
        assert_allclose(together.step[i], alone.step[0], rtol=1e-6)


def test_no_move_makes_what_was_measured_less_likely() -> None:
    told = Told.of(np.log(widths()))
    begun = EvenMixtures.about(told, STARTS, LEAST)
    bic = np.stack([begun.climbed(told, n, LEAST).bic for n in range(1, 30)])
    assert (np.diff(bic, axis=0) <= 1e-8).all()


def test_a_value_measured_often_counts_as_often() -> None:
    log = np.log(widths())
    once = Told.of(log)
    thrice = Told.of(np.repeat(log, 3))
    assert_allclose(thrice.many, 3 * once.many)
    one = EvenMixtures.about(once, STARTS, LEAST).climbed(once, 5, LEAST)
    three = EvenMixtures.about(thrice, STARTS, LEAST).climbed(thrice, 5, LEAST)
    assert_allclose(one.step, three.step)
    assert_allclose(one.spread, three.spread)


def test_one_normal_alone_is_no_series() -> None:
    told = Told.of(np.log(widths()))
    found = EvenMixtures.about(told, [(1, 0.3)], LEAST).climbed(told, 3, LEAST)
    assert np.isinf(found.bic).all()
