"""Forecast windows of a brood: hatch, moults, wandering, pupation, emergence."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.animals import Animals, gather, middle_animals
from rearing.science.draws import Heats, draw_paces, middle_paces, walk
from rearing.science.stages import EventWindow, Interval, StageHeat, Start, Track

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

__all__ = ["EventWindow", "Interval", "StageHeat", "Start", "Track", "windows"]

ATTEMPTS = ((1.0, 1), (1.0, 4), (2.0, 4), (4.0, 4))
"""Factors on spread and draws, tried until enough agree with what was seen."""

ENOUGH = 40
"""Draws that must agree with what was seen before windows are read from them."""

_EVENT_BY_ENTERED = {
    "L1": "hatch",
    "larva": "hatch",
    "wandering": "wander",
    "pupa": "pupate",
    "adult": "emerge",
}
_EVENT_BY_LAST = {"egg": "hatch", "wandering": "pupate", "pupa": "emerge"}


def windows(  # noqa: PLR0913 - a forecast hangs on all of these
    stages: Sequence[StageHeat],
    starts: Sequence[Start],
    track: Track,
    rng: np.random.Generator,
    *,
    on_s: float,
    draws: int = 400,
    not_before: Mapping[str, float] = MappingProxyType({}),
    until: str | None = None,
) -> tuple[EventWindow, ...]:
    """Say when the first, the half and the last of a brood reach each coming event.

    Parameters
    ----------
    stages : sequence of StageHeat
        In the order of life; the last one's end is the last event.
    starts : sequence of Start
        Lay nights, hatch dates, counts: animals alive, in one stage or in several.
        None may start before the track.
    track : Track
        Hourly temperatures without holes [°C].
    rng : numpy.random.Generator
        The same state gives the same windows.
    on_s : float
        The instant from which the heat to go is reckoned [epoch seconds].
    draws : int
        Simulated broods.
    not_before : mapping of event to epoch seconds
        Events of which not one animal had been seen by that instant; events that are
        not asked about are ignored.
    until : str, optional
        The last event that is asked about; the windows up to it are the same as
        without, at a fraction of the cost.

    Returns
    -------
    tuple of EventWindow
        In the order of life, events already past by the book among them; an event
        speaks of all animals that start in an earlier stage. Empty without animals.

    Raises
    ------
    ValueError
        For an unknown stage, a hole in the track or a start before it.

    Notes
    -----
    Each draw is a brood with its thresholds and needs of heat (`draws.draw_paces`)
    and animals about them (`animals.Animals.shares`). Draws in which the first animal
    is earlier than `not_before` allows are dropped, which is importance resampling
    with weights of nothing and one. If fewer than `ENOUGH` are left, more are drawn,
    then with a wider spread of ln K, and `stretch` says how wide.
    """
    believed = stages
    if until is not None:
        stages = stages[: events(stages).index(until) + 1]
    order = {stage.stage: i for i, stage in enumerate(stages)}
    alive = _sorted_starts(starts, order, track)
    if not alive:
        return ()
    if not np.isfinite(track.celsius).all():
        raise ValueError("track.celsius [°C] has holes; fill them before forecasting")
    heats = Heats.of(stages, track.celsius)
    first = tuple(order[start.stage] for start in alive)
    brood = _Brood(stages, believed, heats, alive, first, track)
    told = [not_before.get(event, -np.inf) for event in events(stages)]
    held = (np.array(told) - track.start_s) / 3600.0
    times, animals, stretch = _agreeing(brood, rng, draws, held)
    to_go = _heat_to_go(brood, animals, (on_s - track.start_s) / 3600.0)
    return tuple(
        _window(brood, animals, i, times[i], to_go[i], stretch)
        for i in range(len(stages))
        if times[i].shape[1]
    )


def events(stages: Sequence[StageHeat]) -> tuple[str, ...]:
    """Name the event that ends each stage; a last instar ends in wandering."""
    names = [stage.stage for stage in stages]
    entered = [_EVENT_BY_ENTERED.get(name, name) for name in names[1:]]
    return (*entered, _EVENT_BY_LAST.get(names[-1], "wander"))


@dataclass(frozen=True, slots=True)
class _Brood:
    """What is forecast, sorted by stage."""

    stages: Sequence[StageHeat]
    believed: Sequence[StageHeat]
    """Later stages too: the draws must not depend on how far one looks."""
    heats: Heats
    starts: tuple[Start, ...]
    first_stage: tuple[int, ...]
    track: Track


def _sorted_starts(
    starts: Sequence[Start], order: Mapping[str, int], track: Track
) -> tuple[Start, ...]:
    """Sort starts with animals by stage and time; refuse what cannot be reckoned."""
    alive = [start for start in starts if start.number > 0]
    for start in alive:
        if start.stage not in order:
            raise ValueError(f"stage {start.stage!r} is none of {', '.join(order)}")
        if start.at_s < track.start_s:
            raise ValueError(
                f"start at {start.at_s:.0f} s lies before the track, "
                f"which begins at {track.start_s:.0f} s"
            )
    return tuple(sorted(alive, key=lambda start: (order[start.stage], start.at_s)))


def _gathered(brood: _Brood, rng: np.random.Generator, draws: int) -> Animals:
    """Animals of the brood; a stage that still waits for cold has not advanced."""
    animals = gather(brood.starts, brood.first_stage, brood.track.start_s, rng, draws)
    chill = np.array([stage.chill_hours for stage in brood.stages])
    at_first = chill[animals.first_stage]
    node = np.zeros(len(at_first), dtype=np.intp)
    met = brood.heats.cold.at(node, animals.entered) >= at_first
    return replace(animals, within=animals.within & met)


def _agreeing(
    brood: _Brood, rng: np.random.Generator, draws: int, held: NDArray[np.float64]
) -> tuple[list[NDArray[np.float64]], Animals, float]:
    """Draw until enough draws agree with `held`, the hour each event is not before."""
    enough = min(ENOUGH, draws)
    for stretch, factor in ATTEMPTS:
        animals = _gathered(brood, rng, draws * factor)
        paces = draw_paces(brood.believed, rng, draws * factor, stretch)
        passages = walk(brood.stages, brood.heats, paces, animals)
        times = [passage.left for passage in passages]
        keep = np.ones(draws * factor, dtype=bool)
        for left, hour in zip(times, held, strict=True):
            if left.shape[1] and hour > 0:
                keep &= left[:, animals.outer[: left.shape[1]]].min(axis=1) >= hour
        if keep.all():
            return times, animals, stretch
        if np.count_nonzero(keep) >= enough:
            return [left[keep] for left in times], animals, stretch
    # Nothing believed allows what was seen: all that is certain is that it is later.
    at_least = np.maximum.accumulate(held)
    return (
        [np.maximum(left, at) for left, at in zip(times, at_least, strict=True)],
        animals,
        np.inf,
    )


def _heat_to_go(brood: _Brood, animals: Animals, hour: float) -> list[float | None]:
    """Heat the middle animal needs from `hour` until the end of each stage."""
    if hour > len(brood.track.celsius):
        return [None] * len(brood.stages)
    paces = middle_paces(brood.stages)
    middle = middle_animals(animals)
    to_go: list[float | None] = []
    needed = np.zeros(0)
    for passage, curve, node in zip(
        walk(brood.stages, brood.heats, paces, middle),
        brood.heats.by_stage,
        paces.node,
        strict=True,
    ):
        begun, need = passage.begun[0], passage.need_dd[0]
        now = np.maximum(begun, hour)
        left = np.maximum(need - curve.at(node, now) + curve.at(node, begun), 0.0)
        needed = np.append(needed, np.zeros(len(left) - len(needed))) + left
        counted = needed[animals.counted[: len(left)]]
        to_go.append(float(np.median(counted)) if len(counted) else None)
    return to_go


def _window(
    brood: _Brood,
    animals: Animals,
    i: int,
    times: NDArray[np.float64],
    to_go: float | None,
    stretch: float,
) -> EventWindow:
    """Read the window of the event that ends stage i from its draws, in hours."""
    passing = times.shape[1]
    outer = times[:, animals.outer[:passing]]
    half = np.median(times[:, animals.counted[:passing]], axis=1)
    ordered = np.sort(np.stack((outer.min(axis=1), half, outer.max(axis=1))), axis=1)
    first, middle, last = (_interval(row, brood.track) for row in ordered)
    return EventWindow(
        event=events(brood.stages)[i],
        number=sum(
            start.number
            for start, stage in zip(brood.starts, brood.first_stage, strict=True)
            if stage <= i
        ),
        first=first,
        half=middle,
        last=last,
        heat_to_go_dd=to_go,
        beyond=float(np.isinf(half).mean()),
        stretch=stretch,
    )


def _interval(hours: NDArray[np.float64], track: Track) -> Interval | None:
    """Take the 10th, 50th and 90th hundredth of sorted draws; None without a middle."""
    ranks = np.ceil(np.array([0.1, 0.5, 0.9]) * len(hours)).astype(int) - 1
    low, middle, high = (track.start_s + 3600.0 * hour for hour in hours[ranks])
    if np.isinf(middle):
        return None
    return Interval(
        float(low), float(middle), float(min(high, track.end_s)), bool(np.isinf(high))
    )
