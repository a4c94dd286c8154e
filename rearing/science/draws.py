"""Simulated broods: animals walked along the heat, stage by stage."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from rearing.science.animals import Animals
    from rearing.science.heats import Course, Heats
    from rearing.science.stages import StageHeat
    from rearing.science.unknowns import Paces


@dataclass(frozen=True, slots=True)
class Passage:
    """One stage of all animals: heat counts from `begun`, the stage ends at `left`.

    Shape (n_draws, n_animals that pass it) [hours since the start of the track].
    """

    begun: NDArray[np.float64]
    left: NDArray[np.float64]
    need_dd: NDArray[np.float64]

    def of_animals(self, keep: NDArray[np.bool_]) -> Passage:
        """Return only the columns of some of all animals."""
        own = keep[: self.left.shape[1]]
        return Passage(self.begun[:, own], self.left[:, own], self.need_dd[:, own])

    def of_draws(self, keep: NDArray[np.bool_]) -> Passage:
        """Return only some of the draws."""
        return Passage(self.begun[keep], self.left[keep], self.need_dd[keep])


def walk(  # noqa: PLR0913 - all that animals meet
    stages: Sequence[StageHeat],
    heats: Heats,
    paces: Paces,
    animals: Animals,
    scenario: NDArray[np.intp],
    *,
    until: int | None = None,
    shares: Iterable[NDArray[np.float64]] | None = None,
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
    shares : iterable of NDArray[float64], or None
        The animals' shares of the need of each stage walked, where they are known.

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
    now = np.empty((draws, 0))
    gathered: NDArray[np.float64] | None = None
    passages = []
    parts = animals.shares(stages[:until]) if shares is None else shares
    for i, (stage, share) in enumerate(zip(stages, parts, strict=False)):
        begun = _and_new(now, animals.entered[animals.first_stage == i])
        if not begun.shape[1]:
            passages.append(Passage(begun, begun, begun))
            continue
        if stage.chill_hours > 0:
            since = _and_new(now, animals.cold_from[animals.first_stage == i])
            cold = chilled_at(heats.cold, future, since, stage.chill_hours)
            begun = np.maximum(begun, cold)
        course, node = heats.by_stage[i], paces.node[i][:, None]
        need = paces.need_dd[i][:, None] * share
        if gathered is None or begun is not now:
            gathered = course.at(node, future, begun)
        sought = gathered + need
        reached = np.maximum(begun, course.when(node, future, sought))
        now = animals.as_seen(reached, i)
        passages.append(Passage(begun, now, need))
        # The heat at its end is known where the next stage counts the same heat.
        same = i + 1 < len(heats.by_stage) and heats.by_stage[i + 1] is course
        goes_on = same and bool((paces.node[i + 1] == paces.node[i]).all())
        gathered = sought if goes_on and now is reached else None
    return tuple(passages)


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
