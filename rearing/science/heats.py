"""Heat of every stage along a track, past and futures, summed once and shared."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.curves import HeatCurve

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.stages import StageHeat, Track

NODES = 7
"""Heat is summed for so many thresholds about t0_c; odd, so that one is t0_c itself."""

NODE_LEVELS = 0.6 * (np.arange(NODES) - NODES // 2)
"""Where they lie, in standard deviations of what is believed of the threshold."""

STEP_H = 6
"""Futures are summed in steps of so many hours; within a step heat is taken as even.
Their heat is wrong by less than a step's, which no future deserves better."""

NEAR_H = 24 * 30
"""Of the futures so many hours say how warm it is when a threshold is above."""

SOON_H = 24 * 60
"""So many hours of the futures are summed first; the rest where a need goes beyond."""

CHILL_LOW_C, CHILL_HIGH_C = -5.0, 10.0
"""Between these an hour counts as cold for a stage that needs chill (from memory)."""


Threshold = tuple[float, float, float | None]


@dataclass(frozen=True, slots=True)
class Course:
    """Heat along the past, then along as many futures as there are.

    Attributes
    ----------
    store : HeatStore
        Sums the heat when it is first asked for, and keeps it.
    celsius : NDArray[float64], shape (n_hours,)
        The past [°C].
    futures : NDArray[float64], shape (n_scenarios, n_hours), or None
        [°C].
    threshold : (t0_c, t0_sd_c, upper_c) or None
        None for hours of cold.
    days_per_heat : NDArray[float64], shape (n_nodes,)
        Days above the threshold for each degree-day above it, along the past and the
        next `NEAR_H` hours: the heat that is missed where a threshold lies a degree
        above its node is so much of the whole [1/°C].
    """

    store: HeatStore
    celsius: NDArray[np.float64]
    futures: NDArray[np.float64] | None
    threshold: Threshold | None
    days_per_heat: NDArray[np.float64] = field(default_factory=lambda: np.zeros(NODES))

    @property
    def past(self) -> HeatCurve:
        """One row a node, one place an hour."""
        return self.store.curve(self.celsius, self.threshold)

    @property
    def past_hours(self) -> int:
        """Length of the past [h]."""
        return len(self.celsius)

    @property
    def ahead(self) -> HeatCurve | None:
        """Row node × scenarios + scenario, one place every `STEP_H` hours."""
        if self.futures is None:
            return None
        return self.store.curve(self.futures, self.threshold)

    @property
    def scenarios(self) -> int:
        """How many futures there are."""
        return 1 if self.futures is None else len(self.futures)

    def at(
        self,
        node: NDArray[np.intp],
        scenario: NDArray[np.intp],
        hour: NDArray[np.float64],
    ) -> NDArray[np.float64]:
        """Heat gathered from the start of the track until `hour`; capped at its end."""
        if self.futures is None:
            return self.past.at(node, hour)
        late = hour - self.past_hours
        heat = self.past.at(node, np.minimum(hour, self.past_hours))
        furthest = late.max(initial=0.0)
        if furthest > 0:
            row = node * self.scenarios + scenario
            curve = self._soon() if furthest <= SOON_H else None
            curve = curve or self.store.curve(self.futures, self.threshold)
            heat += curve.at(row, np.maximum(late, 0.0) / STEP_H)
        return heat

    def when(
        self,
        node: NDArray[np.intp],
        scenario: NDArray[np.intp],
        heat: NDArray[np.float64],
    ) -> NDArray[np.float64]:
        """Hour at which `heat` is reached; infinite where the track ends before."""
        if self.futures is None:
            return self.past.when(node, heat)
        rest = heat - self.past.ends[node]
        early = rest <= 0
        if early.all():
            return self.past.when(node, heat)
        row = node * self.scenarios + scenario
        curve = self._soon()
        if curve is None or (rest > curve.ends[row]).any():
            curve = self.store.curve(self.futures, self.threshold)
        hour = curve.when(row, rest) * STEP_H + self.past_hours
        if early.any():
            nodes = np.broadcast_to(node, heat.shape)[early]
            hour[early] = self.past.when(nodes, heat[early])
        return hour

    def _soon(self) -> HeatCurve | None:
        """Return the first `SOON_H` hours of the futures alone.

        Eggs, and mostly larvae, end in them, and they are summed in a quarter of the
        time.
        """
        if self.futures is None:
            return None
        return self.store.soon(self.futures, self.threshold)


@dataclass(frozen=True, slots=True)
class Heats:
    """The courses of a track: heat for each stage, and cold."""

    by_stage: tuple[Course, ...]
    cold: Course


