"""Ladders whose shares are known beforehand, and futures summed only as far as asked.

Each is held against the plain way, which works the same out anew (computed).
"""

from __future__ import annotations

import numpy as np
import pytest

from rearing.science.animals import Lot, ladder
from rearing.science.draws import Passage
from rearing.science.evidence import LADDER, looks, share_passed
from rearing.science.heats import SOON_H, HeatStore
from rearing.science.judging import MISJUDGED, AllLooks
from rearing.science.rungs import Ladder
from rearing.science.seen import Passed, Seen, StageCount
from rearing.science.stages import StageHeat, Track

STAGES = tuple(
    StageHeat(name, 8.0, 1.0, float(np.log(k)), -0.05, 0.2)
    for name, k in (("egg", 90), ("L1", 60), ("L2", 65), ("L3", 80))
)
LOTS = (
    Lot(0, 10.0, 40),
    Lot(1, 300.0, 12),
    Lot(1, 320.0, 9, fresh=False),
    Lot(2, 340.0, 7, fresh=False),
)


def test_shares_of_a_ladder_are_those_worked_out_for_each_draw() -> None:
    spread = np.array([0.4, 0.9, 1.0, 1.7, 3.0])
    plain = list(ladder(LOTS, LADDER, spread).shares(STAGES))
    quick = list(Ladder.of(LOTS, LADDER, STAGES).shares(spread))
    assert len(quick) == len(STAGES)
    for ours, theirs in zip(quick, plain, strict=True):
        whole = np.broadcast_to(theirs, ours.shape)
        np.testing.assert_allclose(ours, whole, rtol=1e-12, atol=1e-12)


def passages(draws: int) -> tuple[Passage, ...]:
    """Two lots through the stages, the second of which starts in L1."""
    rng = np.random.default_rng(4)
    begun, found = np.zeros((draws, 4)), []
    for i in range(len(STAGES)):
        if i == 1:
            begun = np.concatenate((begun, np.full((draws, 4), 150.0)), axis=1)
        left = begun + 100.0 + 10.0 * np.sort(rng.standard_normal(begun.shape), axis=1)
        found.append(Passage(begun, left, left - begun))
        begun = left
    return tuple(found)


def test_looks_are_judged_as_one_after_the_other() -> None:
    order = {stage.stage: i for i, stage in enumerate(STAGES)}
    seen: list[Seen] = [
        StageCount(205 * 3600.0, {"L1": 11, "L2": 6}, {"L1": 4}, 20.0),
        Passed("hatch", 90 * 3600.0, 110 * 3600.0, 9, 20, 0.9),
    ]
    found = looks(seen, order, {"hatch": 0}, 0.0)
    weights, walked = np.array([0.7, 0.3]), passages(6)
    judged = AllLooks.of(found, weights).judge(walked)

    def by(stage: int, hour: float, left: np.ndarray | None = None) -> np.ndarray:
        whole = walked[stage].left if left is None else left
        return np.asarray(share_passed(whole, weights, np.array([hour]))[0])

    hatched = 0.9 * by(0, 110.0)
    early = 0.9 * by(0, 90.0)
    rest = np.maximum(walked[1].left - 20.0, walked[1].begun)
    entered, at_rest, in_l2 = by(0, 205.0), by(1, 205.0, rest), by(1, 205.0)
    in_l3 = by(2, 205.0)
    pot = np.array([early, hatched - early, 1.0 - hatched])
    boxes = np.array(
        [1.0 - entered, entered - at_rest, at_rest - in_l2, in_l2 - in_l3, in_l3]
    )
    read = boxes + MISJUDGED
    moved = 0.01 * (boxes[:-1] - boxes[1:])
    read[:-1] -= moved
    read[1:] += moved
    told = np.log(np.maximum(pot + MISJUDGED, MISJUDGED))
    pots = np.array([0.0, 9.0, 11.0]) / (1 + 19 * 0.05) @ told
    numbers = np.array([0.0, 7.0, 4.0, 6.0, 0.0]) / (1 + 16 * 0.05)
    expected = pots + numbers @ np.log(np.maximum(read, MISJUDGED))
    np.testing.assert_allclose(judged.log_likelihood, expected, rtol=1e-9)


@pytest.mark.parametrize("need", [20.0, 400.0, 900.0, 1500.0])
def test_the_first_months_answer_as_the_whole_future(need: float) -> None:
    hours = np.arange(24 * 240)
    futures = np.stack([c + 4.0 * np.sin(hours / 24 * 2 * np.pi) for c in (15.0, 19.0)])
    track = Track(0.0, np.full(24 * 5, 17.0), 24 * 5 * 3600.0, futures)
    course = HeatStore().heats(STAGES, track).by_stage[0]
    whole = course.ahead
    assert whole is not None
    node, future = np.full((4, 1), 3), np.array([[0], [1], [0], [1]])
    heat = np.full((4, 1), need)
    row = node * 2 + future
    late = need - course.past.ends[3]
    plain = (
        whole.when(row, heat - course.past.ends[3]) * 6 + 24 * 5
        if late > 0
        else course.past.when(node, heat)
    )
    told = course.when(node, future, heat)
    np.testing.assert_allclose(told, plain, atol=1e-6)
    np.testing.assert_allclose(course.at(node, future, told), heat, atol=1e-6)
    assert (told.max() > SOON_H + 24 * 5) == (need > 700)
