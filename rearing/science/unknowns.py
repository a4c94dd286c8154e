"""What is not known of a brood, as standard normals that hang together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.heats import NODE_LEVELS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.stages import StageHeat

T0_SHARE = 0.7
"""Share of the variance of T0 common to all stages of a brood. Computed: mean
correlation of egg, larval and pupal thresholds in 139-152 rows of Buckley et al.
2017, Integr. Comp. Biol. 57:988-998 (0.68, 0.60, 0.76)."""

PACE_SHARE = 0.2
"""Share of the variance of ln K (given T0) common to all stages of a brood: its pace.
Computed from the same rows: residual correlations 0.47, -0.25, 0.34, mean 0.19."""

SPREAD_SD = 0.25
"""Spread of ln (spread of the animals' paces): some broods keep together, some straggle
(from memory)."""

_BETWEEN_NODES = 0.5 * (NODE_LEVELS[1:] + NODE_LEVELS[:-1])

_LEAST_HEAT = 0.25  # of what a node gathers, however far above it a threshold lies


@dataclass(frozen=True, slots=True)
class Paces:
    """What each draw believes: of each stage, shape (n_stages, n_draws), and in all.

    Attributes
    ----------
    t0_c : NDArray[float64], shape (n_stages, n_draws)
        Threshold [°C].
    k_dd : NDArray[float64], shape (n_stages, n_draws)
        Need of heat above it [degree-days].
    node : NDArray[intp], shape (n_stages, n_draws)
        Node nearest the threshold, in whose heat is reckoned.
    need_dd : NDArray[float64], shape (n_stages, n_draws)
        Need of heat above the node that takes as long [degree-days].
    spread : NDArray[float64], shape (n_draws,)
        Factor on the spread of the animals' paces [1].
    """

    t0_c: NDArray[np.float64]
    k_dd: NDArray[np.float64]
    node: NDArray[np.intp]
    need_dd: NDArray[np.float64]
    spread: NDArray[np.float64]

    def of_draws(self, keep: NDArray[np.bool_]) -> Paces:
        """Return only some of the draws."""
        return Paces(
            self.t0_c[:, keep],
            self.k_dd[:, keep],
            self.node[:, keep],
            self.need_dd[:, keep],
            self.spread[keep],
        )


@dataclass(frozen=True, slots=True)
class Unknowns:
    """Rows of standard normals: T0 by group, ln K by group, ln K by stage, spread.

    Attributes
    ----------
    group : NDArray[intp], shape (n_stages,)
        Group of each stage; stages without a name for it stand alone.
    n_groups : int
    mean : NDArray[float64], shape (n,)
        Nought by the sheet; what finished broods of the species taught otherwise.
    cov : NDArray[float64], shape (n, n)
        Their covariance before anything was seen, n = 2 n_groups + n_stages + 1.
    """

    group: NDArray[np.intp]
    n_groups: int
    mean: NDArray[np.float64]
    cov: NDArray[np.float64]

    @classmethod
    def of(cls, stages: Sequence[StageHeat]) -> Unknowns:
        """Set up the unknowns of some stages."""
        names = [stage.group or f" {i}" for i, stage in enumerate(stages)]
        row = {name: i for i, name in enumerate(dict.fromkeys(names))}
        n = len(row)
        cov = np.eye(2 * n + len(stages) + 1)
        for block, share in ((slice(0, n), T0_SHARE), (slice(n, 2 * n), PACE_SHARE)):
            cov[block, block] = share + (1 - share) * np.eye(n)
        group = np.array([row[name] for name in names], dtype=np.intp)
        return cls(group, n, np.zeros(len(cov)), cov)

    @property
    def size(self) -> int:
        """Number of rows."""
        return len(self.cov)

    def told_by(self, stages: Sequence[StageHeat], reached: int) -> NDArray[np.intp]:
        """Return the rows that bear on the first `reached` stages, and the spread."""
        rows: dict[int, None] = {}
        for i, stage in enumerate(stages[:reached]):
            group = int(self.group[i])
            if stage.t0_sd_c > 0:
                rows[group] = None
            if stage.ln_k_sd > 0:
                rows[self.n_groups + group] = None
            if stage.own_sd > 0:
                rows[2 * self.n_groups + i] = None
        return np.array([*rows, self.size - 1], dtype=np.intp)

    def draw(self, rng: np.random.Generator, draws: int) -> NDArray[np.float64]:
        """Draw them, shape (size, draws), in the order of the first threshold.

        Neighbours then look up the same node: a matter of memory, not of chance.
        """
        normals = rng.standard_normal((self.size, draws))
        z = self.mean[:, None] + np.linalg.cholesky(self.cov) @ normals
        return np.asarray(z[:, np.argsort(z[0], kind="stable")], dtype=np.float64)

    def paces(
        self,
        stages: Sequence[StageHeat],
        z: NDArray[np.float64],
        days_per_heat: Sequence[NDArray[np.float64]],
        stretch: float = 1.0,
    ) -> Paces:
        """Turn the normals into thresholds, needs and the spread.

        Parameters
        ----------
        stages : sequence of StageHeat
        z : NDArray[float64], shape (size, n_draws)
        days_per_heat : sequence of NDArray, shape (NODES,), one for each stage
            As in `heats.Course` [1/°C].
        stretch : float
            Factor on the spread of ln K [1].

        Returns
        -------
        Paces

        Notes
        -----
        T0 = t0_c + t0_sd_c z_T0;
        ln K = ln_k + ln_k_per_c (T0 - t0_c) + ln_k_sd z_K + own_sd z_own. Above the
        nearest node, lower by d, as much heat gathers as above T0 and d times the days
        above it; so the need there is K / (1 - d days_per_heat).
        """
        return Pacing.of(self, stages, days_per_heat).paces(z, stretch)


@dataclass(frozen=True, slots=True)
class Pacing:
    """What turns normals into paces, laid out once to do so again and again.

    Attributes
    ----------
    group : NDArray[intp], shape (n_stages,)
        As in `Unknowns`.
    n_groups : int
    believed : NDArray[float64], shape (6, n_stages, 1)
        Threshold, ln K and their spreads.
    days_per_heat : NDArray[float64], shape (n_stages * n_nodes,)
        As in `heats.Course`, one stage after the other [1/°C].
    """

    group: NDArray[np.intp]
    n_groups: int
    believed: NDArray[np.float64]
    days_per_heat: NDArray[np.float64]

    @classmethod
    def of(
        cls,
        unknowns: Unknowns,
        stages: Sequence[StageHeat],
        days_per_heat: Sequence[NDArray[np.float64]],
    ) -> Pacing:
        """Lay out some stages; parameters as for `Unknowns.paces`."""
        by_node = np.empty((len(stages), len(NODE_LEVELS)))
        for row, own in zip(by_node, days_per_heat, strict=True):
            row[:] = own  # one for all nodes, where the threshold is certain
        group = unknowns.group[: len(stages)]
        return cls(group, unknowns.n_groups, _columns(stages), by_node.reshape(-1))

    def paces(self, z: NDArray[np.float64], stretch: float = 1.0) -> Paces:
        """Turn normals of shape (size, n_draws) into paces as `Unknowns.paces` does."""
        n, group = self.n_groups, self.group
        t0_c, t0_sd_c, ln_k, per_c, ln_k_sd, own_sd = self.believed
        of_group = z.take(group, axis=0)
        nodes = np.searchsorted(_BETWEEN_NODES, z[:n])
        node = np.where(t0_sd_c > 0, nodes.take(group, axis=0), 0)
        off = (z[:n] - NODE_LEVELS.take(nodes)).take(group, axis=0)
        above_c = t0_sd_c * of_group
        ln_k = ln_k + per_c * above_c
        ln_k += stretch * ln_k_sd * z.take(n + group, axis=0)
        ln_k += own_sd * z[2 * n : 2 * n + len(group)]
        k_dd = np.exp(ln_k)
        first = len(NODE_LEVELS) * np.arange(len(group))[:, None]
        missed = t0_sd_c * off
        missed *= self.days_per_heat.take(node + first)
        need = k_dd / np.maximum(1.0 - missed, _LEAST_HEAT)
        return Paces(t0_c + above_c, k_dd, node, need, np.exp(SPREAD_SD * z[-1]))


def _columns(stages: Sequence[StageHeat]) -> NDArray[np.float64]:
    """Threshold, ln K and their spreads, shape (6, n_stages, 1)."""
    told = [
        (s.t0_c, s.t0_sd_c, s.ln_k, s.ln_k_per_c, s.ln_k_sd, s.own_sd) for s in stages
    ]
    return np.array(told, dtype=np.float64).reshape(-1, 6).T[:, :, None]
