"""A hundred broods forecast, against the bare look-ups they cannot do without."""

from __future__ import annotations

from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.science.cohort import StageHeat, Start, Track, windows

if TYPE_CHECKING:
    from collections.abc import Callable

BROODS, DRAWS = 100, 400
HOURS = np.arange(24 * 200)
CELSIUS = 18.0 + 5.0 * np.sin(2 * np.pi * (HOURS - 9) / 24)
STAGES = (
    StageHeat("egg", 9.0, 1.0, float(np.log(80))),
    *(
        StageHeat(f"L{i}", 7.0, 1.0, float(np.log(70)), group="larva")
        for i in range(1, 6)
    ),
    StageHeat("wandering", 7.0, 1.0, float(np.log(40)), group="larva"),
    StageHeat("pupa", 9.0, 1.0, float(np.log(250)), upper_c=30.0),
)
STARTS = tuple(Start(86400.0 * i, "egg", n) for i, n in enumerate((96, 52, 14)))
ANIMALS = 18  # the ranks that stand for three nights of eggs, as the forecast has it
NODES = 7


def forecast() -> None:
    track = Track(0.0, CELSIUS, 0.0)
    for seed in range(BROODS):
        rng = np.random.default_rng(seed)
        windows(STAGES, STARTS, track, rng, on_s=0.0, draws=DRAWS)


def bare_kernel() -> None:
    """The same curves summed and the same number of look-ups, and nothing else."""
    rng = np.random.default_rng(0)
    needs = rng.uniform(0.0, 700.0, (DRAWS, ANIMALS))
    raised = 3000.0 * rng.integers(0, NODES, (DRAWS, 1))
    for _ in range(BROODS):
        for t0_c in (9.0, 7.0, 9.0):
            t0 = t0_c + np.linspace(-1.5, 1.5, NODES)
            heat = np.maximum(CELSIUS[None, :] - t0[:, None], 0.0).cumsum(axis=1) / 24
            flat = (heat + 3000.0 * np.arange(NODES)[:, None]).ravel()
        for _ in STAGES:
            np.searchsorted(flat, needs + raised)


def best_of(times: int, job: Callable[[], None]) -> float:
    """Seconds of the quickest run."""
    took = []
    for _ in range(times):
        begun = perf_counter()
        job()
        took.append(perf_counter() - begun)
    return min(took)


@pytest.mark.slow
def test_a_hundred_broods_cost_at_most_three_bare_kernels() -> None:
    forecast()
    kernel, whole = best_of(3, bare_kernel), best_of(3, forecast)
    print(  # noqa: T201 - shown with -s: the figure is what a benchmark is for
        f"\n{BROODS} broods: {whole:.3f} s, bare kernel {kernel:.3f} s, "
        f"ratio {whole / kernel:.2f}"
    )
    assert whole <= 3.0 * kernel
