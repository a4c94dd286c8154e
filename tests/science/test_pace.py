"""What was counted moves and narrows the windows, as far as it should."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.science.cohort import (
    EventWindow,
    HeatStore,
    Passed,
    Simulated,
    StageCount,
    StageHeat,
    Start,
    Track,
    simulate,
    windows,
)
from rearing.science.evidence import looks

if TYPE_CHECKING:
    from rearing.science.seen import Seen

DAY_S = 86400.0
STAGES = [
    StageHeat("egg", 9.0, 1.0, float(np.log(90)), -0.07, 0.2),
    *(
        StageHeat(
            f"L{i}", 7.0, 1.0, float(np.log(60)), -0.05, 0.2, None, 0.0, "larva", 0.05
        )
        for i in (1, 2, 3)
    ),
    StageHeat("wandering", 7.0, 1.0, float(np.log(40)), -0.05, 0.2),
    StageHeat("pupa", 9.0, 1.0, float(np.log(220)), -0.07, 0.2),
]
TRACK = Track(0.0, np.full(24 * 200, 19.0), 0.0)
STARTS = [Start(0.0, "egg", 90)]


def forecast(
    seen: list[Seen],
    *,
    starts: list[Start] = STARTS,
    track: Track = TRACK,
    seed: int = 3,
    draws: int = 800,
) -> dict[str, EventWindow]:
    rng = np.random.default_rng(seed)
    found = windows(STAGES, starts, track, rng, on_s=0.0, seen=seen, draws=draws)
    return {window.event: window for window in found}


def half_days(window: EventWindow) -> tuple[float, float, float]:
    assert window.half is not None
    low, middle, high = (
        at_s / DAY_S
        for at_s in (window.half.low_s, window.half.middle_s, window.half.high_s)
    )
    return low, middle, high


# At 19° the belief's middle: hatch on day 9, L2 on day 14, L3 on day 19.


def test_a_late_hatch_makes_everything_later_and_narrower() -> None:
    before = forecast([])
    seen: list[Seen] = [
        Passed("hatch", 10 * DAY_S, 11 * DAY_S, 20, 90),
        Passed("hatch", 11 * DAY_S, 12 * DAY_S, 55, 90),
        Passed("hatch", 12 * DAY_S, 13 * DAY_S, 15, 90),
    ]
    after = forecast(seen)
    low, middle, high = half_days(after["hatch"])
    assert 11.0 <= low <= middle <= high <= 12.1
    for event in ("L2", "wander", "emerge"):
        old, new = half_days(before[event]), half_days(after[event])
        assert new[1] > old[1] + 2.0
        assert new[2] - new[0] < old[2] - old[0]


def test_of_egg_and_larva_each_tells_more_of_itself() -> None:
    slow_eggs: list[Seen] = [Passed("hatch", 11 * DAY_S, 12 * DAY_S, 90, 90)]
    slow_larvae = [*slow_eggs, StageCount(20 * DAY_S, {"L1": 60, "L2": 30})]
    eggs, larvae = forecast(slow_eggs), forecast(slow_larvae)
    length = [
        half_days(found["wander"])[1] - half_days(found["hatch"])[1]
        for found in (forecast([]), eggs, larvae)
    ]
    assert length[1] - length[0] < 0.5 * (length[2] - length[0])
    assert length[2] > 1.25 * length[0]


def test_more_looks_narrow_more_and_a_small_count_narrows_little() -> None:
    hatch: list[Seen] = [Passed("hatch", 8 * DAY_S, 9 * DAY_S, 90, 90)]
    few = [*hatch, StageCount(14 * DAY_S, {"L1": 2, "L2": 2})]
    many = [*hatch, StageCount(14 * DAY_S, {"L1": 45, "L2": 45})]
    more = [*many, StageCount(19 * DAY_S, {"L2": 45, "L3": 45})]
    width = [
        half_days(found["wander"])[2] - half_days(found["wander"])[0]
        for found in map(forecast, (hatch, few, many, more))
    ]
    assert width[0] > width[1] > width[2] > width[3]


def test_the_interval_between_checks_is_respected() -> None:
    fine: list[Seen] = [Passed("hatch", 11 * DAY_S, 11.5 * DAY_S, 90, 90)]
    coarse: list[Seen] = [Passed("hatch", 6 * DAY_S, 11.5 * DAY_S, 90, 90)]
    narrow, wide = (half_days(forecast(one)["L2"]) for one in (fine, coarse))
    assert wide[2] - wide[0] > narrow[2] - narrow[0]
    assert wide[1] < narrow[1]
    low, _, high = half_days(forecast(coarse)["hatch"])
    assert low >= 6
    assert high <= 11.6


def test_none_hatched_by_a_day_moves_the_hatch_beyond_it() -> None:
    seen: list[Seen] = [Passed("hatch", -np.inf, 10 * DAY_S, 0, 90, sound=0.95)]
    found = forecast(seen)["hatch"]
    assert found.first is not None
    assert found.first.low_s >= 10 * DAY_S
    assert half_days(found)[1] > half_days(forecast([])["hatch"])[1] + 0.5


def test_dead_eggs_are_not_waited_for() -> None:
    hatched: list[Seen] = [
        Passed("hatch", 8 * DAY_S, 9 * DAY_S, 40, 90, sound=0.9),
        Passed("hatch", 9 * DAY_S, 10 * DAY_S, 40, 90, sound=0.9),
        Passed("hatch", 10 * DAY_S, 16 * DAY_S, 0, 90, sound=0.9),
    ]
    last = forecast(hatched)["hatch"].last
    assert last is not None
    assert last.low_s < 11 * DAY_S


def test_larvae_at_rest_are_further_than_those_that_eat() -> None:
    hatch: list[Seen] = [Passed("hatch", 8 * DAY_S, 9 * DAY_S, 90, 90)]
    at = 13 * DAY_S
    eating = [*hatch, StageCount(at, {"L1": 90})]
    resting = [*hatch, StageCount(at, {"L1": 90}, {"L1": 80})]
    moult = [half_days(forecast(one)["L2"])[1] for one in (eating, resting)]
    assert moult[1] < moult[0]
    assert moult[1] < 13 + 36 / 24


def test_what_a_look_saw_is_held_in_every_window() -> None:
    hatch: list[Seen] = [Passed("hatch", 8 * DAY_S, 9 * DAY_S, 90, 90)]
    at = 15.0
    found = forecast([*hatch, StageCount(at * DAY_S, {"L1": 30, "L2": 60})])
    second, third = found["L2"], found["L3"]
    assert second.first is not None
    assert second.last is not None
    assert third.first is not None
    assert second.first.high_s <= at * DAY_S
    assert half_days(second)[2] <= at
    assert second.last.low_s >= at * DAY_S
    assert third.first.low_s >= at * DAY_S


def test_one_odd_animal_is_no_proof() -> None:
    hatch: list[Seen] = [Passed("hatch", 8 * DAY_S, 9 * DAY_S, 90, 90)]
    all_l2 = forecast([*hatch, StageCount(17 * DAY_S, {"L2": 90})])
    one_l1 = forecast([*hatch, StageCount(17 * DAY_S, {"L1": 1, "L2": 89})])
    for event in ("L3", "emerge"):
        one, other = half_days(all_l2[event]), half_days(one_l1[event])
        assert abs(one[1] - other[1]) < 0.25 * (one[2] - one[0])


def test_looks_against_all_belief_still_give_windows_after_them() -> None:
    late: list[Seen] = [
        Passed("hatch", 29 * DAY_S, 30 * DAY_S, 90, 90),
        StageCount(60 * DAY_S, {"L1": 90}),
    ]
    found = forecast(late)
    assert half_days(found["L2"])[0] >= 60 - 1e-6
    assert half_days(found["emerge"])[1] > 100


def test_the_same_state_gives_the_same_windows_and_until_changes_nothing() -> None:
    seen: list[Seen] = [StageCount(15 * DAY_S, {"L1": 30, "L2": 60})]
    one, other = (forecast(seen) for _ in range(2))
    assert one == other
    rng = np.random.default_rng(3)
    short = windows(
        STAGES, STARTS, TRACK, rng, on_s=0.0, seen=seen, draws=800, until="L3"
    )
    assert [w.event for w in short] == ["hatch", "L2", "L3"]
    assert {w.event: w for w in short} == {
        event: one[event] for event in ("hatch", "L2", "L3")
    }


def test_mixed_starts_and_a_later_lot_are_judged_together() -> None:
    starts = [Start(0.0, "egg", 40), Start(3 * DAY_S, "egg", 40)]
    starts.append(Start(9 * DAY_S, "L2", 10))
    seen: list[Seen] = [StageCount(15 * DAY_S, {"L1": 60, "L2": 20, "L3": 10})]
    found = forecast(seen, starts=starts)
    assert found["L3"].number == 90
    assert found["L2"].number == 80
    low, middle, high = half_days(found["L2"])
    assert 15 <= low <= middle <= high < 20


def test_what_cannot_be_the_broods_is_refused() -> None:
    with pytest.raises(ValueError, match="event 'L9'"):
        forecast([Passed("L9", 0.0, DAY_S, 3, 90)])
    with pytest.raises(ValueError, match="stage 'L9'"):
        forecast([StageCount(DAY_S, {"L9": 3})])


def test_an_empty_look_says_nothing() -> None:
    assert forecast([StageCount(DAY_S, {})]) == forecast([])


def test_checks_of_one_event_are_put_together() -> None:
    order = {"egg": 0, "L1": 1}
    ends = {"hatch": 0, "wander": 1}
    parts: list[Seen] = [
        Passed("hatch", 4 * 3600.0, 6 * 3600.0, 7, 20),
        Passed("hatch", 2 * 3600.0, 4 * 3600.0, 3, 20),
        Passed("hatch", 2 * 3600.0, 4 * 3600.0, 1, 20),
    ]
    (look,) = looks(parts, order, ends, 0.0)
    assert look.hour == 6.0
    np.testing.assert_array_equal(look.hours, [2.0, 4.0, 6.0])  # type: ignore[union-attr]
    np.testing.assert_array_equal(look.numbers, [0.0, 4.0, 7.0, 9.0])  # type: ignore[union-attr]


def futures(*celsius: float) -> Track:
    past = np.full(24 * 10, 19.0)
    ahead = np.stack([np.full(24 * 190, one) for one in celsius])
    return Track(0.0, past, 10 * DAY_S, ahead)


def test_a_future_like_the_past_changes_nothing_but_its_steps() -> None:
    plain, ahead = forecast([]), forecast([], track=futures(19.0))
    for event, window in plain.items():
        np.testing.assert_allclose(
            half_days(ahead[event]), half_days(window), atol=0.01
        )


def test_futures_that_differ_widen_what_lies_ahead_of_now_only() -> None:
    seen: list[Seen] = [Passed("hatch", 8 * DAY_S, 9 * DAY_S, 90, 90)]
    same = forecast(seen, track=futures(19.0, 19.0))
    differ = forecast(seen, track=futures(16.0, 17.5, 19.0, 20.5, 22.0))
    one, other = half_days(same["hatch"]), half_days(differ["hatch"])
    np.testing.assert_allclose(other, one, atol=0.05)
    one, other = half_days(same["emerge"]), half_days(differ["emerge"])
    assert other[2] - other[0] > 1.3 * (one[2] - one[0])
    assert other[1] == pytest.approx(one[1], abs=2.5)


def test_broods_that_share_their_futures_share_the_sums() -> None:
    track, store = futures(18.0, 20.0), HeatStore()
    mine = replace(track, celsius=track.celsius.copy())
    first = store.heats(STAGES, track)
    second = store.heats(STAGES, mine)
    assert first.by_stage[0].ahead is second.by_stage[0].ahead
    assert first.by_stage[0].past is not second.by_stage[0].past
    assert first.by_stage[1].ahead is first.by_stage[2].ahead
    rng = np.random.default_rng(3)
    kept = windows(STAGES, STARTS, track, rng, on_s=0.0, draws=100, store=store)
    alone = windows(
        STAGES, STARTS, track, np.random.default_rng(3), on_s=0.0, draws=100
    )
    assert kept == alone


def test_a_hole_in_a_future_is_refused() -> None:
    track = futures(18.0, 20.0)
    assert track.futures is not None
    track.futures[1, 50] = np.nan
    with pytest.raises(ValueError, match="holes"):
        forecast([], track=track)


def simulated() -> Simulated:
    rng = np.random.default_rng(3)
    found = simulate(STAGES, STARTS, TRACK, rng, draws=300)
    assert found is not None
    return found


def test_draws_can_be_had_by_event() -> None:
    found = simulated()
    times = found.times("wander")
    assert times.shape == (300, 3)
    assert np.all(times[:, 0] <= times[:, 2])
    assert np.all((times[:, 0] <= times[:, 1]) & (times[:, 1] <= times[:, 2]))
    middle = np.median(found.animals_s("wander"), axis=1)
    inside = (middle > times[:, 0]) & (middle < times[:, 2])
    np.testing.assert_allclose(middle[inside], times[inside, 1])
    assert simulate(STAGES, [], TRACK, np.random.default_rng(1)) is None
