"""What was counted sharpens what is believed of a brood's pace and thresholds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from rearing.science.judging import Judged
    from rearing.science.unknowns import Unknowns

STEPS = 14
"""Steps towards the likeliest unknowns at most; three to five are usual."""

ENOUGH = 80
"""Draws that must count in the end, or a third of those that are asked for: else more
are drawn, about those that do."""

LEAST = 48
"""Draws that are made to count, or a fifth, by flattening their weights."""

AGAIN = 16
"""Times they are drawn at most, `AT_ONCE` of them each time."""

AT_ONCE = 200

WIDER = 1.3
"""Factor on the variance that is drawn from, so that the tails are not missed."""

_GAIN = 0.3  # of the log of the posterior: a step that gains less was the last one

_SECANT = 0.4  # step over which slopes are taken


@dataclass(frozen=True, slots=True)
class Posterior:
    """Draws of the unknowns after all that was seen.

    Attributes
    ----------
    z : NDArray[float64], shape (size, n_draws)
        Equally likely; some stand there more than once.
    effective : float
        Independent draws they are worth.
    rows : NDArray[intp], shape (k,)
        Rows of `z` that what was seen bears on.
    information : NDArray[float64], shape (k, k)
        What it tells of them, by Fisher, where they are likeliest.
    """

    z: NDArray[np.float64]
    effective: float
    rows: NDArray[np.intp]
    information: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Cloud:
    """A normal that is drawn from: mean (k,), root (k, k) of its covariance."""

    mean: NDArray[np.float64]
    root: NDArray[np.float64]
    unroot: NDArray[np.float64]
    log_size: float

    @classmethod
    def of(cls, mean: NDArray[np.float64], cov: NDArray[np.float64]) -> _Cloud:
        root = np.asarray(np.linalg.cholesky(cov), dtype=np.float64)
        unroot = np.asarray(np.linalg.inv(root), dtype=np.float64)
        return cls(mean, root, unroot, float(np.log(root.diagonal()).sum()))

    def draw(self, rng: np.random.Generator, draws: int) -> NDArray[np.float64]:
        normals = rng.standard_normal((len(self.mean), draws))
        return np.asarray(self.mean[:, None] + self.root @ normals)

    def log_density(self, x: NDArray[np.float64]) -> NDArray[np.float64]:
        """Log of the density less a constant of the dimension."""
        away = self.unroot @ (x - self.mean[:, None])
        return np.asarray(-0.5 * np.einsum("kn,kn->n", away, away) - self.log_size)


@dataclass(slots=True)
class _Gathered:
    """All that was drawn so far, from one cloud after the other.

    Each draw is weighed over the density of all clouds together, so that none is
    thrown away and none from a poor cloud weighs too much.
    """

    x: NDArray[np.float64]
    likely: NDArray[np.float64]
    densities: NDArray[np.float64]
    clouds: list[_Cloud]

    @classmethod
    def nothing(cls, k: int) -> _Gathered:
        return cls(np.zeros((k, 0)), np.zeros(0), np.zeros((0, 0)), [])

    def add(
        self, cloud: _Cloud, x: NDArray[np.float64], likely: NDArray[np.float64]
    ) -> None:
        """Add draws from a cloud, with the log of their prior times likelihood."""
        of_new = [known.log_density(x) for known in self.clouds]
        before = np.concatenate(
            (self.densities, np.array(of_new).reshape(-1, len(likely))), 1
        )
        self.x = np.concatenate((self.x, x), 1)
        self.likely = np.concatenate((self.likely, likely))
        self.densities = np.concatenate((before, cloud.log_density(self.x)[None]))
        self.clouds.append(cloud)

    @property
    def logs(self) -> NDArray[np.float64]:
        """Log of the weights; as many are drawn from each cloud."""
        most = self.densities.max(axis=0)
        mixed = np.exp(self.densities - most).mean(axis=0)
        return np.asarray(self.likely - most - np.log(mixed))


def sharpen(
    unknowns: Unknowns,
    rows: NDArray[np.intp],
    judged: Callable[[NDArray[np.float64]], Judged],
    rng: np.random.Generator,
    draws: int,
) -> Posterior:
    """Draw the unknowns given what was seen.

    Parameters
    ----------
    unknowns : Unknowns
    rows : NDArray[intp], shape (k,)
        Rows that bear on what was seen.
    judged : callable
        Takes normals of shape (size, n) and says how well each agrees.
    rng : numpy.random.Generator
    draws : int

    Returns
    -------
    Posterior
        Of `draws` draws, in the order of the first threshold.

    Notes
    -----
    Fisher scoring finds the likeliest unknowns and how narrowly they are known; a
    normal about them, `WIDER`, is drawn from and each draw weighted by prior times
    likelihood over the density it was drawn from. Where fewer than `ENOUGH` of them
    count, the normal is laid about those that do and more are drawn; the density is
    then that of all normals together, so that no draw is thrown away (deterministic
    mixture weights: Owen and Zhou 2000, J. Am. Stat. Assoc. 95:135-143, from memory).
    Rows that were not told follow by regression on those that were.
    """
    prior = _Cloud.of(unknowns.mean[rows], unknowns.cov[np.ix_(rows, rows)])

    def told(x: NDArray[np.float64]) -> Judged:
        z = np.zeros((unknowns.size, x.shape[1]))
        z[rows] = x
        return judged(z)

    is_pace = (rows >= unknowns.n_groups) & (rows < 2 * unknowns.n_groups)
    cloud, information = _likeliest(prior, told, _further_off(is_pace))
    gathered, least = _Gathered.nothing(len(rows)), min(LEAST, 0.2 * draws)
    for _ in range(AGAIN):
        x = cloud.draw(rng, AT_ONCE)
        gathered.add(cloud, x, prior.log_density(x) + told(x).log_likelihood)
        logs = gathered.logs
        effective = _effective(logs)
        if effective >= min(ENOUGH, draws / 3):
            break
        cloud = _about(gathered.x, logs, cloud, least)
    weights = _flattened(logs, least)
    picked = gathered.x[:, _resampled(weights, rng, draws)]
    full = _with_the_rest(unknowns, rows, picked, rng)
    in_order = full[:, np.argsort(full[0], kind="stable")]
    return Posterior(in_order, effective, rows, information)


def _further_off(is_pace: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Where else to look first: one group slower or faster by far, or all of them."""
    ways = [*np.eye(len(is_pace))[is_pace], is_pace.astype(np.float64)]
    return np.stack([far * way for way in ways for far in (-3.0, -1.5, 1.5, 3.0)]).T


