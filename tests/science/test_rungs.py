"""Ladders whose shares are known beforehand, and futures summed only as far as asked.

Each is held against the plain way, which works the same out anew (computed).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.science.animals import Lot, ladder
from rearing.science.cohort import events
from rearing.science.draws import walk
from rearing.science.evidence import LADDER, looks
from rearing.science.heats import SOON_H, HeatStore
from rearing.science.judging import MISJUDGED, AllLooks
from rearing.science.normal import ndtri
from rearing.science.rungs import Ladder
from rearing.science.seen import Passed, Seen, StageCount
from rearing.science.stages import StageHeat, Track
from rearing.science.unknowns import Unknowns

if TYPE_CHECKING:
    from rearing.science.heats import Heats
    from rearing.science.unknowns import Paces

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


TRACK = Track(
    0.0, 17.0 + 6.0 * np.sin(np.arange(24 * 90) / 24 * 2 * np.pi), 24 * 90 * 3600.0
)
ORDER = {stage.stage: i for i, stage in enumerate(STAGES)}
ENDS = {event: i for i, event in enumerate(events(STAGES))}


def laid_out(stages: tuple[StageHeat, ...] = STAGES) -> tuple[Ladder, Heats]:
    heats = HeatStore().heats(stages, TRACK)
    return Ladder.of(LOTS, LADDER, stages, heats), heats


def draws(stages: tuple[StageHeat, ...], heats: Heats, number: int = 30) -> Paces:
    unknowns = Unknowns.of(stages)
    z = unknowns.draw(np.random.default_rng(2), number)
    per_heat = [course.days_per_heat for course in heats.by_stage]
    return unknowns.paces(stages, z, per_heat)


def test_shares_of_a_ladder_are_those_worked_out_for_each_draw() -> None:
    spread = np.array([0.4, 0.9, 1.0, 1.7, 3.0])
    plain = list(ladder(LOTS, LADDER, spread).shares(STAGES))
    quick = laid_out()[0].shares(spread)
    assert len(quick) == len(STAGES)
    for ours, theirs in zip(quick, plain, strict=True):
        lots = theirs.shape[1] // len(LADDER)
        whole = np.broadcast_to(theirs, (len(spread), theirs.shape[1]))
        parted = whole.reshape(len(spread), lots, len(LADDER)).T
        np.testing.assert_allclose(ours[:, :lots], parted, rtol=1e-12, atol=1e-12)


GROUPED = tuple(
    replace(stage, t0_c=7.0, group="larva") if i else stage
    for i, stage in enumerate(STAGES)
)
CHILLED = (*STAGES[:2], replace(STAGES[2], chill_hours=30.0), STAGES[3])


@pytest.mark.parametrize("stages", [STAGES, GROUPED, CHILLED])
def test_what_share_has_come_so_far_is_what_a_thousand_animals_walked_tell(
    stages: tuple[StageHeat, ...],
) -> None:
    """Against animals of every rank, each walked hour by hour along its own heat."""
    rungs, heats = laid_out(stages)
    paces = draws(stages, heats)
    ranks = (np.arange(1000) + 0.5) / 1000
    many = ladder(LOTS, ndtri(ranks), paces.spread)
    walked = walk(stages, heats, paces, many, np.zeros(30, dtype=np.intp))
    asks = [(i, h, 0.0) for i in range(4) for h in (200.0, 390.0, 640.0, 800.0)]
    asks += [(1, 390.0, 20.0), (2, 640.0, 36.0)]
    found = rungs.ranks(rungs.points(asks), paces, heats.cold)
    off = []
    for (stage, hour, before), ours in zip(asks, found, strict=True):
        left, begun = walked[stage].left, walked[stage].begun
        came = np.maximum(left - before, begun) if before else left
        lots = came.shape[1] // 1000
        plain = (came.reshape(30, lots, 1000) <= hour).mean(axis=2).T
        off.append(np.abs(ours[:lots] - plain))
        assert (ours[lots:] > 1 - 1e-12).all()
    # a lot somewhere within its stage is not normal: between rungs it is off by more
    assert max(one.max() for one in off) < 0.09
    assert np.mean([one.mean() for one in off]) < 0.005


def test_looks_are_judged_as_one_after_the_other() -> None:
    seen: list[Seen] = [
        StageCount(400 * 3600.0, {"L1": 11, "L2": 6}, {"L1": 4}, 20.0),
        Passed("hatch", 190 * 3600.0, 310 * 3600.0, 9, 20, 0.9),
    ]
    found = looks(seen, ORDER, ENDS, 0.0)
    rungs, heats = laid_out()
    paces = draws(STAGES, heats, 6)
    weights = np.array([lot.number for lot in LOTS]) / sum(x.number for x in LOTS)
    laid = AllLooks.of(found, weights)
    judged = laid.judge(rungs.ranks(rungs.points(laid.asks), paces, heats.cold))

    def by(stage: int, hour: float, before: float = 0.0) -> np.ndarray:
        points = rungs.points([(stage, hour, before)])
        return np.asarray(weights @ rungs.ranks(points, paces, heats.cold)[0])

    hatched = 0.9 * by(0, 310.0)
    early = 0.9 * by(0, 190.0)
    entered, at_rest, in_l2 = by(0, 400.0), by(1, 400.0, 20.0), by(1, 400.0)
    in_l3 = by(2, 400.0)
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
