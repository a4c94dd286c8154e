"""What finished broods of a species teach the next one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.brood import Brood
from rearing.science.heats import HeatStore
from rearing.science.rates import fit_ols
from rearing.science.unknowns import Unknowns

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.science.rates import LineFit
    from rearing.science.seen import Seen
    from rearing.science.stages import StageHeat, Start, Track

SHARES = (0.3, 0.5, 0.7, 0.85)
"""Parts of what the sheet does not know that may belong to the species, the rest being
each brood's own; equally likely until broods have shown how alike they are (from
memory: strains of one species differ by less than what is published of it)."""

LEAST_TEMPERATURES = 3
"""Temperatures needed before T0 and K are fitted anew."""

APART_C = 1.5
"""Broods less far apart than this count as reared at one temperature [°C]."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """What one finished brood tells of the unknowns.

    Attributes
    ----------
    information : NDArray[float64], shape (n, n)
        Precision of what was seen [1 / spread²]; nought in rows it does not bear on.
    pull : NDArray[float64], shape (n,)
        Information times what it points to.
    """

    information: NDArray[np.float64]
    pull: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class GroupPace:
    """How a species' need of heat in a group of stages compares with its sheet's.

    Attributes
    ----------
    stages : tuple of str
    factor, low, high : float
        Middle and 80 % interval of K over the sheet's K, for the next brood [1].
    sheet_low, sheet_high : float
        The interval before anything was learnt [1].
    """

    stages: tuple[str, ...]
    factor: float
    low: float
    high: float
    sheet_low: float
    sheet_high: float


@dataclass(frozen=True, slots=True)
class Learnt:
    """The next brood's unknowns, and from how many broods they are.

    Attributes
    ----------
    unknowns : Unknowns
        To be given to `cohort.windows`.
    broods : int
        Finished broods that taught.
    species_share : float
        Part of what the sheet does not know that turned out to be the species' own.
    paces : tuple of GroupPace
        By group of stages, in the order of life.
    """

    unknowns: Unknowns
    broods: int
    species_share: float
    paces: tuple[GroupPace, ...]


def lesson(  # noqa: PLR0913 - as `cohort.windows`
    stages: Sequence[StageHeat],
    starts: Sequence[Start],
    track: Track,
    seen: Sequence[Seen],
    rng: np.random.Generator,
    *,
    draws: int = 400,
    store: HeatStore | None = None,
) -> Lesson | None:
    """Read from a finished brood what it tells of the unknowns.

    Parameters
    ----------
    stages, starts, track, seen, rng, draws, store
        As in `cohort.windows`; stages by the sheet.

    Returns
    -------
    Lesson or None
        None without animals or anything seen.

    Notes
    -----
    The likelihood is taken as normal: Fisher's information where it is greatest, and
    the pull that together with the prior gives the posterior's mean.
    """
    # Asked about nothing: heat is summed as far as anything was seen, and no further.
    brood = Brood.of(stages, starts, track, store or HeatStore(), seen, asked=0)
    if brood is None or not brood.looks:
        return None
    found = brood.sharpened(rng, draws)
    rows = found.rows
    n = brood.unknowns.size
    prior = np.linalg.inv(brood.unknowns.cov[np.ix_(rows, rows)])
    information, pull = np.zeros((n, n)), np.zeros(n)
    information[np.ix_(rows, rows)] = found.information
    pull[rows] = (prior + found.information) @ found.z[rows].mean(axis=1)
    return Lesson(information, pull)


def learnt(stages: Sequence[StageHeat], lessons: Sequence[Lesson]) -> Learnt:
    """Shrink what finished broods tell towards the sheet, by how many there are.

    Parameters
    ----------
    stages : sequence of StageHeat
        By the sheet, the same ones the lessons were read with.
    lessons : sequence of Lesson

    Returns
    -------
    Learnt
        The sheet's own where there are no lessons.

    Notes
    -----
    Unknowns of brood b are t + d_b, t of the species and normal with s C, d_b the
    brood's own with (1 - s) C, C the sheet's covariance. Given the lessons t is normal
    and the next brood's unknowns have its mean and its covariance plus (1 - s) C. That
    is done for each s of `SHARES` and mixed by how likely each makes the lessons.
    """
    sheet = Unknowns.of(stages)
    if not lessons:
        return Learnt(sheet, 0, 0.5, _paces(stages, sheet, sheet))
    shared = [_species(sheet.cov, lessons, share) for share in SHARES]
    logs = np.array([one.log_evidence for one in shared])
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    means = np.stack([one.mean for one in shared])
    mean = weights @ means
    cov = sum(
        w * (one.cov + (1 - share) * sheet.cov + np.outer(m - mean, m - mean))
        for w, one, share, m in zip(weights, shared, SHARES, means, strict=True)
    )
    unknowns = replace(sheet, mean=mean, cov=np.asarray(cov))
    return Learnt(
        unknowns,
        len(lessons),
        float(weights @ np.array(SHARES)),
        _paces(stages, unknowns, sheet),
    )


@dataclass(frozen=True, slots=True)
class _Species:
    mean: NDArray[np.float64]
    cov: NDArray[np.float64]
    log_evidence: float


def _species(
    cov: NDArray[np.float64], lessons: Sequence[Lesson], share: float
) -> _Species:
    """Posterior of the species' unknowns for one share, and how likely the lessons are.

    Each brood's own part is integrated out first: with B = ((1 - s) C)^-1, a lesson
    (I, p) on t + d is one on t of information I - I (I + B)^-1 I and pull
    p - I (I + B)^-1 p.
    """
    species = np.linalg.inv(share * cov)
    own = np.linalg.inv((1 - share) * cov)
    precision, pull = species.copy(), np.zeros(len(cov))
    log_evidence = 0.5 * np.linalg.slogdet(species)[1]
    for one in lessons:
        both = np.linalg.inv(one.information + own)
        precision += one.information - one.information @ both @ one.information
        pull += one.pull - one.information @ both @ one.pull
        log_evidence += 0.5 * (
            np.linalg.slogdet(own)[1]
            + np.linalg.slogdet(both)[1]
            + one.pull @ both @ one.pull
        )
    found = np.linalg.inv(precision)
    log_evidence += 0.5 * (np.linalg.slogdet(found)[1] + pull @ found @ pull)
    return _Species(found @ pull, found, float(log_evidence))


def _paces(
    stages: Sequence[StageHeat], now: Unknowns, sheet: Unknowns
) -> tuple[GroupPace, ...]:
    """Say by group what the next brood's need of heat is believed to be."""
    found = []
    for g in range(now.n_groups):
        members = [i for i in range(len(stages)) if now.group[i] == g]
        row = now.n_groups + g
        sd = stages[members[0]].ln_k_sd
        middle = sd * now.mean[row]
        wide, before = (
            1.2816 * sd * np.sqrt(one.cov[row, row]) for one in (now, sheet)
        )
        found.append(
            GroupPace(
                tuple(stages[i].stage for i in members),
                float(np.exp(middle)),
                float(np.exp(middle - wide)),
                float(np.exp(middle + wide)),
                float(np.exp(-before)),
                float(np.exp(before)),
            )
        )
    return tuple(found)


def refit(celsius: NDArray[np.float64], days: NDArray[np.float64]) -> LineFit | None:
    """Fit T0 and K of a stage anew to finished broods, to be shown beside the sheet's.

    Parameters
    ----------
    celsius : NDArray[float64], shape (n,)
        Mean temperature of each brood in that stage [°C].
    days : NDArray[float64], shape (n,)
        How long half of it took [d].

    Returns
    -------
    LineFit or None
        By ordinary least squares; None where fewer than `LEAST_TEMPERATURES` of them
        lie `APART_C` apart. Nothing is changed by it: the keeper decides.
    """
    if temperatures_apart(celsius) < LEAST_TEMPERATURES:
        return None
    return fit_ols(celsius, days)


def temperatures_apart(celsius: NDArray[np.float64]) -> int:
    """Count the temperatures, taking those less than `APART_C` from the last as one."""
    count, last = 0, -np.inf
    for one in np.sort(celsius).tolist():
        if one - last >= APART_C:
            count, last = count + 1, one
    return count
