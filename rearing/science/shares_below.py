"""The normal distribution looked up in a table, for many values at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.science.normal import ndtr

if TYPE_CHECKING:
    from numpy.typing import NDArray

_FAR, _FINE = 8.0, 256
_BELOW = ndtr(np.arange(-_FAR * _FINE, _FAR * _FINE + 2) / _FINE)


def share_below(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the share of a standard normal below z, right to 1 in 100,000.

    Parameters
    ----------
    z : NDArray[float64], any shape
        In standard deviations; beyond 8 as at 8.

    Returns
    -------
    NDArray[float64], shape of `z`
        Straight between steps of 1/256: many times as quick as the formula.
    """
    place = np.minimum(z, _FAR)
    np.maximum(place, -_FAR, out=place)
    place += _FAR
    place *= _FINE
    whole = place.astype(np.intp)
    place -= whole
    below = _BELOW.take(whole)
    return np.asarray(below + place * (_BELOW.take(whole + 1) - below))
