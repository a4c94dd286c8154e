"""Survivorship with leavings, against published output and general libraries."""

from __future__ import annotations

import itertools
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rearing.science.survival import (
    Change,
    Limits,
    kaplan_meier,
    log_rank,
    share_at,
)

FIXTURE = json.loads(
    (Path(__file__).parents[1] / "reference/survival.json").read_text(encoding="utf-8")
)

# published: the 6-MP arm of Freireich et al. 1963, Blood 21:699–716, as listed with
# its survivorship in the examples of the R package KMsurv (data set drug6mp)
DIED = (10, 7, 23, 22, 6, 16, 6, 13, 6)
LEFT = (32, 34, 32, 25, 11, 20, 19, 17, 35, 9, 6, 10)
PUBLISHED = [
    (6, 21, 3, 0.857, 0.0764, 0.720, 1.000),
    (7, 17, 1, 0.807, 0.0869, 0.653, 0.996),
    (10, 15, 1, 0.753, 0.0963, 0.586, 0.968),
    (13, 12, 1, 0.690, 0.1068, 0.510, 0.935),
    (16, 11, 1, 0.627, 0.1141, 0.439, 0.896),
    (22, 7, 1, 0.538, 0.1282, 0.337, 0.858),
    (23, 6, 1, 0.448, 0.1346, 0.249, 0.807),
]


def arm() -> list[Change]:
    return [
        Change(0, came=len(DIED) + len(LEFT)),
        *(Change(week, died=1) for week in DIED),
        *(Change(week, left=1) for week in LEFT),
    ]


def test_the_published_arm_is_reproduced_to_its_last_digit() -> None:
    found = kaplan_meier(arm(), limits=Limits.LOG)
    assert [(s.time, s.at_risk, s.died) for s in found] == [x[:3] for x in PUBLISHED]
    for step, (*_, share, se, low, high) in zip(found, PUBLISHED, strict=True):
        assert round(step.share, 3) == share
        assert round(step.se, 4) == se
        assert round(step.low, 3) == low
        assert round(step.high, 3) == high


# computed: scipy.stats.ecdf, which knows animals censored on the right, not those
# that come late; its limits by the log-log transform as ours
def test_survivorship_and_limits_are_those_of_scipy() -> None:
    from scipy import stats

    seen: Any = stats.CensoredData(uncensored=list(DIED), right=list(LEFT))
    theirs: Any = stats.ecdf(seen).sf
    around = theirs.confidence_interval(0.95, method="log-log")
    for step in kaplan_meier(arm()):
        at = np.searchsorted(theirs.quantiles, step.time)
        assert_allclose(step.share, theirs.probabilities[at], rtol=1e-12)
        assert_allclose(step.low, around.low.probabilities[at], rtol=1e-9)
        assert_allclose(step.high, around.high.probabilities[at], rtol=1e-9)


def test_two_lots_are_compared_as_scipy_compares_them() -> None:
    from scipy import stats

    theirs = stats.logrank(
        stats.CensoredData(uncensored=list(DIED), right=list(LEFT)), [1, 5, 8, 12, 23]
    )
    other = [Change(0, came=5), *(Change(x, died=1) for x in (1, 5, 8, 12, 23))]
    ours = log_rank(arm(), other)
    assert ours is not None
    assert_allclose(ours.chi_square, theirs.statistic**2, rtol=1e-9)
    assert_allclose(ours.p, theirs.pvalue, rtol=1e-9)


def changes(animals: list[tuple[float, int, bool]]) -> list[Change]:
    found = []
    for came, ended, died in animals:
        found += [Change(came, came=1), Change(ended, died=died, left=not died)]
    return found


# computed by lifelines; see tests/reference/make_survival.py
@pytest.mark.parametrize("lot", FIXTURE["lots"])
def test_lots_of_which_some_come_late_and_leave_early(lot: dict[str, Any]) -> None:
    steps = kaplan_meier(changes(lot["animals"]))
    kept = [s for s in steps if s.share > 1e-9]
    assert [(s.time, s.at_risk) for s in kept] == [tuple(x[:2]) for x in lot["steps"]]
    for step, (_, _, share, low, high) in zip(kept, lot["steps"], strict=True):
        assert_allclose([step.share, step.low, step.high], [share, low, high], 1e-9)


# computed by lifelines
@pytest.mark.parametrize("pair", FIXTURE["pairs"])
def test_pairs_of_lots_compared(pair: dict[str, Any]) -> None:
    one, other = (FIXTURE["lots"][pair[key]]["animals"] for key in ("one", "other"))
    found = log_rank(changes(one), changes(other))
    assert found is not None
    assert_allclose([found.chi_square, found.p], [pair["chi_square"], pair["p"]], 1e-8)


def test_nobody_left_alive_and_the_share_is_of_those_that_live() -> None:
    found = kaplan_meier([Change(0, came=64), Change(13, died=39), Change(24, died=3)])
    assert share_at(found, 12) == 1.0
    assert share_at(found, 13) == pytest.approx(25 / 64)
    assert share_at(found, 99) == pytest.approx(22 / 64)


def test_of_a_lot_that_died_out_nothing_is_claimed() -> None:
    (step,) = kaplan_meier([Change(0, came=3), Change(2, died=3)])
    assert (step.share, step.se, step.low, step.high) == (0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ([Change(0, came=2), Change(1, died=3)], "3 die and 0 leave of 2"),
        ([Change(0, came=-1)], "below nought"),
        ([Change(1, died=1), Change(2, came=4)], "1 die and 0 leave of 0"),
    ],
)
def test_more_cannot_die_than_are_there(told: list[Change], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        kaplan_meier(told)


def test_lots_that_never_lived_together_are_not_compared() -> None:
    early = [Change(0, came=2), Change(1, died=2)]
    late = [Change(5, came=2), Change(6, died=1)]
    assert log_rank(early, late) is None


LIVES = st.lists(
    st.tuples(st.integers(0, 5), st.integers(0, 20), st.booleans()),
    min_size=1,
    max_size=30,
)


@given(LIVES, st.randoms(use_true_random=False))
def test_shares_fall_limits_hold_and_order_is_nothing(
    lives: list[tuple[int, int, bool]], shuffler: Any
) -> None:
    told = changes([(came, came + more, died) for came, more, died in lives])
    found = kaplan_meier(told)
    shares = [1.0, *(step.share for step in found)]
    assert all(after <= before for before, after in itertools.pairwise(shares))
    assert all(0 <= s.low <= s.share <= s.high <= 1 for s in found)
    shuffler.shuffle(told)
    assert kaplan_meier(told) == found


@given(LIVES)
def test_without_leavings_the_share_is_a_plain_proportion(
    lives: list[tuple[int, int, bool]],
) -> None:
    told = [Change(0, came=len(lives)), *(Change(x[1], died=1) for x in lives)]
    for step in kaplan_meier(told):
        alive = sum(ended > step.time for _, ended, _ in lives)
        assert step.share == pytest.approx(alive / len(lives), abs=1e-12)
