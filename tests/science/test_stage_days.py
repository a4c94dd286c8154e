"""Stages read from windows: conservation, order, and the walked draws themselves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.science.stage_days import Leaving, even_levels, stage_days


def leaving(stage: str, number: int, half: float, spread: float = 2.0) -> Leaving:
    rows = [
        (half + rank - spread / 2, half + rank, half + rank + spread / 2)
        for rank in (-3.0, 0.0, 3.0)
    ]
    return Leaving(stage, number, np.array(rows))


@given(
    halves=st.lists(st.floats(0.5, 15), min_size=1, max_size=6),
    numbers=st.lists(st.integers(0, 80), min_size=6, max_size=6),
    spread=st.floats(0, 8),
)
def test_every_animal_stands_in_exactly_one_stage_on_every_day(
    halves: list[float], numbers: list[int], spread: float
) -> None:
    total = np.cumsum([1, *numbers])
    leavings = [
        leaving(f"s{i}", int(total[i]), float(half), spread)
        for i, half in enumerate(np.cumsum(halves))
    ]
    days = np.arange(-10.0, 120.0)
    found = stage_days(leavings, even_levels(16, np.random.default_rng(1)), days)
    assert found.number.sum(axis=1) == pytest.approx(leavings[-1].number, rel=1e-9)
    assert (found.number >= -1e-9).all()


def test_days_in_a_stage_are_the_animals_times_its_length() -> None:
    leavings = [leaving("L1", 50, 5), leaving("L2", 50, 11, 3)]
    days = np.arange(-40, 90, 0.05)
    found = stage_days(leavings, np.array([-1.0, 0.0, 1.4]), days)
    in_l2 = found.number[:, 1].sum(axis=1) * 0.05
    assert in_l2 == pytest.approx(50 * found.length_days[:, 1], rel=1e-3)
    assert found.length_days[1, 1] == pytest.approx(6.0)


def test_an_event_beyond_sight_is_reached_by_nobody() -> None:
    never = Leaving("L1", 9, np.full((3, 3), np.inf))
    found = stage_days([never], np.zeros(3), np.arange(30.0))
    assert (found.number[:, 0] == 9).all()
    assert (found.number[:, 1] == 0).all()


def test_a_lone_animal_changes_on_its_day() -> None:
    row = np.array([4.0, 6.0, 9.0])
    alone = Leaving("L1", 1, np.stack((row, row, row)))
    found = stage_days([alone], np.zeros(1), np.array([5.99, 6.01]))
    assert found.number[0, 0].tolist() == pytest.approx([1.0, 0.0])


def test_no_animal_leaves_a_later_stage_first() -> None:
    with pytest.raises(ValueError, match="fall from one event"):
        stage_days([leaving("L1", 5, 3), leaving("L2", 4, 6)], np.zeros(1), np.ones(1))


def walked() -> tuple[np.ndarray, np.ndarray]:
    """Days on which 400 broods of 160 animals leave egg, L1 .. L5 (computed).

    Brood and animal have a pace each that runs through all of life, stages their own.
    """
    rng = np.random.default_rng(3)
    length = np.array([11.0, 5, 4, 5, 7, 12])
    brood = np.exp(0.12 * rng.standard_normal((400, 1, 1)))
    animal = np.exp(0.06 * rng.standard_normal((400, 160, 1)))
    stage = np.exp(0.04 * rng.standard_normal((400, 160, 6)))
    laid = np.repeat([0.0, 1.0, 2.0, 3.0], 40)[None, :, None]
    left = laid + np.cumsum(length * brood * animal * stage, axis=2)
    return left, np.arange(0.0, 70.0)


def test_windows_give_the_same_numbers_as_the_animals_they_came_from() -> None:
    left, days = walked()
    leavings = []
    for i, stage in enumerate(("egg", "L1", "L2", "L3", "L4", "L5")):
        times = left[:, :, i]
        marks = (times.min(axis=1), np.median(times, axis=1), times.max(axis=1))
        rows = [np.quantile(mark, (0.1, 0.5, 0.9)) for mark in marks]
        leavings.append(Leaving(stage, 160, np.array(rows)))
    levels = even_levels(200, np.random.default_rng(4))
    read = stage_days(leavings, levels, days, after="wandering").number
    gone = (left[:, :, :, None] <= days).sum(axis=1)
    standing = np.diff(gone, axis=1, prepend=160, append=0) * -1
    difference = np.abs(read.mean(axis=0) - standing.mean(axis=0))
    assert difference.max() < 0.04 * 160
    assert difference.mean() < 0.005 * 160
    # and the band over draws is as wide, on the days when L5 stand there
    for low_or_high in (0.1, 0.9):
        mine = np.quantile(read[:, 5], low_or_high, axis=0)
        theirs = np.quantile(standing[:, 5], low_or_high, axis=0)
        assert np.abs(mine - theirs).mean() < 0.05 * 160
