"""Numbers in, numbers out: one function serves a single day and a long series."""

from __future__ import annotations

from typing import TypeVar, overload

import numpy as np
from numpy.typing import NDArray

Numbers = TypeVar("Numbers", float, NDArray[np.float64])
"""A single number or an array; what goes in comes out."""


def floats(values: float | NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the values as an array of floats, without copying one that is."""
    return np.asarray(values, dtype=np.float64)


@overload
def like(pattern: float, values: NDArray[np.float64]) -> float: ...
@overload
def like(
    pattern: NDArray[np.float64], values: NDArray[np.float64]
) -> NDArray[np.float64]: ...
def like(
    pattern: float | NDArray[np.float64], values: NDArray[np.float64]
) -> float | NDArray[np.float64]:
    """Return a plain float where `pattern` was one, else the array."""
    return float(values) if np.ndim(pattern) == 0 else values
