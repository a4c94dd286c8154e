"""A ladder of latenesses of each lot, and what share had come to a point by an hour.

Whether an animal had come so far is asked in heat: had as much gathered by the hour as
it needs? Hours are looked up only where the heat of the next stage is another.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.animals import LEAST_SHARE, Lot, ladder
from rearing.science.draws import chilled_at
from rearing.science.shares_below import share_below

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.animals import Animals
    from rearing.science.evidence import Ask
    from rearing.science.heats import Course, Heats
    from rearing.science.stages import StageHeat
    from rearing.science.unknowns import Paces

    Array = NDArray[np.float64]

_PAST_DD = -1e6  # where a lot that starts later stands on the way: it is past
_APART_DD = 1e-3  # rungs are taken to lie no nearer to each other
_NONE_AND_ONE = np.array([0.0, 1.0])  # a spread of nought and one give the line
_ONLY = np.zeros(1, dtype=np.intp)  # of the futures: what was seen lies before them


@dataclass(frozen=True, slots=True)
class Run:
    """Stages one after the other that count the same heat.

    Attributes
    ----------
    begin, end : int
        The first of them, and the first beyond them.
    course : Course
    chill_hours : float
        Cold that must come before the heat of the first one [h].
    before, started : int
        Lots that start in an earlier run; these and those that start in this one.
    entered_dd : NDArray[float64], shape (started - before, n_nodes)
        Heat when the lots that start here begin to gather theirs.
    """

    begin: int
    end: int
    course: Course
    chill_hours: float
    before: int
    started: int
    entered_dd: Array


@dataclass(frozen=True, slots=True)
class Points:
    """What is asked of a ladder, laid out once.

    Attributes
    ----------
    stage : NDArray[intp], shape (n_points,)
        The end of this stage; from `begun_from` on its beginning.
    heat : tuple of (NDArray[intp], NDArray[float64] of shape (n, n_nodes)), one a run
        The points that lie in it, and the heat at their hours.
    lower_of : NDArray[intp], shape (n_points - begun_from,)
        The asks that hold no more than these beginnings do.
    begun_from : int
        Number of asks.
    """

    stage: NDArray[np.intp]
    heat: tuple[tuple[NDArray[np.intp], Array], ...]
    lower_of: NDArray[np.intp]
    begun_from: int

    @classmethod
    def of(cls, asks: Sequence[Ask], runs: Sequence[Run]) -> Points:
        """Lay them out: to be near the end of a stage, it must have begun, too."""
        near = [i for i, (_, _, before) in enumerate(asks) if before]
        stages = [stage for stage, _, _ in asks] + [asks[i][0] for i in near]
        hours = [hour + before for _, hour, before in asks]
        hours += [asks[i][1] for i in near]
        stage, hour = np.array(stages, dtype=np.intp), np.array(hours, dtype=np.float64)
        heat = []
        for run in runs:
            own = np.flatnonzero((stage >= run.begin) & (stage < run.end))
            heat.append((own, _by_node(run.course, hour[own])))
        return cls(stage, tuple(heat), np.array(near, dtype=np.intp), len(asks))


@dataclass(frozen=True, slots=True)
class Ladder:
    """The same ranks of each lot in every draw, spread by that draw's factor.

    A rung's share of a stage is a straight line in the spread: `fixed` + spread x
    `growing`. So it is worked out once for a brood, and not again for every draw that
    is judged.

    Attributes
    ----------
    levels : NDArray[float64], shape (n_rungs,)
        Their ranks, ascending, in standard deviations of the normal.
    first_stage : NDArray[intp], shape (n_lots,)
        Ascending.
    fixed, growing : NDArray[float64], shape (n_stages, n_rungs, n_lots, 1)
    runs : tuple of Run
    """

    levels: Array
    first_stage: NDArray[np.intp]
    fixed: Array
    growing: Array
    runs: tuple[Run, ...]

    @classmethod
    def of(
        cls,
        lots: Sequence[Lot],
        levels: Array,
        stages: Sequence[StageHeat],
        heats: Heats,
    ) -> Ladder:
        """Lay out `levels` of the normal for each lot along some stages."""
        both = ladder(lots, levels, _NONE_AND_ONE)
        n = len(levels)
        starts = tuple((lot.first_stage, lot.fresh) for lot in lots)
        fixed, growing = _lines(starts, tuple(levels.tolist()), tuple(stages))
        runs = _runs(both, n, stages, heats)
        return cls(levels, both.first_stage[::n], fixed, growing, runs)

    def shares(self, spread: Array) -> Array:
        """Return the rungs' shares of a need, (n_stages, n_rungs, n_lots, n_draws).

        `spread` is the factor of each draw, shape (n_draws,) [1].
        """
        share = self.growing * spread
        share += self.fixed
        return np.maximum(share, LEAST_SHARE, out=share)

    def points(self, asks: Sequence[Ask]) -> Points:
        """Lay out what is asked of it."""
        return Points.of(asks, self.runs)

    def ranks(self, points: Points, paces: Paces, cold: Course) -> Array:
        """Return the share of each lot that had come to what is asked for.

        Parameters
        ----------
        points : Points
        paces : Paces
        cold : Course
            Hours of cold.

        Returns
        -------
        NDArray[float64], shape (n_asks, n_lots, n_draws)
            1 where a lot starts in a later stage.

        Notes
        -----
        Rung r has come to the end of stage s when the heat gathered since the lot's
        beginning is above sum_j need_j share_jr. The rank that just has is straight in
        that heat between the rungs, and on beyond them. Near the end of a stage is who
        will be there so many hours later, and is in it.
        """
        needs = self.shares(paces.spread)
        needs *= paces.need_dd[: len(needs), None, None]
        ends = np.empty_like(needs)
        had = np.zeros((len(points.stage), len(paces.spread)))
        came: Array | None = None
        for run, (own, heat) in zip(self.runs, points.heat, strict=True):
            if not run.started:
                ends[run.begin : run.end] = _PAST_DD
                continue
            node = paces.node[run.begin]
            self._walk(run, _begun(run, came, node, cold), needs, ends)
            if len(own):
                had[own] = heat.take(node, axis=1)
            if run.end < len(ends):
                last = np.ascontiguousarray(ends[run.end - 1, :, : run.started])
                came = run.course.when(node, _ONLY, last)
        return self._ranks(points, had, needs, ends)

    def _walk(self, run: Run, begun: Array, needs: Array, ends: Array) -> None:
        """Lay down the heat at which each rung ends the stages of a run."""
        own = ends[run.begin : run.end, :, : run.started]
        part = needs[run.begin : run.end, :, : run.started]
        stages = np.arange(run.begin, run.end)
        later = self.first_stage[: run.started] > stages[:, None]
        some_later = later.any()
        if some_later:
            part *= ~later[:, None, :, None]
        np.cumsum(part, axis=0, out=own)
        own += begun
        if some_later:
            own += _PAST_DD * later[:, None, :, None]
        ends[run.begin : run.end, :, run.started :] = _PAST_DD

    def _ranks(self, points: Points, had: Array, needs: Array, ends: Array) -> Array:
        """Return the share of each lot for each of the asks."""
        sought = ends.take(points.stage, axis=0)
        n = points.begun_from
        if len(points.lower_of):
            sought[n:] -= needs.take(points.stage[n:], axis=0)
        np.subtract(had[:, None, None], sought, out=sought)
        level = np.full((len(had), *sought.shape[2:]), self.levels[0])
        last = len(self.levels) - 2
        for i in range(last + 1):
            over, width = sought[:, i], self.levels[i + 1] - self.levels[i]
            step = over - sought[:, i + 1]
            np.maximum(step, _APART_DD, out=step)
            np.divide(over, step, out=step)
            step *= width
            if i > 0:
                np.maximum(step, 0.0, out=step)
            if i < last:
                np.minimum(step, width, out=step)
            level += step
        if len(points.lower_of):
            least = np.minimum(level[points.lower_of], level[n:])
            level[points.lower_of] = least
        return share_below(level[:n])


@lru_cache(maxsize=256)
def _lines(
    starts: tuple[tuple[int, bool], ...],
    levels: tuple[float, ...],
    stages: tuple[StageHeat, ...],
) -> tuple[Array, Array]:
    """Lay out the rungs' shares of each need, as `Ladder.fixed` and `Ladder.growing`.

    Lots that start alike, first stage and whether fresh, share them, whenever it was.
    """
    n = len(levels)
    lots = [Lot(first, 0.0, 1, fresh) for first, fresh in starts]
    both = ladder(lots, np.array(levels), _NONE_AND_ONE)
    fixed, growing = np.zeros((2, len(stages), n, len(lots), 1))
    for i, share in enumerate(both.shares_unheld(stages)):
        none, one = np.broadcast_to(share, (2, share.shape[1]))
        passing = share.shape[1] // n
        fixed[i, :, :passing, 0] = none.reshape(passing, n).T
        growing[i, :, :passing, 0] = (one - none).reshape(passing, n).T
    fixed.flags.writeable = growing.flags.writeable = False
    return fixed, growing


def _begun(run: Run, came: Array | None, node: NDArray[np.intp], cold: Course) -> Array:
    """Heat at which the lots begin a run, shape ([n_rungs,] started, n_draws)."""
    entered = run.entered_dd.take(node, axis=1)
    if came is None:
        return entered
    if run.chill_hours:
        came = np.maximum(came, chilled_at(cold, _ONLY, came, run.chill_hours))
    begun = np.empty((len(came), run.started, len(node)))
    begun[:, : run.before] = run.course.at(node, _ONLY, came)
    begun[:, run.before :] = entered
    return begun


def _runs(
    both: Animals, n: int, stages: Sequence[StageHeat], heats: Heats
) -> tuple[Run, ...]:
    """Put stages together that share threshold, and the draw of it, without a cold."""
    first, hours = both.first_stage[::n], both.entered[::n]
    edges = [
        i + 1
        for i, (one, other) in enumerate(pairwise(stages))
        if not _same_heat(one, other)
    ]
    ends = [0, *edges, len(stages)]
    runs = []
    for begin, end in pairwise(ends):
        before, started = (int(np.searchsorted(first, i)) for i in (begin, end))
        own, entered = slice(before, started), hours[before:started]
        chill_hours = stages[begin].chill_hours
        if chill_hours:
            since = both.cold_from[::n][own]
            cold = chilled_at(heats.cold, _ONLY, since, chill_hours)
            entered = np.where(first[own] == begin, np.maximum(entered, cold), entered)
        course = heats.by_stage[begin]
        heat = _by_node(course, entered)
        runs.append(Run(begin, end, course, chill_hours, before, started, heat))
    return tuple(runs)


def _by_node(course: Course, hours: Array) -> Array:
    """Heat at some hours above each node, shape (n_hours, n_nodes)."""
    nodes = np.arange(len(course.past.ends))
    whole = np.broadcast_to(hours[:, None], (len(hours), len(nodes)))
    return course.at(nodes, _ONLY, whole)


def _same_heat(one: StageHeat, other: StageHeat) -> bool:
    heats = [(s.t0_c, s.t0_sd_c, s.upper_c) for s in (one, other)]
    drawn_once = one.group == other.group != "" or one.t0_sd_c == 0
    return heats[0] == heats[1] and drawn_once and not other.chill_hours
