"""Heat summed along a track, asked forwards and backwards for many animals at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_HAIR = 1e-9  # a need met exactly is met before a pause in the heat, not after it
_STEPS = 2  # from the guide's hour onwards, before the few that are left are searched


@dataclass(frozen=True, slots=True)
class HeatCurve:
    """Cumulative heat of several nodes (thresholds) along one track.

    All nodes lie in one ascending array, node k raised by ``k * step``, so that any
    mixture of nodes is looked up at once. `guide` gives for evenly spaced heats the
    place at which the search begins: a search from nothing took five times as long.
    """

    raised: NDArray[np.float64]
    guide: NDArray[np.intp]
    bins_per_heat: float
    ends: NDArray[np.float64]
    step: float

    @classmethod
    def of(cls, hourly: NDArray[np.float64]) -> HeatCurve:
        """Sum what each hour adds (never less than 0), shape (n_nodes, n_hours)."""
        n_nodes, n_hours = hourly.shape
        n_places = n_nodes * (n_hours + 1)
        raised = np.empty(n_places + 1)
        raised[-1] = np.inf
        heat = raised[:-1].reshape(n_nodes, n_hours + 1)
        heat[:, 0] = 0.0
        np.cumsum(hourly, axis=1, out=heat[:, 1:])
        ends = heat[:, -1].copy()
        step = float(ends.max()) + 1.0
        heat += step * np.arange(n_nodes)[:, None]
        n_bins = n_places + 1
        bins_per_heat = n_bins / float(raised[-2] + 1.0)
        bins = (raised[:-1] * bins_per_heat).astype(np.intp)
        guide = np.zeros(n_bins + 1, dtype=np.intp)
        np.cumsum(np.bincount(bins, minlength=n_bins), out=guide[1:])
        guide[1:] -= 1
        return cls(raised, guide, bins_per_heat, ends, step)

    @property
    def _length(self) -> int:
        """Places of one node."""
        return (len(self.raised) - 1) // len(self.ends)

    def at(
        self, node: NDArray[np.intp], hour: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """Heat gathered from the start of the track until `hour`; capped at its end."""
        whole = np.minimum(hour, self._length - 2).astype(np.intp)
        part = np.minimum(hour - whole, 1.0)
        whole += node * self._length
        low = self.raised.take(whole)
        whole += 1
        heat = self.raised.take(whole)
        heat -= low
        heat *= part
        heat += low
        heat -= node * self.step
        return heat

    def when(
        self, node: NDArray[np.intp], heat: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """Hour at which `heat` is reached; infinite where the track ends before."""
        sought: NDArray[np.float64] = heat + (node * self.step - _HAIR)
        # not clip, whose way through NumPy's Python costs more than both of these
        np.maximum(sought, 0.0, out=sought)
        np.minimum(sought, self.raised[-2], out=sought)
        place = self._place(sought)
        low = self.raised.take(place)
        place += 1
        high = self.raised.take(place)
        place -= 1
        sought -= low
        high -= low
        sought /= high
        sought += place
        sought -= node * self._length
        sought[heat <= _HAIR] = 0.0
        sought[heat > self.ends[node]] = np.inf
        return sought

    def _place(self, sought: NDArray[np.float64]) -> NDArray[np.intp]:
        """Last place whose heat is not above what is sought."""
        after = self.raised[1:]
        place = self.guide.take((sought * self.bins_per_heat).astype(np.intp))
        for _ in range(_STEPS):
            place += after.take(place) <= sought
        short = after.take(place) <= sought
        if short.any():
            place[short] = np.searchsorted(self.raised, sought[short], "right") - 1
        return place
