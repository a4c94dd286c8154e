"""One brood laid out for a forecast: its stages, starts, courses and what was seen."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.animals import Lot
from rearing.science.evidence import (
    LADDER,
    EventLook,
    StageLook,
    looks,
)
from rearing.science.judging import AllLooks
from rearing.science.last_look import (
    as_they_were,
    first_class,
    not_yet,
    seen_shares,
    taken_for,
    whole,
)
from rearing.science.pace import sharpen
from rearing.science.rungs import Ladder
from rearing.science.unknowns import Pacing, Unknowns

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.science.evidence import Ask, Look
    from rearing.science.heats import Heats, HeatStore
    from rearing.science.judging import Judged
    from rearing.science.pace import Posterior
    from rearing.science.seen import Seen
    from rearing.science.stages import StageHeat, Start, Track
    from rearing.science.unknowns import Paces

    Ranks = Callable[[Sequence[Ask]], NDArray[np.float64]]

JUDGED_LOTS = 3
"""What was seen is judged with no more lots of a stage than these."""

_EVENT_BY_ENTERED = {
    "L1": "hatch",
    "larva": "hatch",
    "wandering": "wander",
    "pupa": "pupate",
    "adult": "emerge",
}
_EVENT_BY_LAST = {"egg": "hatch", "wandering": "pupate", "pupa": "emerge"}


def events(stages: Sequence[StageHeat]) -> tuple[str, ...]:
    """Name the event that ends each stage; a last instar ends in wandering."""
    names = [stage.stage for stage in stages]
    entered = [_EVENT_BY_ENTERED.get(name, name) for name in names[1:]]
    return (*entered, _EVENT_BY_LAST.get(names[-1], "wander"))


@dataclass(frozen=True, slots=True)
class Brood:
    """What is forecast, its lots in the order of their first stage."""

    stages: Sequence[StageHeat]
    track: Track
    heats: Heats
    lots: tuple[Lot, ...]
    looks: tuple[Look, ...]
    unknowns: Unknowns
    asked: int
    """Stages whose end is asked about; the draws do not depend on it, only how far
    heat is summed."""
    ladders: dict[tuple[Lot, ...], Ladder] = field(
        default_factory=dict, compare=False, repr=False
    )
    """Those laid out already: few lots are judged as they are."""

    @classmethod
    def of(
        cls,
        stages: Sequence[StageHeat],
        starts: Sequence[Start],
        track: Track,
        store: HeatStore,
        seen: Sequence[Seen] = (),
        asked: int | None = None,
    ) -> Brood | None:
        """Lay a brood out; None without animals.

        Raises
        ------
        ValueError
            For an unknown stage or event, a hole in the track or a start before it.
        """
        order = {stage.stage: i for i, stage in enumerate(stages)}
        lots = _lots(starts, order, track)
        if not lots:
            return None
        ends = {event: i for i, event in enumerate(events(stages))}
        found = looks(seen, order, ends, track.start_s)
        walked = len(stages) if asked is None else asked
        reached = _reached(found)
        since = max(int(min(lot.entered for lot in lots)), 0)
        return cls(
            stages,
            track,
            store.heats(stages[: max(reached, walked)], track, since),
            lots,
            found,
            Unknowns.of(stages),
            walked,
        )

    @property
    def reached(self) -> int:
        """Number of stages that must be walked to judge what was seen."""
        return _reached(self.looks)

    @property
    def days_per_heat(self) -> tuple[NDArray[np.float64], ...]:
        """Of each stage's course, as in `heats.Course`."""
        return tuple(course.days_per_heat for course in self.heats.by_stage)

    def paces(self, z: NDArray[np.float64], stretch: float = 1.0) -> Paces:
        """Turn normals into thresholds and needs along this brood's temperatures."""
        return self._pacing(len(self.heats.by_stage)).paces(z, stretch)

    def _pacing(self, until: int) -> Pacing:
        per_heat = self.days_per_heat[:until]
        return Pacing.of(self.unknowns, self.stages[:until], per_heat)

    def ladder(self, lots: tuple[Lot, ...]) -> Ladder:
        """Lay out the ladder of some lots as far as anything was seen."""
        if lots not in self.ladders:
            needed = self.stages[: self.reached]
            self.ladders[lots] = Ladder.of(lots, LADDER, needed, self.heats)
        return self.ladders[lots]

    def sharpened(self, rng: np.random.Generator, draws: int) -> Posterior:
        """Draw the unknowns given everything that was seen."""
        rows = self.unknowns.told_by(self.stages, self.reached)
        lots = _merged(self.lots)
        rungs, seen = self.ladder(lots), AllLooks.of(self.looks, _weights(lots))
        points, pacing = rungs.points(seen.asks), self._pacing(self.reached)

        def judged(z: NDArray[np.float64]) -> Judged:
            paces = pacing.paces(z)
            return seen.judge(rungs.ranks(points, paces, self.heats.cold))

        return sharpen(self.unknowns, rows, judged, rng, draws)

    def lots_as_seen(
        self, paces: Paces, rng: np.random.Generator
    ) -> tuple[tuple[Lot, ...], float]:
        """Split the lots by the stage in which they were last seen, and say when.

        Notes
        -----
        In each draw an animal seen in a stage has a rank between the shares of its lot
        that had left and that had entered that stage by then. How many of a lot were
        seen in each stage is what the draws make likely, in whole animals. Where so
        few were seen in a stage that all may have been misread, they are taken for
        animals of the stage before or after in as many draws as make that likely.
        """
        rungs = self.ladder(self.lots)

        def ranks(asks: Sequence[Ask]) -> NDArray[np.float64]:
            return rungs.ranks(rungs.points(asks), paces, self.heats.cold)

        look = self._last_look(ranks)
        edges = _edges(ranks, look, len(seen_shares(look)))
        between = np.maximum(edges[:-1] - edges[1:], 1e-4)
        weights = _weights(self.lots)
        in_class = np.einsum("kds,s->kd", between, weights)
        taken = taken_for(look, in_class, rng)
        seen = as_they_were(look, in_class.mean(axis=1), taken)
        likely = (between * weights / in_class[..., None]).mean(axis=1)
        wanted = likely * seen[:, None] * sum(lot.number for lot in self.lots)
        numbers = whole(wanted, [lot.number for lot in self.lots])
        draw = np.arange(edges.shape[1])
        split = [
            replace(
                lot,
                number=int(numbers[k, s]),
                low=edges[taken[k] + 1, draw, s],
                high=edges[taken[k], draw, s],
                seen_past=first_class(look) + _plain(taken[k]),
                seen_before=not_yet(look, _plain(taken[k])),
            )
            for s, lot in enumerate(self.lots)
            for k in np.flatnonzero(numbers[:, s]).tolist()
        ]
        return tuple(split), look.hour

    def _last_look(self, ranks: Ranks) -> Look:
        """Return the look that says most of where the animals are.

        The last look at stages, or a check of an event that was still going on then:
        one that some are likely to wait for yet, the dead not counted.
        """
        by_stage = [look for look in self.looks if isinstance(look, StageLook)]
        checks = [look for look in self.looks if isinstance(look, EventLook)]
        if not by_stage:
            return max(checks, key=lambda look: (look.hour, look.stage))
        last = by_stage[-1]
        for look in sorted(checks, key=lambda look: -look.stage):
            if look.hour < last.hour:
                continue
            if look.stage >= last.youngest or self._wait(look, ranks) >= 0.5:
                return look
        return last

    def _wait(self, look: EventLook, ranks: Ranks) -> float:
        """Animals that are likely to be alive and still before an event."""
        passed = _weights(self.lots) @ ranks([(look.stage, look.hour, 0.0)])[0]
        alive = look.sound * (1.0 - passed)
        return float(look.numbers[-1] * (alive / (1.0 - look.sound + alive)).mean())


