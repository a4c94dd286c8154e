"""Instars from head-capsule widths, which grow by about the same factor each moult."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
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
_CLOSE = 1e-9
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
    fits = [found for count in counts if (found := _best(log, count)) is not None]
    if not fits:
        raise ValueError("These widths are too alike, or too few, for a series.")
    best = min(fits, key=lambda one: one.bic)
    share = best.shares(log)
    index = share.argmax(axis=1)
    series, groups = _grouped(np.exp(log), index, first)
    return Placed(
        series=series,
        groups=groups,
        instar=index + first,
        surely=share.max(axis=1),
        spread=best.spread,
        tried=tuple((one.count, one.bic) for one in fits),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Mixture:
    """Equally spaced normals of one spread on the logarithm of width."""

    begin: float
    step: float
    spread: float
    weight: NDArray[np.float64]
    bic: float = np.inf

    @property
    def count(self) -> int:
        return len(self.weight)

    @property
    def means(self) -> NDArray[np.float64]:
        return np.asarray(self.begin + self.step * np.arange(self.count), np.float64)

    def parts(self, log: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the logarithm of each instar's part in the density of each width."""
        away = (log[:, None] - self.means) / self.spread
        with np.errstate(divide="ignore"):  # an instar may be empty
            weight = np.log(self.weight)
        return np.asarray(
            weight - 0.5 * away**2 - np.log(self.spread * np.sqrt(2 * np.pi))
        )

    def shares(self, log: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the share of each instar in each width, shape (n, count)."""
        parts = self.parts(log)
        return np.asarray(np.exp(parts - _summed(parts)[:, None]))


def _summed(parts: NDArray[np.float64]) -> NDArray[np.float64]:
    most = parts.max(axis=1)
    return np.asarray(most + np.log(np.exp(parts - most[:, None]).sum(axis=1)))


def _logs(widths_mm: ArrayLike) -> NDArray[np.float64]:
    widths = np.asarray(widths_mm, dtype=np.float64)
    if widths.ndim != 1 or len(widths) < 4:
        raise ValueError("Placing needs four widths at least.")
    if not np.isfinite(widths).all() or (widths <= 0).any():
        raise ValueError("A width must be above nought [mm].")
    return np.asarray(np.log(widths))


def _best(log: NDArray[np.float64], count: int) -> _Mixture | None:
    """Return the likeliest mixture of so many instars; None where none is a series."""
    values, many = np.unique(log, return_counts=True)
    if len(values) < count:
        return None
    told = _Told(values, many.astype(np.float64))
    steps = np.linspace(np.log(LEAST_RATIO), np.log(LARGEST_RATIO), _STARTS)
    reach = log.max() - log.min()
    # The smallest and the largest are of the first and last instar, or near.
    starts = [*steps, reach / (count - 1)] if count > 1 else [steps[0]]
    begun = [
        one
        for step in starts
        if (one := _climb(told, _begin(told, float(step), count), _FIRST_ROUNDS))
    ]
    # Most starts soon lead to the same few hills; only the highest are climbed.
    begun.sort(key=lambda one: one.bic)
    found = [
        one
        for start in begun[:_FINISHED]
        if (one := _climb(told, start, _ROUNDS)) is not None and _is_series(told, one)
    ]
    return min(found, key=lambda one: one.bic, default=None)


@dataclass(frozen=True, slots=True, eq=False)
class _Told:
    """Different widths, each as often as it was measured."""

    log: NDArray[np.float64]
    many: NDArray[np.float64]

    @property
    def number(self) -> float:
        return float(self.many.sum())


def _begin(told: _Told, step: float, count: int) -> _Mixture:
    middle = (told.log[-1] + told.log[0]) / 2
    begin = middle - step * (count - 1) / 2
    spread = max(step / 6, LEAST_SPREAD)
    return _Mixture(begin, step, spread, np.full(count, 1 / count))


def _climb(told: _Told, start: _Mixture, rounds: int) -> _Mixture | None:
    now, likely, before = start, -np.inf, -np.inf
    for _ in range(rounds):
        likely = float((told.many * _summed(now.parts(told.log))).sum())
        if likely - before < _CLOSE * abs(likely):
            break
        before = likely
        moved = _moved(now, told)
        if moved is None:
            return None
        now = moved
    free = 3 + now.count - 1
    bic = free * np.log(told.number) - 2 * likely
    return _Mixture(now.begin, now.step, now.spread, now.weight, float(bic))


def _is_series(told: _Told, found: _Mixture) -> bool:
    """Tell whether the ratio is one of moults, and both end instars have an animal."""
    if not np.log(LEAST_RATIO) <= found.step <= np.log(LARGEST_RATIO):
        return False
    return bool((found.weight[[0, -1]] * told.number >= 0.5).all())


def _moved(now: _Mixture, told: _Told) -> _Mixture | None:
    """Return the next mixture: shares first, then means on a line, then the spread."""
    share = now.shares(told.log) * told.many[:, None]
    number = np.arange(now.count, dtype=np.float64)
    summed = share.sum(axis=0)
    weight = summed / told.number
    centre = (summed * number).sum() / told.number
    about = (summed * (number - centre) ** 2).sum()
    if about <= 0:
        return None
    mean = (told.many * told.log).sum() / told.number
    step = (share * (number - centre) * (told.log - mean)[:, None]).sum() / about
    begin = mean - step * centre
    away = told.log[:, None] - (begin + step * number)
    spread = max(float(np.sqrt((share * away**2).sum() / told.number)), LEAST_SPREAD)
    return _Mixture(float(begin), float(step), spread, weight)


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
