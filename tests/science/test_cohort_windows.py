"""Windows against exact cases, published durations, a worked story and integrals."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from scipy.integrate import quad

from rearing.science.cohort import EventWindow, StageHeat, Start, Track, windows

DAY_S = 86400.0
HOUR_S = 3600.0


def sharp(stage: str, t0_c: float, k_dd: float, **more: float) -> StageHeat:
    """A stage of which nothing is doubtful."""
    return StageHeat(stage, t0_c, 0.0, float(np.log(k_dd)), ln_k_sd=0.0, **more)  # type: ignore[arg-type]


def steady(celsius: float, days: int) -> Track:
    return Track(0.0, np.full(24 * days, celsius), 0.0)


def by_event(
    stages: list[StageHeat], starts: list[Start], track: Track, **more: object
) -> dict[str, EventWindow]:
    rng = np.random.default_rng(11)
    found = windows(stages, starts, track, rng, on_s=0.0, **more)  # type: ignore[arg-type]
    return {window.event: window for window in found}


def half_days(window: EventWindow) -> float:
    assert window.half is not None
    return window.half.middle_s / DAY_S


@pytest.mark.parametrize("celsius", [13.0, 17.5, 22.0, 29.0])
def test_steady_warmth_lands_on_k_over_t_less_t0_to_the_hour(celsius: float) -> None:
    stages = [sharp("egg", 9, 80), sharp("L1", 7, 60), sharp("pupa", 10, 200)]
    found = by_event(stages, [Start(0.0, "egg", 500)], steady(celsius, 200))
    due = np.cumsum([80 / (celsius - 9), 60 / (celsius - 7), 200 / (celsius - 10)])
    halves = [half_days(found[event]) for event in ("hatch", "pupate", "emerge")]
    np.testing.assert_allclose(halves, due, atol=1 / 24)


def test_with_the_usual_spread_the_middle_is_within_a_day() -> None:
    stages = [StageHeat("egg", 9, 1.0, float(np.log(80)), -0.074, 0.15)]
    found = by_event(stages, [Start(0.0, "egg", 120)], steady(17.0, 100))
    assert half_days(found["hatch"]) == pytest.approx(10.0, abs=1.0)


def test_no_faster_above_the_upper_limit() -> None:
    stages = [sharp("egg", 10, 100, upper_c=30)]
    found = by_event(stages, [Start(0.0, "egg", 500)], steady(36.0, 30))
    assert half_days(found["hatch"]) == pytest.approx(5.0, abs=1 / 24)


MOON_ET_AL_2022 = [
    # Moon et al. 2022, Korean J. Appl. Entomol. 61(2):349-356,
    # doi 10.5656/KSAE.2022.04.0.023, Spodoptera frugiperda: egg to adult, °C and days.
    (18, 79.8),
    (21, 54.2),
    (24, 34.3),
    (27, 28.4),
    (30, 24.6),
    (32, 24.0),
]


@pytest.mark.parametrize(("celsius", "days"), MOON_ET_AL_2022)
def test_stage_constants_of_spodoptera_give_the_published_durations(
    celsius: float, days: float
) -> None:
    # Same source: egg 12.9 / 37.0, larva 11.3 / 286.3, pupa 12.6 / 132.2; over all
    # stages 11.8 / 456.8. That line itself misses the six durations by up to 9 %.
    stages = [
        sharp("egg", 12.9, 37.0),
        sharp("larva", 11.3, 286.3),
        sharp("pupa", 12.6, 132.2),
    ]
    found = by_event(stages, [Start(0.0, "egg", 500)], steady(celsius, 150))
    line_misses = max(abs(456.8 / (t - 11.8) / d - 1) for t, d in MOON_ET_AL_2022)
    assert half_days(found["emerge"]) == pytest.approx(days, rel=line_misses + 0.01)


def test_windows_of_the_usual_spread_hold_the_durations_of_spodoptera() -> None:
    held = []
    for celsius, days in MOON_ET_AL_2022:
        stages = [
            StageHeat("egg", 12.9, 0.5, float(np.log(37.0)), -0.074),
            StageHeat("larva", 11.3, 0.5, float(np.log(286.3)), -0.05),
            StageHeat("pupa", 12.6, 0.5, float(np.log(132.2)), -0.075),
        ]
        track = steady(celsius, 300)
        half = by_event(stages, [Start(0.0, "egg", 100)], track)["emerge"].half
        assert half is not None
        held.append(half.low_s <= days * DAY_S <= half.high_s)
    assert sum(held) >= 5


@pytest.mark.parametrize(
    ("celsius", "days", "computed"),
    [(17, 64, 64.1), (20, 47, 46.0), (23, 36, 35.9), (25, 30, 31.3), (28, 27, 26.3)],
)
def test_narathura_bazalus_from_hatch_to_adult(
    celsius: float, days: float, computed: float
) -> None:
    # Inoue & Koyama 2003, Trans. Lepid. Soc. Japan 54(3):163-176, LD 15:9: larva
    # 9.0 / 320, pupa 9.9 / 171, observed days. `computed`: 320/(T-9) + 171/(T-9.9).
    stages = [sharp("larva", 9.0, 320), sharp("pupa", 9.9, 171)]
    found = by_event(stages, [Start(0.0, "larva", 500)], steady(celsius, 120))
    assert half_days(found["emerge"]) == pytest.approx(computed, abs=0.08)
    assert half_days(found["emerge"]) == pytest.approx(days, abs=1.4)


def the_held_eggs() -> tuple[list[Start], Track]:
    """Eggs of three nights on a porch, in the cellar, then on a warm shelf.

    An invented brood: 3 days at 14°, 14 days at 11°, then 18°. With T0 8 and K 130
    it has 60 degree-days on the shelf and wants 70 more at ten a day: 21 April.
    """
    noon = datetime(2021, 3, 28, 12, tzinfo=UTC).timestamp()
    numbers = [96, 52, 14]
    starts = [Start(noon + i * DAY_S, "egg", n) for i, n in enumerate(numbers)]
    celsius = np.repeat([14.0, 11.0, 18.0], [3 * 24, 14 * 24, 40 * 24])
    return starts, Track(noon, celsius, noon + 17 * DAY_S)


def test_eggs_held_back_hatch_on_the_21st_of_april() -> None:
    starts, track = the_held_eggs()
    stages = [StageHeat("egg", 8.0, 0.0, float(np.log(130)), ln_k_sd=0.18)]
    rng = np.random.default_rng(5)
    (hatch,) = windows(
        stages, starts, track, rng, on_s=track.start_s + 17 * DAY_S, draws=2000
    )
    assert hatch.number == 162
    assert hatch.half is not None
    low, middle, high = (
        datetime.fromtimestamp(at_s, UTC)
        for at_s in (hatch.half.low_s, hatch.half.middle_s, hatch.half.high_s)
    )
    assert (middle.month, middle.day) == (4, 21)
    assert (
        datetime(2021, 4, 18, tzinfo=UTC) < low < datetime(2021, 4, 19, 12, tzinfo=UTC)
    )
    assert (
        datetime(2021, 4, 24, tzinfo=UTC) < high < datetime(2021, 4, 25, 12, tzinfo=UTC)
    )
    # 130 - 3 x 6 - 14 x 3 = 70 for an egg of the first night, 76 and 82 for others:
    # the middle of all that is 73 (computed).
    assert hatch.heat_to_go_dd == pytest.approx(73.0, abs=3.0)


def test_a_warm_and_cold_day_agrees_with_the_integral_of_the_rate() -> None:
    def celsius(hour: float) -> float:
        return float(12.0 + 7.0 * np.sin(2 * np.pi * (hour - 9) / 24))

    track = Track(0.0, np.array([celsius(h + 0.5) for h in range(24 * 60)]), 0.0)
    found = by_event([sharp("egg", 9.0, 100)], [Start(0.0, "egg", 500)], track)
    due_h = half_days(found["hatch"]) * 24
    whole_days, rest_h = divmod(due_h, 24)

    def gathers(hour: float) -> float:
        return max(celsius(hour) - 9.0, 0.0) / 24

    # The rate has a kink where the day crosses the threshold: integrate by pieces.
    kink = float(24 / (2 * np.pi) * np.arcsin(-3 / 7))
    kinks = (9 + kink, 21 - kink)
    a_day, _ = quad(gathers, 0, 24, points=kinks)
    part, _ = quad(gathers, 0, rest_h, points=[k for k in kinks if k < rest_h] or None)
    gathered = whole_days * a_day + part
    an_hour = max(gathers(due_h), 0.05)
    assert gathered == pytest.approx(100, abs=an_hour)


def test_pupae_wait_for_their_cold_before_heat_counts() -> None:
    celsius = np.repeat([16.0, 4.0, 18.0], [30 * 24, 90 * 24, 60 * 24])
    track = Track(0.0, celsius, 0.0)
    waiting = [sharp("pupa", 8.0, 150, chill_hours=2000)]
    found = by_event(waiting, [Start(0.0, "pupa", 500)], track)
    assert half_days(found["emerge"]) == pytest.approx(120 + 15, abs=1 / 24)
    ready = by_event([sharp("pupa", 8.0, 150)], [Start(0.0, "pupa", 500)], track)
    assert half_days(ready["emerge"]) == pytest.approx(150 / 8, abs=1 / 24)


def test_heat_counts_from_the_hour_in_which_the_cold_is_met() -> None:
    celsius = np.repeat([9.5, 25.0, 9.5, 25.0], [100, 500, 100, 4000])
    track = Track(0.0, celsius, 0.0)
    just = by_event(
        [sharp("pupa", 5.0, 20, chill_hours=100)], [Start(0.0, "pupa", 500)], track
    )
    assert half_days(just["emerge"]) * 24 == pytest.approx(124, abs=1)
    hours = 99 + (20 * 24 - 99 * 4.5) / 20  # 99 at 9.5°, the rest at 25°
    more = by_event(
        [sharp("pupa", 5.0, 20, chill_hours=101)], [Start(0.0, "pupa", 500)], track
    )
    assert half_days(more["emerge"]) * 24 == pytest.approx(601 + hours, abs=1)


def test_cold_that_is_never_met_leaves_no_window() -> None:
    stages = [sharp("pupa", 8.0, 150, chill_hours=2000)]
    emerge = by_event(stages, [Start(0.0, "pupa", 20)], steady(16.0, 100))["emerge"]
    assert (emerge.first, emerge.half, emerge.last) == (None, None, None)
    assert emerge.beyond == 1.0


def test_cold_before_the_stage_began_does_not_count() -> None:
    celsius = np.repeat([4.0, 20.0], [60 * 24, 100 * 24])
    stages = [sharp("pupa", 8.0, 120, chill_hours=1000)]
    track = Track(0.0, celsius, 0.0)
    late = by_event(stages, [Start(55 * DAY_S, "pupa", 9)], track)["emerge"]
    assert late.beyond == 1.0
    somewhere = by_event(stages, [Start(55 * DAY_S, "pupa", 9, fresh=False)], track)
    assert somewhere["emerge"].beyond == 0.0
