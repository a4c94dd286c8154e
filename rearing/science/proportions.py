"""Shares of a count, with the doubt that a small count carries."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Proportion:
    """A share and its interval, each 0 to 1."""

    share: float
    low: float
    high: float


def wilson(k: int, n: int, confidence: float = 0.95) -> Proportion:
    """Return the share of `k` in `n` with Wilson's score interval.

    Parameters
    ----------
    k : int
        Number that did: hatched, emerged, were female [animals].
    n : int
        Number looked at, at least one [animals].
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Proportion

    Raises
    ------
    ValueError
        `n` below 1, `k` outside 0..n, or `confidence` outside 0..1.

    Notes
    -----
    ``[(k + z²/2) ± z·√(k(n − k)/n + z²/4)] / (n + z²)``, without continuity
    correction. Animals of one batch are more alike than draws from an urn, so for
    eggs of one female the interval is too narrow for the species.

    References
    ----------
    Newcombe 1998, Stat. Med. 17:857–872 (method 3).

    Examples
    --------
    >>> found = wilson(81, 263)
    >>> round(found.low, 4), round(found.high, 4)
    (0.2553, 0.3662)
    """
    if n < 1:
        raise ValueError(f"A share needs at least one animal, not {n}.")
    if not 0 <= k <= n:
        raise ValueError(f"{k} of {n} is no share; it must be between 0 and {n}.")
    if not 0 < confidence < 1:
        raise ValueError(f"Confidence must be between 0 and 1, not {confidence:g}.")
    # Imported here: scipy.special is not needed to open a window.
    from scipy.special import ndtri

    z = float(ndtri(0.5 + confidence / 2))
    middle = k + z * z / 2
    half = z * math.sqrt(k * (n - k) / n + z * z / 4)
    # With none or all the exact bound is 0 or 1; rounding must not miss it.
    low = 0.0 if k == 0 else (middle - half) / (n + z * z)
    high = 1.0 if k == n else (middle + half) / (n + z * z)
    return Proportion(k / n, low, high)
