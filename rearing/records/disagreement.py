"""Where a file and the book tell different temperatures of the same moment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from rearing.records.reading_arrays import first_of_each, numbers_only, rows_between

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.records.reading_arrays import Source

LEAST_C = 0.051
"""Less than this is rounding to a tenth, not another temperature [°C]."""


@dataclass(frozen=True, slots=True)
class Disagreement:
    """How many of the moments both know differ, and the largest difference [°C]."""

    number: int = 0
    largest_c: float = 0.0

    def __add__(self, other: Disagreement) -> Disagreement:
        """Return that of two columns together."""
        return Disagreement(
            self.number + other.number, max(self.largest_c, other.largest_c)
        )

    @property
    def words(self) -> str:
        """Say it; empty where all agree."""
        if not self.number:
            return ""
        differ = "1 differs" if self.number == 1 else f"{self.number:,} differ"
        return f"{differ} by up to {self.largest_c:.1f}°, and the book's stay"


def disagreement(source: Source, place_id: int, rows: NDArray[Any]) -> Disagreement:
    """Compare rows, in order of time, with what the book has of the place."""
    offered = first_of_each(numbers_only(rows))
    if not offered.size:
        return Disagreement()
    ends = (int(offered["at_s"][0]), int(offered["at_s"][-1]) + 1)
    held = rows_between(source, place_id, rows.dtype, ends)
    _, mine, its = np.intersect1d(
        offered["at_s"], held["at_s"], assume_unique=True, return_indices=True
    )
    apart = np.zeros(len(mine))
    for name in (rows.dtype.names or ())[1:]:
        apart = np.maximum(apart, np.abs(offered[name][mine] - held[name][its]))
    differing = apart[apart > LEAST_C]
    if not len(differing):
        return Disagreement()
    return Disagreement(len(differing), float(differing.max()))
