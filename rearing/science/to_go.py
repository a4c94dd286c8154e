"""How much heat the middle animal of a brood still needs, draw by draw."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from rearing.science.cohort import Simulated
    from rearing.science.draws import Passage


@dataclass(frozen=True, slots=True)
class HeatToGo:
    """Heat still needed, above the thresholds as they may be [degree-days].

    Attributes
    ----------
    low_dd, middle_dd, high_dd : float
        The 80 % interval of what the middle animal needs, and its median.
    """

    low_dd: float
    middle_dd: float
    high_dd: float


def heat_to_go(found: Simulated, hour: float) -> list[HeatToGo | None]:
    """Return what is needed from an hour on until the end of each stage.

    Parameters
    ----------
    found : Simulated
    hour : float
        Hours since the start of the track.

    Returns
    -------
    list of HeatToGo or None
        One for each stage that was walked; None beyond the track, and where no animal
        passes the stage.

    Notes
    -----
    In each draw an animal needs, of the stage it is in, what that draw believes it to
    need less what it has had since the stage began, and all of the stages between;
    each above that draw's own threshold of the stage, never another's. Of these sums
    the draw's middle animal has the median, and the draws are as likely as each other.
    """
    if hour > found.brood.track.hours:
        return [None] * found.brood.asked
    needed = np.zeros((len(found.scenario), 0))
    answer: list[HeatToGo | None] = []
    for rest in _rests(found, hour):
        rest[:, : needed.shape[1]] += needed
        needed = rest
        answer.append(_interval(needed) if needed.shape[1] else None)
    return answer


def _rests(found: Simulated, hour: float) -> Iterator[NDArray[np.float64]]:
    """Yield what the animals still need of each stage, (n_draws, n_counted)."""
    counted = np.flatnonzero(found.animals.counted)
    at = np.full((len(found.scenario), 1), hour)
    last: Passage | None = None
    for i, passage in enumerate(found.passages):
        columns = counted[counted < passage.passing]
        if last is None or not passage.counts_as(last):
            now = passage.course.at(passage.node, passage.future, at)
        had = np.maximum(passage.begun_dd[:, columns], now)
        rest = np.maximum(passage.end_dd[:, columns] - had, 0.0)
        yield rest * (found.paces.k_dd[i] / found.paces.need_dd[i])[:, None]
        last = passage


def _interval(needed: NDArray[np.float64]) -> HeatToGo:
    # sorted, as for the windows: NumPy's median and quantile have it read its masked
    # arrays, for which the window would wait when it opens
    n = needed.shape[1]
    ordered = np.sort(needed, axis=1)
    middles = np.sort(0.5 * (ordered[:, (n - 1) // 2] + ordered[:, n // 2]))
    ranks = np.ceil(np.array([0.1, 0.5, 0.9]) * len(middles)).astype(int) - 1
    low, middle, high = middles[ranks]
    return HeatToGo(float(low), float(middle), float(high))
