"""Windows of animals given what was seen of them and of their brood before."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.cohort import SHARPENED, StageCount, events, simulate
from rearing.science.learn import lesson
from rearing.science.stages import Interval
from rearing.science.unknowns import Unknowns

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.sightings import Sighted
    from rearing.science.cohort import HeatStore, Simulated
    from rearing.science.learn import Lesson
    from rearing.science.seen import Seen
    from rearing.science.stages import EventWindow, StageHeat, Start, Track


DAY_S = 86_400.0

DRAWS = 400
"""Ways on of animals of which nothing was seen that tells how far they are."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Of which animals windows are asked, and what is believed of them.

    `learnt` is what finished broods of the species taught, None for the sheet's own.
    None of the eggs had hatched by `unhatched_s`, where they were looked at.
    """

    stages: Sequence[StageHeat]
    starts: Sequence[Start]
    track: Track
    on_s: float
    until: str | None = None
    learnt: Unknowns | None = None
    unhatched_s: float | None = None

    @property
    def day_s(self) -> float:
        """When the day that is asked about began."""
        return self.on_s - DAY_S


def sharpened_windows(
    asked: Asked,
    sighted: Sighted | None,
    rng: np.random.Generator,
    store: HeatStore,
) -> tuple[EventWindow, ...]:
    """Return the windows of the animals that are still here.

    Where what was seen does not tell how far they are now, it tells their pace, and
    they begin where `asked` says.
    """
    learnt = asked.learnt
    seen: tuple[Seen, ...] = ()
    if sighted is not None and not sighted.is_told_to_the_end:
        taught = lesson(
            asked.stages, sighted.starts, asked.track, sighted.seen, rng, store=store
        )
        learnt = _also(asked.stages, learnt, taught)
    elif sighted is not None:
        seen = sighted.seen
    found = simulate(
        asked.stages,
        asked.starts,
        asked.track,
        rng,
        draws=SHARPENED if seen else DRAWS,
        seen=seen,
        until=asked.until,
        learnt=learnt,
        store=store,
    )
    if found is None:
        return ()
    if sighted is None:
        return _looked_at(asked, found, learnt, rng, store)
    most: float = np.inf
    if seen:
        most = sighted.number
        if sighted.left_at:
            found = still_here(found, events(asked.stages).index(sighted.left_at))
    return tuple(
        replace(_held(window, asked.stages, seen), number=int(min(window.number, most)))
        for window in found.windows(asked.on_s)
    )


def _looked_at(
    asked: Asked,
    found: Simulated,
    learnt: Unknowns | None,
    rng: np.random.Generator,
    store: HeatStore,
) -> tuple[EventWindow, ...]:
    """Hold the hatch to a look that found none hatched, while it is still awaited.

    Once the day on which all were expected is past the window stays where it closed:
    moved on with every look, eggs would never be overdue.
    """
    told = found.windows(asked.on_s)
    seen_s, hatch = asked.unhatched_s, told[0]
    if seen_s is None or hatch.event != "hatch" or closed(hatch, asked.day_s):
        return told
    if hatch.first is None or seen_s <= hatch.first.low_s:
        return told
    later = simulate(
        asked.stages,
        asked.starts,
        asked.track,
        rng,
        not_before={"hatch": seen_s},
        until=asked.until,
        learnt=learnt,
        store=store,
    )
    return told if later is None else later.windows(asked.on_s)


def closed(window: EventWindow, by_s: float) -> bool:
    """Tell whether the last was expected before an instant."""
    return window.last is not None and window.last.high_s < by_s


def seen_to_reach(
    event: str, stages: Sequence[StageHeat], seen: Sequence[Seen]
) -> tuple[int, int]:
    """Return how many had reached an event at the last look at stages, and of all.

    (0, 0) where nobody looked.
    """
    order = [*(stage.stage for stage in stages), "adult"]
    after = order[events(stages).index(event) + 1 :]
    looks = [one for one in seen if isinstance(one, StageCount) and one.counts]
    if not looks:
        return 0, 0
    counts = max(looks, key=lambda look: look.at_s).counts
    return sum(counts.get(stage, 0) for stage in after), sum(counts.values())


def _held(
    window: EventWindow, stages: Sequence[StageHeat], seen: Sequence[Seen]
) -> EventWindow:
    """Hold what is past to the looks: none had before one, all had after another."""
    order = [*(stage.stage for stage in stages), "adult"]
    after = order[events(stages).index(window.event) + 1 :]
    none_s, all_s = -np.inf, np.inf
    for look in seen:
        if isinstance(look, StageCount) and look.counts:
            reached = sum(look.counts.get(stage, 0) for stage in after)
            if reached == 0:
                none_s = max(none_s, look.at_s)
            elif reached == sum(look.counts.values()):
                all_s = min(all_s, look.at_s)
    if np.isinf(none_s) and np.isinf(all_s):
        return window

    def held(interval: Interval | None) -> Interval | None:
        if interval is None:
            return None
        low, middle, high = (
            float(min(max(at_s, none_s), max(all_s, none_s)))
            for at_s in (interval.low_s, interval.middle_s, interval.high_s)
        )
        return Interval(low, middle, high, interval.open_end and np.isinf(all_s))

    return replace(
        window,
        first=held(window.first),
        half=held(window.half),
        last=held(window.last),
    )


def still_here(found: Simulated, left_at: int) -> Simulated:
    """Keep the animals that had not reached the event of an index at the last look."""
    animals = found.animals
    keep = np.median(animals.seen_past, axis=0) <= left_at
    if keep.all() or not (keep & animals.counted).any():
        return found
    only = replace(
        animals,
        first_stage=animals.first_stage[keep],
        entered=animals.entered[keep],
        cold_from=animals.cold_from[keep],
        within=animals.within[keep],
        level=animals.level[:, keep],
        counted=animals.counted[keep],
        outer=animals.outer[keep],
        seen_past=animals.seen_past[:, keep],
        seen_before=animals.seen_before[:, keep],
    )
    return replace(
        found,
        animals=only,
        passages=tuple(one.of_animals(keep) for one in found.passages),
    )


def _also(
    stages: Sequence[StageHeat], learnt: Unknowns | None, taught: Lesson | None
) -> Unknowns | None:
    """Add what was seen of the brood itself to what is believed of its species."""
    if taught is None:
        return learnt
    before = learnt or Unknowns.of(stages)
    precision = np.linalg.inv(before.cov)
    cov = np.asarray(np.linalg.inv(precision + taught.information), dtype=np.float64)
    mean = cov @ (precision @ before.mean + taught.pull)
    return replace(before, mean=mean, cov=cov)