def _likeliest(
    prior: _Cloud,
    told: Callable[[NDArray[np.float64]], Judged],
    further_off: NDArray[np.float64],
) -> tuple[_Cloud, NDArray[np.float64]]:
    """Climb to the likeliest unknowns; the normal there, and Fisher's information."""
    k, size = len(prior.mean), _SECANT
    cov: NDArray[np.float64] = prior.root @ prior.root.T
    inverse = np.linalg.inv(cov)
    told_of = np.zeros((k, k))
    best = -np.inf
    steps = np.concatenate((np.zeros((k, 1)), size * np.eye(k), -size * np.eye(k)), 1)
    at = trial = prior.mean
    for turn in range(STEPS):
        # At first one looks about, lest the climb begin on the flat.
        around = np.concatenate((steps, further_off), 1) if turn == 0 else steps
        x = trial[:, None] + around
        found = told(x)
        off = x - prior.mean[:, None]
        values = found.log_likelihood - 0.5 * (off * (inverse @ off)).sum(axis=0)
        if turn == 0 and values.argmax() > 2 * k and values.max() > values[0] + 5.0:
            trial = x[:, values.argmax()]
            continue
        value = float(values[0])
        if value < best - _GAIN:
            trial = at + 0.4 * (trial - at)
            continue
        gained, at, best = value - best, trial, value
        up, down = slice(1, k + 1), slice(k + 1, 2 * k + 1)
        slope = (found.log_likelihood[up] - found.log_likelihood[down]) / (2 * size)
        roots = (found.roots[:, up] - found.roots[:, down]) / (2 * size)
        told_of = np.asarray(roots.T @ roots, np.float64)
        cov = np.asarray(np.linalg.inv(inverse + told_of), np.float64)
        slope -= inverse @ off[:, 0]
        step = cov @ slope
        trial = at + step * min(1.0, 1.5 / max(float(np.abs(step).max()), 1e-9))
        if float(step @ slope) < _GAIN:
            at = trial  # it gains half of that at most: no need to look
            break
        if gained < _GAIN:
            break
    return _Cloud.of(np.asarray(at), WIDER * cov), told_of


def _about(
    x: NDArray[np.float64], logs: NDArray[np.float64], last: _Cloud, least: float
) -> _Cloud:
    """Lay a normal about the draws that count, with a part of the last one's shape."""
    weights = _flattened(logs, min(least, 0.5 * len(logs)))
    mean = x @ weights
    away = x - mean[:, None]
    cov = 0.75 * WIDER * (away * weights) @ away.T + 0.25 * last.root @ last.root.T
    return _Cloud.of(np.asarray(mean), np.asarray(cov))


def _effective(logs: NDArray[np.float64]) -> float:
    """Return how many independent draws some log weights are worth."""
    weights = np.exp(logs - logs.max())
    return float(weights.sum() ** 2 / (weights**2).sum())


def _flattened(logs: NDArray[np.float64], least: float) -> NDArray[np.float64]:
    """Return weights, to a power below one where too few draws would count.

    Then what is drawn from is believed in part, which is too wide rather than too
    narrow.
    """
    power = 1.0
    while _effective(power * logs) < least:
        power *= 0.8
    weights = np.exp(power * (logs - logs.max()))
    return np.asarray(weights / weights.sum())


def _resampled(
    weights: NDArray[np.float64], rng: np.random.Generator, draws: int
) -> NDArray[np.intp]:
    """Pick draws in proportion to their weights, as evenly as can be."""
    steps = (np.arange(draws) + rng.random()) / draws
    place = np.searchsorted(np.cumsum(weights), steps)
    return np.minimum(place, len(weights) - 1)


def _with_the_rest(
    unknowns: Unknowns,
    rows: NDArray[np.intp],
    picked: NDArray[np.float64],
    rng: np.random.Generator,
) -> NDArray[np.float64]:
    """Draw the other rows given those that were told."""
    # not setdiff1d, which has NumPy read its masked arrays while the window opens
    others = np.delete(np.arange(unknowns.size), rows)
    z = np.empty((unknowns.size, picked.shape[1]))
    z[rows] = picked
    if len(others):
        cross = unknowns.cov[np.ix_(others, rows)]
        slope = np.linalg.solve(unknowns.cov[np.ix_(rows, rows)], cross.T).T
        left = unknowns.cov[np.ix_(others, others)] - slope @ cross.T
        root = np.linalg.cholesky(left + 1e-9 * np.eye(len(others)))
        normals = rng.standard_normal((len(others), picked.shape[1]))
        away = picked - unknowns.mean[rows, None]
        z[others] = unknowns.mean[others, None] + slope @ away + root @ normals
    return z
