"""How likely what was seen of a brood is, for each simulated brood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import numpy as np

from rearing.science.seen import StageCount
from rearing.science.shares_below import share_below

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.science.draws import Passage
    from rearing.science.seen import Passed, Seen

    Array = NDArray[np.float64]
    PassedBy = Mapping[tuple[int, float], Array]

LADDER = np.array([-1.8, -0.6, 0.6, 1.8])
"""Latenesses walked to know how many of a brood have passed an event by an hour."""

CLUMPING = 0.05
"""Correlation of animals of one brood about their model, so that n of them tell as
much as n / (1 + (n - 1) CLUMPING) would (from memory): they sit and moult together,
and a count by eye takes some for older or younger than they are."""

MISREAD = 0.02
"""Share of animals that are taken for the stage before or after (from memory)."""

MISJUDGED = 0.003
"""Share that may be anywhere, so that no one animal settles anything (from memory)."""

_NEVER = 1e6  # hours; stands for beyond the track where differences are taken


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

    def asks(self) -> Iterator[tuple[int, float]]:
        """Yield the ends of stages, and hours, at which shares must be known."""
        for stage in range(max(self.youngest - 1, 0), self.top + 1):
            yield stage, self.hour

    def classes(
        self, passed: PassedBy, passages: Sequence[Passage], weights: Array
    ) -> tuple[list[float], list[Array]]:
        """Return numbers, and the draws' shares, from the youngest to the oldest."""
        k = self.youngest
        one = np.ones(len(passages[0].left))
        before = passed[k - 1, self.hour] if k > 0 else one
        numbers, shares = [0.0], [one - before]
        for passage in passages[k : self.top + 1]:
            after = passed[k, self.hour]
            active, at_rest = self.counts[k].tolist()
            if at_rest:
                rest = np.maximum(passage.left - self.rest_hours, passage.begun)
                sat = share_passed(rest, weights, np.array([self.hour]))[0]
                numbers.append(active)
                shares.append(before - sat)
                active, before = at_rest, sat
            numbers.append(active)
            shares.append(before - after)
            before, k = after, k + 1
        numbers.append(float(self.counts[k:].sum()))
        shares.append(before)
        return numbers, shares


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

    def asks(self) -> Iterator[tuple[int, float]]:
        """Yield the stage's end at every check that bounds animals, and the last."""
        some = self.numbers[:-1] > 0
        for i in np.flatnonzero(some | np.append(some[1:], True)).tolist():
            yield self.stage, float(self.hours[i])

    def classes(
        self, passed: PassedBy, passages: Sequence[Passage], weights: Array
    ) -> tuple[list[float], list[Array]]:
        """Return numbers, and the draws' shares, by interval and of those to come."""
        at = dict(zip(self.hours.tolist(), self.numbers.tolist(), strict=False))
        before = np.zeros(len(passages[0].left))
        numbers, shares = [], []
        for stage, hour in self.asks():
            after = passed[stage, hour]
            numbers.append(at[hour])
            shares.append(self.sound * (after - before))
            before = after
        numbers.append(float(self.numbers[-1]))
        shares.append(1.0 - self.sound * before)
        return numbers, shares


Look = StageLook | EventLook


def _weight(number: float) -> float:
    """Part of a count that is worth as much as animals of different broods."""
    return 1.0 / (1.0 + max(number - 1.0, 0.0) * CLUMPING)


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


def ranks_passed(left: Array, levels: Array, hours: Array) -> Array:
    """Return the share of each lot that had passed by each hour.

    Parameters
    ----------
    left : NDArray[float64], shape (n_draws, n_lots * n_levels)
        When a ladder of latenesses passed [h].
    levels : NDArray[float64], shape (n_levels,)
        Those latenesses, ascending, in standard deviations.
    hours : NDArray[float64], shape (n_hours,)

    Returns
    -------
    NDArray[float64], shape (n_hours, n_draws, n_lots)
        Straight between the rungs in lateness, and on beyond them.
    """
    n = len(levels)
    rungs = np.minimum(left.reshape(len(left), -1, n), _NEVER)
    hour = np.asarray(hours, dtype=np.float64)[:, None, None]
    level = np.full((len(hours), *rungs.shape[:2]), levels[0])
    for i in range(n - 1):
        begun = rungs[..., i]
        steep = (levels[i + 1] - levels[i]) / np.maximum(rungs[..., i + 1] - begun, 0.1)
        step = (hour - begun) * steep
        if i > 0:
            np.maximum(step, 0.0, out=step)
        if i < n - 2:
            np.minimum(step, levels[i + 1] - levels[i], out=step)
        level += step
    return share_below(level)


@dataclass(frozen=True, slots=True)
class Judged:
    """How well draws agree with all looks.

    Attributes
    ----------
    log_likelihood : NDArray[float64], shape (n_draws,)
    roots : NDArray[float64], shape (n_classes, n_draws)
        Twice the roots of the numbers expected in the classes of all looks; the squares
        of their slopes add up to what the looks tell (Fisher's information).
    """

    log_likelihood: Array
    roots: Array


def judge(
    all_looks: Sequence[Look], passages: Sequence[Passage], weights: Array
) -> Judged:
    """Compare the looks with each draw.

    Parameters
    ----------
    all_looks : sequence of Look
    passages : sequence of Passage
        Of a ladder of `LADDER` for each lot, up to the last stage that was seen.
    weights : NDArray[float64], shape (n_lots,)
        Share of the brood in each lot, in the order of their first stage.

    Returns
    -------
    Judged

    Notes
    -----
    Each look is a multinomial count of n animals that weighs as n / (1 + (n - 1)
    `CLUMPING`) of them. In a look at stages `MISREAD` of the animals are read as of
    the stage before or after; `MISJUDGED` may be in any class.
    """
    asked: dict[int, dict[float, None]] = {}
    for look in all_looks:
        for stage, hour in look.asks():
            asked.setdefault(stage, {})[hour] = None
    passed: dict[tuple[int, float], Array] = {}
    for stage, hours in asked.items():
        rows = share_passed(passages[stage].left, weights, np.array(list(hours)))
        passed |= {(stage, hour): row for hour, row in zip(hours, rows, strict=True)}
    numbers, shares, totals, misread = [], [], [], []
    for look in all_looks:
        some, of = look.classes(passed, passages, weights)
        total = sum(some)
        numbers += [_weight(total) * number for number in some]
        totals += [_weight(total) * total] * len(some)
        misread += [look.misread] * (len(some) - 1) + [0.0]
        shares += of
    share = _as_read(np.maximum(np.array(shares), 0.0), np.array(misread)[:-1, None])
    expected = np.array(totals)[:, None] * share
    return Judged(np.array(numbers) @ np.log(share), 2.0 * np.sqrt(expected))


def _as_read(share: Array, between: Array) -> Array:
    """Shares of the classes as they are read, some for the class before or after.

    `between[j]` is the part of class j read as j + 1, and the other way round.
    """
    read = share + MISJUDGED
    moved = between * (share[:-1] - share[1:])
    read[:-1] -= moved
    read[1:] += moved
    return np.maximum(read, MISJUDGED)


def share_passed(left: Array, weights: Array, hours: Array) -> Array:
    """Share of the whole brood that had passed by each hour, shape (n_hours, n_draws).

    Lots that start in a later stage are past this one.
    """
    ranks = ranks_passed(left, LADDER, hours)
    n = ranks.shape[2]
    return np.asarray(ranks @ weights[:n] + weights[n:].sum())
