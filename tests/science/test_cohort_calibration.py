"""Broods of known truth, every animal by itself: how often the windows held them."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest
from numpy.typing import NDArray

from rearing.science.animals import INDIVIDUAL_CV, STAGE_CV
from rearing.science.cohort import EventWindow, StageHeat, Start, Track, windows
from rearing.science.unknowns import PACE_SHARE, T0_SHARE

BROODS = 500
HOUR_S = 3600.0
HOURS = np.arange(24 * 240)
STAGES = (
    StageHeat("egg", 9.0, 2.0, float(np.log(80)), -0.074, 0.30),
    *(
        StageHeat(f"L{i}", 7.0, 1.5, float(np.log(90)), -0.05, 0.20, group="larva")
        for i in (1, 2, 3)
    ),
    StageHeat("pupa", 9.0, 2.0, float(np.log(220)), -0.075, 0.25),
)

Floats = NDArray[np.float64]


def weather(rng: np.random.Generator) -> Floats:
    """A spring and summer with spells of its own."""
    season = 16.0 + 4.0 * np.sin(2 * np.pi * (HOURS / 24 - 60) / 365)
    day = 5.0 * np.sin(2 * np.pi * (HOURS - 9) / 24)
    spells = np.repeat(0.2 * np.cumsum(rng.standard_normal(len(HOURS) // 24)), 24)
    return np.asarray(season + day + spells, dtype=np.float64)


def true_brood(
    rng: np.random.Generator, celsius: Floats, numbers: list[int]
) -> list[Floats]:
    """Hours at which every animal ends each stage, thresholds not held to nodes."""
    brood = rng.standard_normal(2)
    own = {stage.group or stage.stage: rng.standard_normal(2) for stage in STAGES}
    share = np.array([T0_SHARE, PACE_SHARE])
    now = np.repeat(24.0 * np.arange(len(numbers)), numbers)
    pace = 1 + INDIVIDUAL_CV * rng.standard_normal(len(now))
    ends = []
    for stage in STAGES:
        z_t0, z_k = (
            np.sqrt(share) * brood
            + np.sqrt(1 - share) * own[stage.group or stage.stage]
        )
        above_c = stage.t0_sd_c * z_t0
        ln_k = stage.ln_k + stage.ln_k_per_c * above_c + stage.ln_k_sd * z_k
        need = np.exp(ln_k) * pace * (1 + STAGE_CV * rng.standard_normal(len(now)))
        hourly = np.maximum(celsius - stage.t0_c - above_c, 0.0) / 24
        heat = np.concatenate(([0.0], np.cumsum(hourly)))
        places = np.arange(len(heat), dtype=np.float64)
        sought = np.interp(now, places, heat) + need
        now = np.where(sought > heat[-1], np.inf, np.interp(sought, heat, places))
        ends.append(now)
    return ends


def held(window: EventWindow, hours: Floats) -> dict[str, bool]:
    truth = {"first": hours.min(), "half": np.median(hours), "last": hours.max()}
    answer = {}
    for name, hour in truth.items():
        interval = getattr(window, name)
        if interval is None:
            answer[name] = bool(np.isinf(hour))
        else:
            high_s = np.inf if interval.open_end else interval.high_s
            answer[name] = bool(interval.low_s <= hour * HOUR_S <= high_s)
    return answer


@pytest.mark.slow
@pytest.mark.parametrize("unhatched_until_h", [0.0, 9 * 24.0])
def test_windows_hold_about_four_broods_in_five(unhatched_until_h: float) -> None:
    rng = np.random.default_rng(7)
    tally: dict[tuple[str, str], list[bool]] = defaultdict(list)
    while len(tally["hatch", "half"]) < BROODS:
        celsius = weather(rng)
        numbers = [int(n) for n in rng.integers(3, 90, 3)]
        truth = true_brood(rng, celsius, numbers)
        if truth[0].min() < unhatched_until_h:
            continue
        found = windows(
            STAGES,
            [Start(86400.0 * i, "egg", n) for i, n in enumerate(numbers)],
            Track(0.0, celsius, 0.0),
            rng,
            on_s=0.0,
            not_before={"hatch": unhatched_until_h * HOUR_S},
        )
        for window, hours in zip(found, truth, strict=True):
            for name, was in held(window, hours).items():
                tally[window.event, name].append(was)
    shares = {key: float(np.mean(was)) for key, was in tally.items()}
    assert min(shares.values()) >= 0.75, shares
    assert max(shares.values()) <= 0.85, shares
    assert len(shares) == 15
