"""What must hold for any brood: order, conditions, refusals, few for many."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.science.cohort import (
    EventWindow,
    StageHeat,
    Start,
    Track,
    simulate,
    windows,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

DAY_S = 86400.0
LARVA = [
    StageHeat(f"L{i}", 7.0, 0.8, float(np.log(60)), -0.05, group="larva")
    for i in range(1, 4)
]
STAGES = [
    StageHeat("egg", 9.0, 0.8, float(np.log(80)), -0.074),
    *LARVA,
    StageHeat("wandering", 7.0, 0.8, float(np.log(40)), -0.05, group="larva"),
    StageHeat("pupa", 9.0, 0.8, float(np.log(220)), -0.075, upper_c=30.0),
]
HOURS = np.arange(24 * 200)
TRACK = Track(0.0, 18.0 + 5.0 * np.sin(2 * np.pi * (HOURS - 9) / 24), 0.0)


def forecast(
    starts: list[Start],
    track: Track = TRACK,
    stages: list[StageHeat] = STAGES,
    not_before: Mapping[str, float] = MappingProxyType({}),
    draws: int = 400,
) -> tuple[EventWindow, ...]:
    rng = np.random.default_rng(3)
    return windows(
        stages, starts, track, rng, on_s=0.0, draws=draws, not_before=not_before
    )


def middles(window: EventWindow) -> list[float]:
    intervals = (window.first, window.half, window.last)
    return [interval.middle_s / DAY_S for interval in intervals if interval]


def test_the_events_follow_the_stages() -> None:
    events = [w.event for w in forecast([Start(0.0, "egg", 50)])]
    assert events == ["hatch", "L2", "L3", "wander", "pupate", "emerge"]


def test_without_a_wandering_stage_the_last_instar_ends_in_pupation() -> None:
    found = forecast([Start(0.0, "L3", 5)], stages=[*LARVA, STAGES[-1]])
    assert [w.event for w in found] == ["pupate", "emerge"]
    (wander,) = forecast([Start(0.0, "L3", 5)], stages=LARVA)
    assert wander.event == "wander"


starts_strategy = st.lists(
    st.builds(
        Start,
        at_s=st.floats(0, 20 * DAY_S),
        stage=st.sampled_from(["egg", "L1", "L3", "pupa"]),
        number=st.integers(0, 300),
        fresh=st.booleans(),
    ),
    min_size=1,
    max_size=5,
)


@settings(max_examples=40, deadline=None)
@given(starts_strategy)
def test_first_half_and_last_follow_each_other_in_every_window(
    starts: list[Start],
) -> None:
    for window in forecast(starts, draws=60):
        first, half, last = window.first, window.half, window.last
        assert first is not None
        assert half is not None
        assert last is not None
        for low, high in ((first, half), (half, last)):
            assert low.low_s <= high.low_s
            assert low.middle_s <= high.middle_s
            assert low.high_s <= high.high_s
        for interval in (first, half, last):
            assert interval.low_s <= interval.middle_s <= interval.high_s


@settings(max_examples=40, deadline=None)
@given(starts_strategy)
def test_an_event_speaks_of_the_animals_that_have_it_before_them(
    starts: list[Start],
) -> None:
    order = [stage.stage for stage in STAGES]
    numbers = [
        sum(s.number for s in starts if order.index(s.stage) <= i)
        for i in range(len(STAGES))
    ]
    found = forecast(starts, draws=20)
    assert [w.number for w in found] == [n for n in numbers if n]


def test_the_same_state_of_the_generator_gives_the_same_windows() -> None:
    assert forecast([Start(0.0, "egg", 90)]) == forecast([Start(0.0, "egg", 90)])


def test_everything_a_day_later_is_forecast_a_day_later() -> None:
    starts = [Start(0.0, "egg", 90), Start(2 * DAY_S, "L2", 12, fresh=False)]
    later = [replace(start, at_s=start.at_s + DAY_S) for start in starts]
    moved = replace(TRACK, start_s=DAY_S)
    for one, other in zip(forecast(starts), forecast(later, moved), strict=True):
        np.testing.assert_allclose(
            np.array(middles(other)), np.array(middles(one)) + 1.0, atol=1e-6
        )


def test_more_animals_stretch_from_first_to_last() -> None:
    spans = []
    for number in (1, 3, 10, 40, 160, 600):
        emerge = forecast([Start(0.0, "egg", number)])[-1]
        first, _, last = middles(emerge)
        spans.append(last - first)
    assert spans == sorted(spans)
    assert spans[0] == 0
    assert spans[-1] > 2 * spans[1]


def test_a_wider_belief_gives_a_wider_window() -> None:
    narrow, wide = (
        forecast([Start(0.0, "egg", 60)], stages=[replace(STAGES[0], ln_k_sd=sd)])[
            0
        ].half
        for sd in (0.08, 0.25)
    )
    assert narrow is not None
    assert wide is not None
    assert wide.high_s - wide.low_s > 1.5 * (narrow.high_s - narrow.low_s)


def test_nothing_hatched_yet_moves_the_window_later_and_never_earlier() -> None:
    starts = [Start(0.0, "egg", 90)]
    before = forecast(starts)
    for days in (6.0, 7.0, 8.0):
        after = forecast(starts, not_before={"hatch": days * DAY_S})
        assert after[0].stretch == 1.0
        assert after[0].first is not None
        assert after[0].first.low_s >= days * DAY_S
        for one, other in zip(before, after, strict=True):
            assert np.all(np.array(middles(other)) >= np.array(middles(one)) - 1e-9)
    assert middles(after[0])[1] > middles(before[0])[1] + 0.5


def test_what_happened_before_the_draws_begin_changes_nothing() -> None:
    starts = [Start(0.0, "egg", 90)]
    assert forecast(starts, not_before={"hatch": 0.0}) == forecast(starts)


def test_a_brood_later_than_believed_widens_and_says_so() -> None:
    starts = [Start(0.0, "egg", 90)]
    seen = forecast(starts, not_before={"hatch": 14 * DAY_S})
    assert 1.0 < seen[0].stretch <= 4.0
    assert {w.stretch for w in seen} == {seen[0].stretch}
    assert seen[0].first is not None
    assert seen[0].first.low_s >= 14 * DAY_S


def test_a_brood_later_than_anything_believed_is_held_at_what_was_seen() -> None:
    starts = [Start(0.0, "egg", 90)]
    held = forecast(starts, not_before={"hatch": 150 * DAY_S})
    assert held[0].stretch == np.inf
    for window in held:
        assert min(middles(window)) >= 150


def test_a_short_track_leaves_the_late_end_open_and_says_how_often() -> None:
    starts = [Start(0.0, "egg", 90)]
    whole = forecast(starts)[-1].half
    assert whole is not None
    cut_h = int((whole.middle_s + 0.5 * (whole.high_s - whole.middle_s)) / 3600)
    short = forecast(starts, replace(TRACK, celsius=TRACK.celsius[:cut_h]))[-1]
    assert short.half is not None
    assert short.half.open_end
    assert short.half.high_s == cut_h * 3600
    assert 0.1 < short.beyond < 0.5
    assert short.first is not None
    assert short.first.middle_s < short.half.middle_s


def test_heat_to_go_falls_as_the_days_pass_and_ends_at_nothing() -> None:
    stages = [StageHeat("egg", 8.0, 1.0, float(np.log(130)))]
    track = Track(0.0, np.full(24 * 60, 18.0), 0.0)
    to_go = []
    for day in (0, 4, 13, 20, 61):
        rng = np.random.default_rng(1)
        (hatch,) = windows(
            stages, [Start(0.0, "egg", 40)], track, rng, on_s=day * DAY_S
        )
        to_go.append(hatch.heat_to_go_dd)
    # Half of the draws have hatched after 130 / (18 - 8) = 13 days.
    assert to_go[:4] == pytest.approx([130, 90, 2, 0], abs=5)
    assert to_go[3] == 0
    assert to_go[4] is None


def test_heat_to_go_is_told_with_its_interval_above_each_draws_threshold() -> None:
    stages = [StageHeat("egg", 8.0, 1.5, float(np.log(130)), -0.1, 0.2)]
    track = Track(0.0, np.full(24 * 90, 18.0), 0.0)
    found = simulate(
        stages, [Start(0.0, "egg", 40)], track, np.random.default_rng(1), draws=4000
    )
    assert found is not None
    (hatch,) = found.windows(4 * DAY_S)
    assert hatch.heat_to_go is not None
    # In steady warmth the days left, times what the draw's own threshold leaves of it.
    left = np.median(found.left(0)[:, found.animals.counted], axis=1) / 24 - 4
    rest = left * (18.0 - found.paces.t0_c[0])
    told = hatch.heat_to_go
    assert [told.low_dd, told.middle_dd, told.high_dd] == pytest.approx(
        np.quantile(rest, (0.1, 0.5, 0.9)).tolist(), rel=0.02
    )
    assert told.low_dd < 0.8 * told.middle_dd < 1.2 * told.middle_dd < told.high_dd


def test_heat_to_go_of_a_later_event_adds_the_stages_between() -> None:
    found = forecast([Start(0.0, "L2", 40, fresh=False)])
    assert [w.heat_to_go_dd for w in found] == pytest.approx(
        [30, 90, 130, 350], rel=0.06
    )


def test_no_animals_no_windows() -> None:
    assert forecast([]) == ()
    assert forecast([Start(0.0, "egg", 0)]) == ()


def test_what_cannot_be_reckoned_is_refused() -> None:
    with pytest.raises(ValueError, match="stage 'L9' is none of egg"):
        forecast([Start(0.0, "L9", 3)])
    with pytest.raises(ValueError, match="before the track"):
        forecast([Start(-1.0, "egg", 3)])
    with pytest.raises(ValueError, match="holes"):
        forecast([Start(0.0, "egg", 3)], Track(0.0, np.array([9.0, np.nan]), 0.0))


def test_a_start_after_the_track_is_beyond_it() -> None:
    (hatch,) = forecast([Start(900 * DAY_S, "egg", 3)], stages=STAGES[:1])
    assert hatch.half is None
    assert hatch.beyond == 1.0


@pytest.mark.parametrize("fresh", [True, False])
@pytest.mark.parametrize("number", [7, 30, 160])
def test_a_few_ranks_stand_for_every_animal(number: int, *, fresh: bool) -> None:
    # Computed: every animal of 3,000 broods by itself, with its own pace (6 %) and
    # noise of each stage (4 %), at a steady 19 °C without any doubt about the stages.
    rng = np.random.default_rng(8)
    needs = np.array([60.0, 60.0, 60.0, 220.0]) / np.array([12, 12, 12, 10])
    pace = 1 + 0.06 * rng.standard_normal((3000, number, 1))
    days = needs * pace * (1 + 0.04 * rng.standard_normal((3000, number, 4)))
    if not fresh:
        days[..., 0] *= rng.random((3000, number))
    reached = np.sort(np.cumsum(days, axis=2), axis=1)
    sure = [replace(stage, t0_sd_c=0.0, ln_k_sd=0.0) for stage in (*LARVA, STAGES[-1])]
    track = Track(0.0, np.full(24 * 200, 19.0), 0.0)
    found = forecast([Start(0.0, "L1", number, fresh)], track, sure, draws=3000)
    for i, window in enumerate(found):
        exact = np.stack(
            [reached[:, 0, i], np.median(reached[..., i], axis=1), reached[:, -1, i]]
        )
        sd = reached[..., i].std()
        got = np.array(middles(window))
        np.testing.assert_allclose(got, np.median(exact, axis=1), atol=0.15 * sd)