def _edges(ranks: Ranks, look: Look, classes: int) -> NDArray[np.float64]:
    """Shares of each lot that had entered each class, (classes + 1, draws, lots)."""
    first = first_class(look)
    entered = ranks([(first + k, look.hour, 0.0) for k in range(classes - 1)])
    n_lots, draws = entered.shape[1:]
    edges = np.ones((classes + 1, draws, n_lots))
    edges[-1] = 0.0
    edges[1:-1] = entered.swapaxes(1, 2)
    return np.asarray(np.minimum.accumulate(edges, axis=0))


def _lots(
    starts: Sequence[Start], order: Mapping[str, int], track: Track
) -> tuple[Lot, ...]:
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
    futures = track.futures
    if not np.isfinite(track.celsius).all() or (
        futures is not None and not np.isfinite(futures).all()
    ):
        raise ValueError("track.celsius [°C] has holes; fill them before forecasting")
    ordered = sorted(alive, key=lambda start: (order[start.stage], start.at_s))
    return tuple(
        Lot(
            order[start.stage],
            (start.at_s - track.start_s) / 3600.0,
            start.number,
            start.fresh,
        )
        for start in ordered
    )


def _reached(found: Sequence[Look]) -> int:
    return max((look.top + 1 for look in found), default=0)


def _weights(lots: Sequence[Lot]) -> NDArray[np.float64]:
    """Share of the animals in each lot."""
    numbers = np.array([lot.number for lot in lots], dtype=np.float64)
    return np.asarray(numbers / numbers.sum())


def _merged(lots: Sequence[Lot]) -> tuple[Lot, ...]:
    """Put neighbours of one stage together until few are left to be walked."""
    left = list(lots)
    while len(left) > JUDGED_LOTS:
        gaps = [
            b.entered - a.entered
            if (a.first_stage, a.fresh) == (b.first_stage, b.fresh)
            else np.inf
            for a, b in pairwise(left)
        ]
        i = int(np.argmin(gaps))
        if np.isinf(gaps[i]):
            break
        a, b = left[i], left[i + 1]
        number = a.number + b.number
        entered = (a.number * a.entered + b.number * b.entered) / number
        left[i : i + 2] = [Lot(a.first_stage, entered, number, a.fresh)]
    return tuple(left)


def _plain(classes: NDArray[np.intp]) -> int | NDArray[np.intp]:
    """One number where all draws have the same."""
    return int(classes[0]) if (classes == classes[0]).all() else classes
