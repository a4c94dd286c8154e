"""The two ends of a day: refusing impossible ones, and finding the next minimum."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rearing.science.arrays import floats

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

Array = NDArray[np.float64]


def following_minimum(
    low_c: Array, days: Sequence[date] | NDArray[np.datetime64] | None = None
) -> Array:
    """Return the next day's minimum for each day [°C], shape of `low_c`.

    Where it isn't known a day's own minimum stands in for it, which makes a double
    method the single one for that day: on the last day, before a missing minimum,
    and, when `days` are given, where the next row isn't the next day.
    """
    low = floats(low_c)
    labels = _labels(low, days)
    if low.ndim == 0:
        return low
    after = np.concatenate([low[..., 1:], low[..., -1:]], axis=-1)
    unknown = np.isnan(after)
    if labels is not None and len(labels) > 1:
        skips = np.diff(labels) != np.timedelta64(1, "D")
        unknown |= np.append(skips, False)
    return np.where(unknown, low, after)


def _labels(
    low: Array, days: Sequence[date] | NDArray[np.datetime64] | None
) -> NDArray[np.datetime64] | None:
    if days is None:
        return None
    labels = np.asarray(days, dtype="datetime64[D]")
    if low.ndim == 0 or labels.shape != low.shape[-1:]:
        raise ValueError(
            f"{labels.size} days are named for temperatures of shape {low.shape}."
        )
    return labels


def check_ends(
    low: Array,
    high: Array,
    days: Sequence[date] | NDArray[np.datetime64] | None = None,
) -> None:
    """Refuse a minimum above its maximum, and infinite ends, naming the first day."""
    if low.shape != high.shape:
        raise ValueError(
            f"Minima of shape {low.shape} don't match maxima of shape {high.shape}."
        )
    labels = _labels(low, days)
    wrong = (low > high) | np.isinf(low) | np.isinf(high)
    if not wrong.any():
        return
    at = tuple(int(i) for i in np.argwhere(wrong)[0])
    if low[at] > high[at]:
        said = f"The minimum, {low[at]:g}°, is above the maximum, {high[at]:g}°"
    else:
        said = f"The minimum, {low[at]:g}°, or the maximum, {high[at]:g}°, is infinite"
    raise ValueError(f"{said}{_where(at, labels)}.")


def _where(at: tuple[int, ...], labels: NDArray[np.datetime64] | None) -> str:
    if not at:
        return ""
    if labels is None:
        return f" on the day at index {at[-1]}"
    return f" on {labels[at[-1]]} (the day at index {at[-1]})"
