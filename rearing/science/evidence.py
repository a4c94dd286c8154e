"""What was seen of a brood, laid out as classes of animals that a draw has, too."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import numpy as np

from rearing.science.seen import StageCount

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.science.seen import Passed, Seen

    Array = NDArray[np.float64]
    Ask = tuple[int, float, float]
    """The share that had come to within some hours of the end of a stage: stage, hour
    of the look, hours before the end, which are not before the stage began."""

LADDER = np.array([-1.8, -0.6, 0.6, 1.8])
"""Latenesses walked to know how many of a brood have passed an event by an hour."""

MISREAD = 0.02
"""Share of animals that are taken for the stage before or after (from memory)."""


@dataclass(frozen=True, slots=True)
class Class:
    """Some of the animals of a look, and where they had come to by then.

    A draw has a share of `sound` x (passed `more` - passed `less`) + `plus` of its
    animals in it; nobody has passed 0.0, all have passed 1.0.
    """

    number: float
    more: Ask | float
    less: Ask | float
    sound: float = 1.0
    plus: float = 0.0


@dataclass(frozen=True, slots=True)
class StageLook:
    """Numbers by stage at an hour.

    `counts[k]` are active and at rest in stage k, in the last row beyond the last one;
    `youngest` is the first stage in which any was seen, `top` the last one that must be
    walked to tell the counts apart.
    """

    hour: float
    counts: NDArray[np.float64]
    rest_hours: float
    youngest: int
    top: int
    misread: ClassVar[float] = 0.5 * MISREAD

    @classmethod
    def of(
        cls, hour: float, counts: NDArray[np.float64], rest_hours: float
    ) -> StageLook:
        """Find what must be walked for the counts."""
        some = np.flatnonzero(counts.sum(axis=1)).tolist()
        return cls(hour, counts, rest_hours, some[0], min(some[-1], len(counts) - 2))

    @property
    def shares(self) -> NDArray[np.float64]:
        """Share of the animals in each stage, and beyond the last."""
        by_stage = self.counts.sum(axis=1)
        return np.asarray(by_stage / by_stage.sum())

    def classes(self) -> list[Class]:
        """Part the animals, from the youngest to the oldest."""
        k = self.youngest
        older: Ask | float = (k - 1, self.hour, 0.0) if k > 0 else 1.0
        found = [Class(0.0, 1.0, older)]
        for stage in range(k, self.top + 1):
            active, at_rest = self.counts[stage].tolist()
            if at_rest:
                sat = (stage, self.hour, self.rest_hours)
                found.append(Class(active, older, sat))
                active, older = at_rest, sat
            left = (stage, self.hour, 0.0)
            found.append(Class(active, older, left))
            older = left
        found.append(Class(float(self.counts[self.top + 1 :].sum()), older, 0.0))
        return found


@dataclass(frozen=True, slots=True)
class EventLook:
    """Numbers that passed the end of stage `stage` between hours, and the rest.

    `numbers[0]` passed by `hours[0]` (nobody, where that was a check before), the
    next ones in the intervals between, the last have not by the last hour.
    """

    stage: int
    hours: NDArray[np.float64]
    numbers: NDArray[np.float64]
    sound: float
    misread: ClassVar[float] = 0.0

    @property
    def hour(self) -> float:
        """The last check."""
        return float(self.hours[-1])

    @property
    def top(self) -> int:
        """Index of the last stage that must be walked."""
        return self.stage

    def classes(self) -> list[Class]:
        """Part the animals by the interval in which they passed; last those to come.

        Only checks that bound animals, and the last one, bound a class.
        """
        some = self.numbers[:-1] > 0
        at = dict(zip(self.hours.tolist(), self.numbers.tolist(), strict=False))
        before: Ask | float = 0.0
        found = []
        for i in np.flatnonzero(some | np.append(some[1:], True)).tolist():
            hour = float(self.hours[i])
            after = (self.stage, hour, 0.0)
            found.append(Class(at[hour], after, before, self.sound))
            before = after
        left = float(self.numbers[-1])
        found.append(Class(left, 0.0, before, self.sound, plus=1.0))
        return found


Look = StageLook | EventLook


def looks(
    seen: Sequence[Seen],
    order: Mapping[str, int],
    ends: Mapping[str, int],
    start_s: float,
) -> tuple[Look, ...]:
    """Put what was seen into looks, in the order of their hours.

    Parameters
    ----------
    seen : sequence of StageCount or Passed
        In any order; those of one event are put together.
    order : mapping of stage to index
    ends : mapping of event to the index of the stage it ends
    start_s : float
        Start of the track [epoch seconds].

    Raises
    ------
    ValueError
        For a stage or an event that is not the brood's.
    """
    found: list[Look] = []
    by_event: dict[str, list[Passed]] = {}
    for one in seen:
        if isinstance(one, StageCount):
            if sum(one.counts.values()) > 0:
                found.append(_stage_look(one, order, start_s))
        elif one.of > 0:
            by_event.setdefault(one.event, []).append(one)
    for event, parts in by_event.items():
        if event not in ends:
            raise ValueError(f"event {event!r} is none of {', '.join(ends)}")
        found.append(_event_look(parts, ends[event], start_s))
    return tuple(sorted(found, key=lambda look: look.hour))


def _stage_look(one: StageCount, order: Mapping[str, int], start_s: float) -> StageLook:
    counts = np.zeros((len(order) + 1, 2))
    for stage, number in one.counts.items():
        if stage != "adult" and stage not in order:
            raise ValueError(f"stage {stage!r} is none of {', '.join(order)}")
        at_rest = min(one.resting.get(stage, 0), number)
        counts[order.get(stage, len(order))] += (number - at_rest, at_rest)
    return StageLook.of((one.at_s - start_s) / 3600.0, counts, one.rest_hours)


def _event_look(parts: Sequence[Passed], stage: int, start_s: float) -> EventLook:
    ordered = sorted(parts, key=lambda part: part.by_s)
    edges: list[float] = []
    numbers: list[float] = []
    first = min(part.after_s for part in ordered)
    if np.isfinite(first):
        edges.append(first)
        numbers.append(0.0)
    for part in ordered:
        if edges and part.by_s == edges[-1]:
            numbers[-1] += part.number
        else:
            edges.append(part.by_s)
            numbers.append(float(part.number))
    of = max(max(part.of for part in ordered), sum(numbers))
    numbers.append(of - sum(numbers))
    hours = (np.array(edges) - start_s) / 3600.0
    sound = min(part.sound for part in ordered)
    return EventLook(stage, hours, np.array(numbers), sound)
