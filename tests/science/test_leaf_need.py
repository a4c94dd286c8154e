"""Leaf of a simulated cohort against a published table of leaf by instar."""

from __future__ import annotations

import numpy as np
import pytest

from rearing.science.leaf import (
    appetites,
    eaten_by_stage,
    last_instar_share,
    to_cut,
)
from rearing.science.stage_days import Leaving, even_levels, stage_days
from rearing.sheets.shelf import load_all
from rearing.terms import INSTARS

# King 1911, Farmers of Forty Centuries, p. 313 (public domain, en.wikisource.org
# Page:Farmers_of_forty_centuries.djvu/331): pounds of leaf for 700,000 silkworms in
# the first to fifth age. Published.
POUNDS = (105, 315, 1050, 3150, 19215)
WORMS = 700_000
GRAMS_A_POUND = 453.59237

# Days in each age, middle of the ranges: American Cyclopaedia 1879, vol. XV. Published
# (moult days; the length of an age is their difference, derived).
DAYS = (4.5, 3.5, 5.5, 9.0, 10.0)


def cohort() -> list[Leaving]:
    """700,000 worms hatched within three days, each age of the published length."""
    reached = np.cumsum((1.5, *DAYS))
    lateness = np.array([-2.5, 0.0, 2.5])
    return [
        Leaving(
            stage,
            WORMS,
            (day + lateness)[:, None] + np.array([-1.0, 0.0, 1.0]) * (1 + i / 2),
        )
        for i, (stage, day) in enumerate(
            zip(("egg", *INSTARS[:5]), reached, strict=True)
        )
    ]


def eaten_pounds() -> tuple[np.ndarray, np.ndarray]:
    sheet = load_all().get("Bombyx mori")
    assert sheet is not None
    grams = [0.0, *(sheet.leaf_g[instar].middle for instar in INSTARS[:5]), 0.0]
    levels = even_levels(80, np.random.default_rng(7))
    standing = stage_days(cohort(), levels, np.arange(-10.0, 70.0), after="wandering")
    eaten = eaten_by_stage(standing, grams, [np.nan] * 7)
    return eaten, eaten.sum(axis=2).mean(axis=0) / GRAMS_A_POUND


def test_silkworms_eat_what_was_published_age_by_age() -> None:
    _, pounds = eaten_pounds()
    assert pounds[1:6] == pytest.approx(POUNDS, rel=0.01)
    assert pounds.sum() == pytest.approx(23_835, rel=0.01)


def test_the_last_instar_takes_its_published_share() -> None:
    # 80.6 % by King 1911; 81 % of the energy in Antheraea mylitta (Science Vision
    # 13(3), art. 75); 82.9 % by the middles of a modern school table. Together 80-83 %.
    eaten, _ = eaten_pounds()
    assert 0.80 <= last_instar_share(eaten, 5) <= 0.83


def test_the_last_two_instars_take_more_than_nine_tenths() -> None:
    eaten, _ = eaten_pounds()  # 93.8 % by King 1911
    both = last_instar_share(eaten, 4) + last_instar_share(eaten, 5)
    assert 0.93 <= both <= 0.95


def test_a_stage_half_done_eats_half_of_it() -> None:
    row = np.array([5.0, 5.0, 5.0])
    leaving = Leaving("L5", 60, np.stack((row, row, row)))
    standing = stage_days([leaving], np.zeros(1), np.arange(0.0, 20.0, 0.01) + 0.005)
    eaten = eaten_by_stage(standing, [120.0, 0.0], [10.0, 1.0], day_length=0.01)
    # 60 large larvae eat 120 g each in L5 (common practice, no source)
    assert eaten.sum() == pytest.approx(60 * 120 / 2, rel=1e-3)


def test_a_stage_that_feeds_wants_a_length() -> None:
    leaving = Leaving("L5", 6, np.zeros((3, 3)))
    standing = stage_days([leaving], np.zeros(1), np.arange(3.0))
    with pytest.raises(ValueError, match="no length"):
        eaten_by_stage(standing, [120.0, 0.0], [np.nan, 1.0])


def test_more_is_cut_than_eaten() -> None:
    assert to_cut(np.array([100.0]), 1.6).tolist() == pytest.approx([160.0])
    with pytest.raises(ValueError, match="below 1"):
        to_cut(np.array([100.0]), 0.9)


def test_nobody_eats_more_than_a_stages_leaf() -> None:
    """60 larvae of which 11 are in the last instar already, as in a real brood."""
    leavings = [
        Leaving("L3", 6, np.add.outer([-1.0, 0.0, 1.0], np.full(3, 2.0))),
        Leaving("L4", 49, np.add.outer([-5.0, 0.0, 7.0], np.full(3, 5.0))),
        Leaving("L5", 60, np.add.outer([-14.0, 0.0, 9.0], np.full(3, 15.0))),
    ]
    levels = even_levels(50, np.random.default_rng(3))
    standing = stage_days(leavings, levels, np.arange(0.5, 80.0), after="wandering")
    grams = [6.7, 16.0, 120.0, 0.0]
    eaten = eaten_by_stage(standing, grams, [4.0, 6.0, 11.0, 1.0]).sum(axis=2)
    most = np.array([6 * 6.7, 49 * 16.0, 60 * 120.0, 0.0])
    assert (eaten <= most + 1e-6).all()
    assert eaten[:, 2].mean() > 0.8 * most[2]


def test_appetites_keep_the_mean_and_hold_four_of_five() -> None:
    levels = even_levels(1000, np.random.default_rng(4))
    found = appetites(levels, 1.25)
    assert found.mean() == pytest.approx(1.0)
    # the tenth and ninetieth hundredth of a log-normal lie a spread from its median
    low, middle, high = np.quantile(found, (0.1, 0.5, 0.9))
    assert high / middle == pytest.approx(1.25, rel=0.01)
    assert middle / low == pytest.approx(1.25, rel=0.01)
    assert appetites(levels, 1.0) == pytest.approx(np.ones(1000))
    with pytest.raises(ValueError, match=r"spread 0.9 is below 1"):
        appetites(levels, 0.9)
