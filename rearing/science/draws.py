"""Simulated broods: animals walked along the heat, stage by stage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.animals import Animals
    from rearing.science.heats import Course, Heats
    from rearing.science.stages import StageHeat
    from rearing.science.unknowns import Paces


@dataclass(frozen=True, slots=True)
class Passage:
    """One stage of all animals, in the heat of each draw's node and future.

    Attributes
    ----------
    course : Course
    node, future : NDArray[intp], shape (n_draws, 1)
    begun_dd, end_dd : NDArray[float64], shape (n_draws, n_animals that pass it)
        Heat since the start of the track when theirs begins to count, and when the
        stage ends [degree-days]; in one draw who has more of it is later.
    not_before : float
        It is known to end no earlier [hours since the start of the track].
    """

    course: Course
    node: NDArray[np.intp]
    future: NDArray[np.intp]
    begun_dd: NDArray[np.float64]
    end_dd: NDArray[np.float64]
    not_before: float = -np.inf

    @property
    def passing(self) -> int:
        """How many animals pass it: the first ones."""
        return int(self.end_dd.shape[1])

    @property
    def begun(self) -> NDArray[np.float64]:
        """Hours at which its heat begins to count; where heat pauses, the first."""
        return self.course.when(self.node, self.future, self.begun_dd)

    @property
    def left(self) -> NDArray[np.float64]:
        """Hours since the start of the track at which it ends; infinite beyond it."""
        return self.hours(self.end_dd)

    def counts_as(self, other: Passage) -> bool:
        """Tell whether both count the same heat in every draw."""
        return self.course is other.course and bool((self.node == other.node).all())

    def hours(self, dd: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return when some of its ends are, shape (n_draws, ...) [h]."""
        hours = self.course.when(self.node, self.future, dd)
        return np.maximum(hours, self.not_before, out=hours)

    def of_animals(self, keep: NDArray[np.bool_]) -> Passage:
        """Return only the columns of some of all animals."""
        own = keep[: self.passing]
        return replace(self, begun_dd=self.begun_dd[:, own], end_dd=self.end_dd[:, own])

    def of_draws(self, keep: NDArray[np.bool_]) -> Passage:
        """Return only some of the draws."""
        return replace(
            self,
            node=self.node[keep],
            future=self.future[keep],
            begun_dd=self.begun_dd[keep],
            end_dd=self.end_dd[keep],
        )


def walk(
    stages: Sequence[StageHeat],
    heats: Heats,
    paces: Paces,
    animals: Animals,
    scenario: NDArray[np.intp],
    *,
    until: int | None = None,
) -> tuple[Passage, ...]:
    """Carry animals through the stages and say when each stage began and ended.

    Parameters
    ----------
    stages, heats, paces
        Belief, courses and draws.
    animals : Animals
        Columns in the order of the stage in which they start.
    scenario : NDArray[intp], shape (n_draws,)
        The future of each draw.
    until : int or None
        Number of stages that are walked; all of them where not given.

    Returns
    -------
    tuple of Passage
        One for each stage; its columns are the animals that pass through it.

    Notes
    -----
    The stage ends when the heat since `begun` equals the draw's need times the
    animal's share of it: rate (min(T, upper) - T0)+ / K, summed hour by hour and
    linear within the hour. An animal seen in a stage at an hour entered it no later
    and leaves it no earlier.
    """
    draws = paces.need_dd.shape[1]
    future = scenario[:, None]
    passages: list[Passage] = []
    for i, (stage, share) in enumerate(
        zip(stages, animals.shares(stages[:until]), strict=False)
    ):
        course, node = heats.by_stage[i], paces.node[i][:, None]
        last = passages[-1] if passages else None
        new = animals.first_stage == i
        if not share.shape[1]:
            none = np.empty((draws, 0))
            passages.append(Passage(course, node, future, none, none))
            continue
        goes_on = (
            last is not None
            and last.passing > 0
            and not stage.chill_hours
            and last.course is course
            and bool((last.node == node).all())
        )
        if last is not None and goes_on:
            entered = _and_new(np.empty((draws, 0)), animals.entered[new])
            begun = last.end_dd
            if entered.shape[1]:
                begun = np.concatenate((begun, course.at(node, future, entered)), 1)
        else:
            now = np.empty((draws, 0)) if last is None else _left(last)
            hours = _and_new(now, animals.entered[new])
            if stage.chill_hours > 0:
                since = _and_new(now, animals.cold_from[new])
                cold = chilled_at(heats.cold, future, since, stage.chill_hours)
                hours = np.maximum(hours, cold)
            begun = course.at(node, future, hours)
        end = begun + paces.need_dd[i][:, None] * share
        if animals.was_seen:
            seen = np.full((draws, 1), animals.seen_hour)
            end = animals.as_seen(end, course.at(node, future, seen), i)
        passages.append(Passage(course, node, future, begun, end))
    return tuple(passages)


def _left(last: Passage) -> NDArray[np.float64]:
    return last.left if last.passing else last.end_dd


def _and_new(now: NDArray[np.float64], new: NDArray[np.float64]) -> NDArray[np.float64]:
    """Append the animals that start here, the same in every draw."""
    if not len(new):
        return now
    return np.concatenate((now, np.broadcast_to(new, (len(now), len(new)))), axis=1)


def chilled_at(
    cold: Course,
    future: NDArray[np.intp],
    since: NDArray[np.float64],
    chill_hours: float,
) -> NDArray[np.float64]:
    """Hour at which `chill_hours` of cold have passed since an hour."""
    node = np.zeros((1,) * since.ndim, np.intp)
    return cold.when(node, future, cold.at(node, future, since) + chill_hours)