class HeatStore:
    """Keeps the sums along every past and every set of futures it was asked for.

    Arrays are told apart by identity, and kept, so that broods which stand together
    and share their arrays share the sums. Throw it away with the readings it rests on.
    """

    def __init__(self) -> None:
        self._curves: dict[tuple[int, Threshold | None], HeatCurve] = {}
        self._soon: dict[tuple[int, Threshold | None], HeatCurve] = {}
        self._days: dict[tuple[int, Threshold, int], NDArray[np.float64]] = {}
        self._marks: dict[int, int] = {}
        self._arrays: dict[int, NDArray[np.float64]] = {}

    def heats(self, stages: Sequence[StageHeat], track: Track, since: int = 0) -> Heats:
        """Return the courses of the stages; those with the same threshold share one.

        Hours of the track before `since` are before the brood's time: `days_per_heat`
        does not look at them, so that it matters to nobody how early a track begins.
        """
        thresholds: list[Threshold] = [(s.t0_c, s.t0_sd_c, s.upper_c) for s in stages]
        known = {
            one: self._course(track, one, since) for one in dict.fromkeys(thresholds)
        }
        return Heats(
            tuple(known[one] for one in thresholds), self._course(track, None, 0)
        )

    def _course(self, track: Track, threshold: Threshold | None, since: int) -> Course:
        if threshold is None:
            return Course(self, track.celsius, track.futures, None)
        days, heat = self._days_and_heat(track.celsius, threshold, since)
        if track.futures is not None:
            later = self._days_and_heat(track.futures, threshold, 0)
            days, heat = days + later[0], heat + later[1]
        per_heat = days / np.maximum(heat, 1e-6)
        return Course(self, track.celsius, track.futures, threshold, per_heat)

    def curve(
        self, celsius: NDArray[np.float64], threshold: Threshold | None
    ) -> HeatCurve:
        """Return the sums along the whole of an array; made when first asked for."""
        key = (id(celsius), threshold)
        if key not in self._curves:
            self._keep(celsius)
            self._curves[key] = HeatCurve.of(_hourly(celsius, threshold))
        return self._curves[key]

    def soon(
        self, futures: NDArray[np.float64], threshold: Threshold | None
    ) -> HeatCurve | None:
        """Return the sums along the first `SOON_H` hours, None where that is no gain.

        Which sums serve depends on what is asked alone, never on what was asked
        before: the same question has the same answer to the last digit.
        """
        if futures.shape[1] <= 2 * SOON_H:
            return None
        key = (id(futures), threshold)
        if key not in self._soon:
            self._keep(futures)
            self._soon[key] = HeatCurve.of(_hourly(futures[:, :SOON_H], threshold))
        return self._soon[key]

    def mark(self, celsius: NDArray[np.float64]) -> int:
        """Return a number that tells an array's values from others, made once.

        It holds within one run of the program only.
        """
        known = self._marks.get(id(celsius))
        if known is None:
            self._keep(celsius)
            # Python's own hash of bytes: four times as quick as the least of hashlib's.
            known = self._marks[id(celsius)] = hash(celsius.tobytes())
        return known

    def _keep(self, celsius: NDArray[np.float64]) -> None:
        self._arrays[id(celsius)] = celsius  # so that its id is not given again

    def _days_and_heat(
        self, celsius: NDArray[np.float64], threshold: Threshold, since: int
    ) -> NDArray[np.float64]:
        """Days and degree-days above each node, of futures the near hours' mean."""
        key = (id(celsius), threshold, since)
        if key not in self._days:
            self._keep(celsius)
            near = (
                celsius[min(since, celsius.size - 1) :]
                if celsius.ndim == 1
                else celsius[:, :NEAR_H]
            )
            hourly = _hourly_heat(near, threshold).reshape(-1, near.size)
            share = near.shape[-1] / max(near.size, 1)
            days = np.count_nonzero(hourly, axis=1) * (share / 24.0)
            self._days[key] = np.stack((days, hourly.sum(axis=1) * share))
        return self._days[key]


def _hourly(
    celsius: NDArray[np.float64], threshold: Threshold | None
) -> NDArray[np.float64]:
    """Heat of each hour, or of each step of the futures, by node; or hours of cold."""
    if threshold is None:
        cold = (celsius >= CHILL_LOW_C) & (celsius <= CHILL_HIGH_C)
        hourly = cold.astype(np.float64)[None]
    else:
        hourly = _hourly_heat(celsius, threshold)
    if celsius.ndim == 1:
        return hourly
    n_steps = -(-celsius.shape[1] // STEP_H)
    starts = np.arange(n_steps) * STEP_H
    summed = np.add.reduceat(hourly, starts, axis=2)
    return np.asarray(summed.reshape(-1, n_steps))


def _hourly_heat(
    celsius: NDArray[np.float64], threshold: Threshold
) -> NDArray[np.float64]:
    """Heat of each hour by node, (n_nodes, *shape of celsius); horizontal cutoff."""
    t0_c, t0_sd_c, upper_c = threshold
    levels = NODE_LEVELS if t0_sd_c > 0 else NODE_LEVELS[NODES // 2, None]
    t0 = (t0_c + t0_sd_c * levels).reshape(-1, *(1,) * celsius.ndim)
    held = celsius if upper_c is None else np.minimum(celsius, upper_c)
    hourly: NDArray[np.float64] = (held / 24.0)[None] - t0 / 24.0
    return np.maximum(hourly, 0.0, out=hourly)
