"""Instars from head-capsule widths, which grow by about the same factor each moult."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.even_mixture import EvenMixtures, Told

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import ArrayLike, NDArray

LEAST_RATIO, LARGEST_RATIO = 1.15, 2.0
"""Growth a moult is looked for between these (usual about 1.3 to 1.5; the bounds from
memory)."""

MOST_INSTARS = 10
"""Dyar compared species of four to ten stadia (Taylor 1931, abstract)."""

LEAST_SPREAD = 0.01
"""Widths of one instar are never taken to be more alike than 1 % (from memory)."""

UNEVEN = 0.10
"""A step that departs so far from the common ratio hints at an instar that was missed
(a tenth: Crosby's rule, from memory)."""

_FIRST_ROUNDS, _ROUNDS, _FINISHED = 12, 200, 3
_STARTS = 12


@dataclass(frozen=True, slots=True)
class Series:
    """A geometric series of widths: instar i has ``first_mm * ratio**(i-1)``."""

    first_mm: float
    ratio: float
    r2: float

    def width(self, instar: int) -> float:
        """Return the width the series gives an instar, the first being 1 [mm]."""
        return self.first_mm * self.ratio ** (instar - 1)


@dataclass(frozen=True, slots=True)
class Group:
    """The widths placed in one instar; `step` is its growth on the one before."""

    instar: int
    number: int
    mean_mm: float
    fitted_mm: float
    low_mm: float
    high_mm: float
    step: float | None
    is_uneven: bool


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """Widths placed in instars.

    Attributes
    ----------
    series : Series
    groups : tuple of Group
        Instars from the first to the last placed, empty ones left out.
    instar : NDArray[int64], shape (n,)
        The likeliest instar of each width.
    surely : NDArray[float64], shape (n,)
        Its share of all instars, 0 to 1.
    spread : float
        Standard deviation of the logarithm of a width within an instar.
    tried : tuple of (int, float)
        Numbers of instars that were tried with their BIC, lowest best.
    """

    series: Series
    groups: tuple[Group, ...]
    instar: NDArray[np.int64]
    surely: NDArray[np.float64]
    spread: float
    tried: tuple[tuple[int, float], ...]


def fit_series(widths_mm: ArrayLike) -> Series:
    """Fit a geometric series to the mean widths of instars one after the other.

    Parameters
    ----------
    widths_mm : array_like, shape (n_instars,)
        Mean widths from the first instar measured on, NaN for one that is missing
        [mm].

    Returns
    -------
    Series
        By least squares of the logarithm on the number of the instar.

    Raises
    ------
    ValueError
        Fewer than two widths, or a width that is not above nought.

    References
    ----------
    Dyar 1890, Psyche 5:420–422 (from memory); the rule as told by Taylor 1931, Ann.
    Ent. Soc. Am. 24:451–466.

    Examples
    --------
    >>> found = fit_series([0.68, 0.91, 1.22, 1.58, 2.06, 2.69, 3.45])
    >>> round(found.ratio, 4), round(found.first_mm, 4), round(found.r2, 4)
    (1.3101, 0.6951, 0.9993)
    """
    widths = np.asarray(widths_mm, dtype=np.float64)
    seen = np.isfinite(widths)
    if seen.sum() < 2:
        raise ValueError("A series needs the widths of two instars at least.")
    if (widths[seen] <= 0).any():
        raise ValueError("A width must be above nought [mm].")
    number, log = np.flatnonzero(seen).astype(np.float64), np.log(widths[seen])
    slope, begin = np.polyfit(number, log, 1)
    left = log - (begin + slope * number)
    whole = ((log - log.mean()) ** 2).sum()
    r2 = 1 - (left**2).sum() / whole if whole > 0 else 1.0
    return Series(float(np.exp(begin)), float(np.exp(slope)), float(r2))


def place(
    widths_mm: ArrayLike, *, first: int = 1, instars: int | None = None
) -> Placed:
    """Place single widths in instars by a geometric series fitted to all of them.

    Parameters
    ----------
    widths_mm : array_like, shape (n,)
        Of single larvae or cast capsules, of all instars together [mm].
    first : int
        What the smallest that were measured are, 1 for hatchlings.
    instars : int or None
        How many instars there are among them; None lets the widths tell, whatever is
        usual in the species.

    Returns
    -------
    Placed

    Raises
    ------
    ValueError
        Fewer than four widths, a width that is not above nought, or widths so alike
        that there is no series in them.

    Notes
    -----
    The logarithms of the widths are taken as a mixture of normals of one spread whose
    means lie at equal distances; it is fitted by expectation and maximisation from
    several ratios, and the number of instars is that of the lowest BIC. Widths that
    overlap, of the sexes or of larvae fed differently, may be placed one off: `surely`
    tells.

    References
    ----------
    Dyar's rule as in `fit_series`; BIC: Schwarz 1978, Ann. Stat. 6:461–464 (from
    memory).
    """
    log = _logs(widths_mm)
    counts = range(2, MOST_INSTARS + 1) if instars is None else (instars,)
    fits = _best(Told.of(log), counts)
    if not fits:
        raise ValueError("These widths are too alike, or too few, for a series.")
    best = min(fits, key=lambda one: float(one.bic[0]))
    share = best.shares(log)[0][0]
    index = share.argmax(axis=0)
    series, groups = _grouped(np.exp(log), index, first)
    return Placed(
        series=series,
        groups=groups,
        instar=index + first,
        surely=share.max(axis=0),
        spread=float(best.spread[0]),
        tried=tuple((int(one.count[0]), float(one.bic[0])) for one in fits),
    )


def _logs(widths_mm: ArrayLike) -> NDArray[np.float64]:
    widths = np.asarray(widths_mm, dtype=np.float64)
    if widths.ndim != 1 or len(widths) < 4:
        raise ValueError("Placing needs four widths at least.")
    if not np.isfinite(widths).all() or (widths <= 0).any():
        raise ValueError("A width must be above nought [mm].")
    return np.asarray(np.log(widths))


def _best(told: Told, counts: Iterable[int]) -> list[EvenMixtures]:
    """Return the likeliest mixture of each number of instars that is a series."""
    fair = [count for count in counts if count <= len(told.log)]
    starts = [(count, step) for count in fair for step in _steps(told, count)]
    if not starts:
        return []
    begun = EvenMixtures.about(told, starts, LEAST_SPREAD)
    begun = begun.climbed(told, _FIRST_ROUNDS, LEAST_SPREAD)
    # Most starts soon lead to the same few hills; only the highest are climbed.
    order = np.argsort(begun.bic, kind="stable")
    high = [order[begun.count[order] == count][:_FINISHED] for count in fair]
    chosen = begun.take(np.concatenate(high))
    ends = chosen.take(np.isfinite(chosen.bic)).climbed(told, _ROUNDS, LEAST_SPREAD)
    ends = ends.take(_are_series(told, ends))
    order = np.argsort(ends.bic, kind="stable")
    first = [order[ends.count[order] == count][:1] for count in fair]
    return [ends.take(one) for one in first if len(one)]


def _steps(told: Told, count: int) -> list[float]:
    """Return the distances from which so many instars are looked for."""
    even = np.linspace(np.log(LEAST_RATIO), np.log(LARGEST_RATIO), _STARTS)
    steps = [float(step) for step in even]
    if count == 1:
        return steps[:1]
    # The smallest and the largest are of the first and last instar, or near.
    return [*steps, float(told.log[-1] - told.log[0]) / (count - 1)]


def _are_series(told: Told, found: EvenMixtures) -> NDArray[np.bool_]:
    """Tell whether the ratio is one of moults, and both end instars have an animal."""
    least, largest = np.log(LEAST_RATIO), np.log(LARGEST_RATIO)
    last = found.weight[np.arange(len(found)), found.count - 1]
    ends = np.minimum(found.weight[:, 0], last) * told.number
    is_one = np.isfinite(found.bic) & (ends >= 0.5)
    return np.asarray(is_one & (found.step >= least) & (found.step <= largest))


def _grouped(
    widths: NDArray[np.float64], index: NDArray[np.int64], first: int
) -> tuple[Series, tuple[Group, ...]]:
    count = int(index.max()) + 1
    means = np.array(
        [
            widths[index == i].mean() if (index == i).any() else np.nan
            for i in range(count)
        ]
    )
    series = fit_series(means)
    groups = []
    for i in range(count):
        own = widths[index == i]
        if not len(own):
            continue
        step = (
            float(means[i] / means[i - 1]) if i and np.isfinite(means[i - 1]) else None
        )
        uneven = step is not None and abs(step / series.ratio - 1) > UNEVEN
        groups.append(
            Group(
                instar=i + first,
                number=len(own),
                mean_mm=float(means[i]),
                fitted_mm=series.width(i + 1),
                low_mm=float(own.min()),
                high_mm=float(own.max()),
                step=step,
                is_uneven=uneven,
            )
        )
    return series, tuple(groups)
