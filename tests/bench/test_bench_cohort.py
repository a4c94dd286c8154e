"""A hundred broods sharpened and forecast, against bare look-ups of the same shape.

The bare kernel sums the same heat once and looks up, with numpy's binary search, what
must be looked up one by one: every draw judged once as far as anything was seen, and
every draw walked once to the end. It knows nothing of animals, looks or windows.
"""

from __future__ import annotations

from dataclasses import replace
from time import process_time
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.science.cohort import (
    HeatStore,
    Passed,
    StageCount,
    StageHeat,
    Start,
    Track,
    windows,
)
from rearing.science.scenarios import indoors

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

BROODS, DRAWS = 100, 500
DAY_S, HOUR_S = 86400.0, 3600.0
NODES, STEP_H = 7, 6
NOW_H, AHEAD_H = 24 * 40, 24 * 200
ANIMALS, RUNGS, SEEN_STAGES = 25, 12, 4
"""Columns that stand for three nights of eggs seen in two stages, in the forecast and
when it is judged by what was seen as far as L4."""

STAGES = (
    StageHeat("egg", 9.0, 1.0, float(np.log(90)), -0.07, 0.2),
    *(
        StageHeat(f"L{i}", 7.0, 1.0, float(np.log(k)), -0.05, 0.2, 32.0, 0.0, "larva")
        for i, k in enumerate((55, 60, 70, 90, 140), 1)
    ),
    StageHeat("wandering", 7.0, 1.0, float(np.log(45)), -0.05, 0.2, 32.0),
    StageHeat("pupa", 9.0, 1.0, float(np.log(250)), -0.07, 0.2),
)
SPECIES = tuple(
    tuple(replace(stage, t0_c=stage.t0_c + step) for stage in STAGES)
    for step in (-1.0, 0.0, 1.0)
)
STARTS = tuple(Start(DAY_S * i, "egg", n) for i, n in enumerate((60, 40, 14)))
SEEN = (
    Passed("hatch", 7 * DAY_S, 8 * DAY_S, 50, 114, 0.9),
    Passed("hatch", 8 * DAY_S, 10 * DAY_S, 52, 114, 0.9),
    StageCount(17 * DAY_S, {"L1": 20, "L2": 78}),
    StageCount(22 * DAY_S, {"L2": 24, "L3": 72}),
    StageCount(27 * DAY_S, {"L3": 50, "L4": 45}),
)


def places() -> list[Track]:
    rng = np.random.default_rng(1)
    found = []
    for set_point_c in (18.0, 19.0, 20.0, 21.0):
        hours = np.arange(NOW_H)
        past = set_point_c + 2.0 * np.sin(2 * np.pi * (hours - 9) / 24)
        ahead = indoors(set_point_c, HOUR_S * NOW_H, AHEAD_H, rng, recent=past)
        found.append(Track(0.0, past, HOUR_S * NOW_H, ahead.celsius))
    return found


def forecast(broods: int) -> None:
    store, tracks = HeatStore(), places()
    for i in range(broods):
        rng = np.random.default_rng(i)
        windows(
            SPECIES[i % 3],
            STARTS,
            tracks[i % 4],
            rng,
            on_s=HOUR_S * NOW_H,
            draws=DRAWS,
            seen=SEEN,
            store=store,
        )


def bare_kernel(broods: int) -> None:
    """The same heat summed once, then as many look-ups, and nothing else."""
    rng = np.random.default_rng(0)
    sums: dict[tuple[int, float], tuple[NDArray[np.float64], float]] = {}
    tracks = places()
    rows = rng.integers(0, NODES * 16, (DRAWS, 1))
    needs = rng.uniform(0.0, 500.0, (DRAWS, ANIMALS))
    judged = needs[:, :RUNGS]
    for i in range(broods):
        for k, stage in enumerate(SPECIES[i % 3]):
            key = (i % 4, stage.t0_c)
            if key not in sums:
                sums[key] = summed(tracks[i % 4], stage)
            raised, step = sums[key]
            np.searchsorted(raised, needs + step * rows)
            if k <= SEEN_STAGES:
                np.searchsorted(raised, judged + step * rows)


def summed(track: Track, stage: StageHeat) -> tuple[NDArray[np.float64], float]:
    assert track.futures is not None
    t0 = stage.t0_c + np.linspace(-1.5, 1.5, NODES)
    hours = np.maximum(track.futures[None] - t0[:, None, None], 0.0) / 24
    steps = np.add.reduceat(hours, np.arange(0, AHEAD_H, STEP_H), axis=2)
    heat = steps.reshape(NODES * 16, -1).cumsum(axis=1)
    step = float(heat[:, -1].max()) + 1.0
    return (heat + step * np.arange(len(heat))[:, None]).ravel(), step


def best_of(times: int, job: Callable[[int], None], broods: int) -> float:
    """Seconds of the processor in the quickest run."""
    took = []
    for _ in range(times):
        begun = process_time()
        job(broods)
        took.append(process_time() - begun)
    return min(took)


@pytest.mark.slow
def test_a_hundred_broods_cost_at_most_two_bare_kernels() -> None:
    forecast(4)
    kernel, whole = best_of(3, bare_kernel, BROODS), best_of(2, forecast, BROODS)
    print(  # noqa: T201 - shown with -s: the figure is what a benchmark is for
        f"\n{BROODS} broods: {whole:.3f} s, bare kernel {kernel:.3f} s, "
        f"ratio {whole / kernel:.2f}"
    )
    assert whole <= 2.0 * kernel


@pytest.mark.slow
def test_twice_the_broods_cost_twice_as_much() -> None:
    forecast(4)
    some, twice = best_of(3, forecast, 25), best_of(3, forecast, 50)
    print(f"\n25 broods {some:.3f} s, 50 broods {twice:.3f} s")  # noqa: T201 - as above
    assert twice <= 2.4 * some
