"""The normal distribution looked up in a table, for many values at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.science.normal import ndtr, ndtri

if TYPE_CHECKING:
    from numpy.typing import NDArray

_FAR, _FINE = 8.0, 256
_LEAST, _STEPS = 0.02, 2048
"""Shares nearer to 0 or 1 than this are looked up by their logarithm."""

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


_STEP = (1 - 2 * _LEAST) / _STEPS
_LEVELS = ndtri(_LEAST + _STEP * np.arange(_STEPS + 2))
_LOWEST = -36.0  # logarithm of the least share that is told from 0
_LOG_STEP = (np.log(_LEAST) - _LOWEST) / _STEPS
_FAR_LEVELS = ndtri(np.exp(_LOWEST + _LOG_STEP * np.arange(_STEPS + 2)))


def level_at(share: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the value of a standard normal below which a share lies.

    Parameters
    ----------
    share : NDArray[float64], any shape
        Above 0 and below 1.

    Returns
    -------
    NDArray[float64], shape of `share`
        In standard deviations, right to 1 in 10,000: straight between steps of the
        share or, near 0 and 1, of its logarithm; many times as quick as the formula.
    """
    far = (share < _LEAST) | (share > 1 - _LEAST)
    place = np.where(far, 0.5, share)
    place -= _LEAST
    place /= _STEP
    level = _between(_LEVELS, place)
    if far.any():
        beyond = share[far]
        least = np.maximum(np.minimum(beyond, 1.0 - beyond), np.exp(_LOWEST))
        place = np.log(least)
        place -= _LOWEST
        place /= _LOG_STEP
        out = _between(_FAR_LEVELS, place)
        level[far] = np.where(beyond < 0.5, out, -out)
    return level


def _between(
    table: NDArray[np.float64], place: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Read a table straight between its steps; `place` is used up."""
    whole = place.astype(np.intp)
    place -= whole
    low = table.take(whole)
    place *= table.take(whole + 1) - low
    place += low
    return place
