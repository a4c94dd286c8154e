"""Simulated broods: thresholds, paces and animals drawn, and walked along the heat."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtr, ndtri

from rearing.science.curves import HeatCurve

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.animals import Animals
    from rearing.science.stages import StageHeat

NODES = 7
"""Thresholds are drawn from so many equally likely nodes; odd, so that one is t0_c."""

T0_SHARE = 0.7
"""Share of the variance of T0 common to all stages of a brood. Computed: mean
correlation of egg, larval and pupal thresholds in 139-152 rows of Buckley et al.
2017, Integr. Comp. Biol. 57:988-998 (0.68, 0.60, 0.76)."""

PACE_SHARE = 0.2
"""Share of the variance of ln K (given T0) common to all stages of a brood: its pace.
Computed from the same rows: residual correlations 0.47, -0.25, 0.34, mean 0.19."""

CHILL_LOW_C, CHILL_HIGH_C = -5.0, 10.0
"""Between these an hour counts as cold for a stage that needs chill (from memory)."""


def _node_levels() -> NDArray[np.float64]:
    """Return the nodes in standard deviations, of mean 0 and variance 1."""
    z = np.asarray(ndtri((np.arange(NODES) + 0.5) / NODES), dtype=np.float64)
    return np.asarray(z / z.std(), dtype=np.float64)


NODE_LEVELS = _node_levels()


@dataclass(frozen=True, slots=True)
class Heats:
    """The curves of a track: heat for each stage, and cold."""

    by_stage: tuple[HeatCurve, ...]
    cold: HeatCurve

    @classmethod
    def of(cls, stages: Sequence[StageHeat], celsius: NDArray[np.float64]) -> Heats:
        """Curves of the stages; those with the same threshold share one."""
        known: dict[tuple[float, float, float | None], HeatCurve] = {}
        for stage in stages:
            key = (stage.t0_c, stage.t0_sd_c, stage.upper_c)
            if key not in known:
                known[key] = _curve(stage, celsius)
        cold = (celsius >= CHILL_LOW_C) & (celsius <= CHILL_HIGH_C)
        return cls(
            tuple(known[(s.t0_c, s.t0_sd_c, s.upper_c)] for s in stages),
            HeatCurve.of(cold[None, :].astype(np.float64)),
        )


def _curve(stage: StageHeat, celsius: NDArray[np.float64]) -> HeatCurve:
    """Degree-days by node, horizontal upper cutoff."""
    levels = NODE_LEVELS if stage.t0_sd_c > 0 else NODE_LEVELS[NODES // 2, None]
    t0: NDArray[np.float64] = stage.t0_c + stage.t0_sd_c * levels
    held = celsius if stage.upper_c is None else np.minimum(celsius, stage.upper_c)
    hourly = (held / 24.0)[None, :] - (t0 / 24.0)[:, None]
    return HeatCurve.of(np.maximum(hourly, 0.0, out=hourly))


@dataclass(frozen=True, slots=True)
class Paces:
    """What each draw believes of each stage: shape (n_stages, n_draws)."""

    node: NDArray[np.intp]
    need_dd: NDArray[np.float64]


def middle_paces(stages: Sequence[StageHeat]) -> Paces:
    """Return the one draw in which everything is as the means have it."""
    centre = [NODES // 2 if s.t0_sd_c > 0 else 0 for s in stages]
    need = np.exp([s.ln_k for s in stages])
    return Paces(np.array(centre)[:, None], need[:, None])


def draw_paces(
    stages: Sequence[StageHeat],
    rng: np.random.Generator,
    draws: int,
    stretch: float = 1.0,
) -> Paces:
    """Draw threshold nodes and needs of heat.

    Parameters
    ----------
    stages : sequence of StageHeat
        In the order of life.
    rng : numpy.random.Generator
    draws : int
        Number of draws.
    stretch : float
        Factor on the spread of ln K [1].

    Returns
    -------
    Paces
        Shape (n_stages, n_draws).

    Notes
    -----
    ln K = ln_k + ln_k_per_c (T0 - t0_c) + ln_k_sd (sqrt(q) b + sqrt(1 - q) g) with
    b one standard normal of the brood, g one of the stage's group, q `PACE_SHARE`;
    T0 likewise with `T0_SHARE`, rounded to the nearest of `NODES` likely values.
    """
    names = [stage.group or f" {i}" for i, stage in enumerate(stages)]
    row = {name: i for i, name in enumerate(dict.fromkeys(names))}
    brood = rng.standard_normal((2, 1, draws))
    brood[0].sort()  # neighbours then look up the same node: memory, not chance
    own = rng.standard_normal((2, len(row), draws))
    z_t0 = np.sqrt(T0_SHARE) * brood[0] + np.sqrt(1 - T0_SHARE) * own[0]
    z_k = np.sqrt(PACE_SHARE) * brood[1] + np.sqrt(1 - PACE_SHARE) * own[1]
    nodes = np.minimum((ndtr(z_t0) * NODES).astype(np.intp), NODES - 1)
    node, ln_k = np.zeros((len(stages), draws), np.intp), np.empty((len(stages), draws))
    for i, (stage, name) in enumerate(zip(stages, names, strict=True)):
        g = row[name]
        ln_k[i] = stage.ln_k + stretch * stage.ln_k_sd * z_k[g]
        if stage.t0_sd_c > 0:
            node[i] = nodes[g]
            ln_k[i] += stage.ln_k_per_c * stage.t0_sd_c * NODE_LEVELS[nodes[g]]
    return Paces(node, np.exp(ln_k))


@dataclass(frozen=True, slots=True)
class Passage:
    """One stage of all animals: heat counts from `begun`, the stage ends at `left`.

    Shape (n_draws, n_animals that pass it) [hours since the start of the track].
    """

    begun: NDArray[np.float64]
    left: NDArray[np.float64]
    need_dd: NDArray[np.float64]


def walk(
    stages: Sequence[StageHeat],
    heats: Heats,
    paces: Paces,
    animals: Animals,
) -> tuple[Passage, ...]:
    """Carry animals through the stages and say when each stage began and ended.

    Parameters
    ----------
    stages, heats, paces
        Belief, curves and draws.
    animals : Animals
        Columns in the order of the stage in which they start.

    Returns
    -------
    tuple of Passage
        One for each stage; its columns are the animals that pass through it.

    Notes
    -----
    The stage ends when the heat since `begun` equals the draw's need times the
    animal's share of it: rate (min(T, upper) - T0)+ / K, summed hour by hour and
    linear within the hour.
    """
    draws = paces.need_dd.shape[1]
    now = np.empty((draws, 0))
    passages = []
    for i, (stage, share) in enumerate(
        zip(stages, animals.shares(stages), strict=True)
    ):
        new = animals.first_stage == i
        begun = _and_new(now, animals.entered[new])
        if stage.chill_hours > 0:
            since = _and_new(now, animals.cold_from[new])
            begun = np.maximum(begun, chilled_at(heats.cold, since, stage.chill_hours))
        node = paces.node[i][:, None]
        need = paces.need_dd[i][:, None] * share
        curve = heats.by_stage[i]
        now = np.maximum(begun, curve.when(node, curve.at(node, begun) + need))
        passages.append(Passage(begun, now, need))
    return tuple(passages)


def _and_new(now: NDArray[np.float64], new: NDArray[np.float64]) -> NDArray[np.float64]:
    """Append the animals that start here, the same in every draw."""
    if not len(new):
        return now
    return np.concatenate((now, np.broadcast_to(new, (len(now), len(new)))), axis=1)


def chilled_at(
    cold: HeatCurve, since: NDArray[np.float64], chill_hours: float
) -> NDArray[np.float64]:
    """Hour at which `chill_hours` of cold have passed since an hour."""
    node = np.zeros((1,) * since.ndim, np.intp)
    return cold.when(node, cold.at(node, since) + chill_hours)
