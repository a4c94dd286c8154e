"""Shares of a count, with the doubt that a small count carries, and two compared."""

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


def difference(one: tuple[int, int], other: tuple[int, int]) -> Proportion:
    """Return by how much one share is above another, with its 95 % interval.

    Parameters
    ----------
    one, other : tuple of (int, int)
        How many did, of how many looked at [animals].

    Returns
    -------
    Proportion
        Here a difference, each of its three from -1 to 1.

    Raises
    ------
    ValueError
        As `wilson`.

    Notes
    -----
    The square-and-add interval of Wilson's limits:
    ``d − √((p₁ − l₁)² + (u₂ − p₂)²)`` to ``d + √((u₁ − p₁)² + (p₂ − l₂)²)``. As for
    `wilson`, eggs of one female are too much alike for it.

    References
    ----------
    Newcombe 1998, Stat. Med. 17:873–890 (method 10, from memory).

    Examples
    --------
    >>> found = difference((56, 70), (48, 80))
    >>> round(found.share, 4), round(found.low, 4), round(found.high, 4)
    (0.2, 0.0524, 0.3339)
    """
    first, second = wilson(*one), wilson(*other)
    apart = first.share - second.share
    below = math.hypot(first.share - first.low, second.high - second.share)
    above = math.hypot(first.high - first.share, second.share - second.low)
    return Proportion(apart, apart - below, apart + above)


def binomial_p(k: int, n: int, expected: float = 0.5) -> float:
    """Return how often chance would give a count as far from what was expected.

    Parameters
    ----------
    k : int
        Number that did: females among the moths that emerged [animals].
    n : int
        Number looked at, at least one [animals].
    expected : float
        The share that was expected, between 0 and 1.

    Returns
    -------
    float
        0 to 1, two-sided: the sum over all counts no likelier than `k`.

    Raises
    ------
    ValueError
        `n` below 1, `k` outside 0..n, or `expected` outside 0..1.

    References
    ----------
    The exact binomial test, as in Conover 1971, Practical Nonparametric Statistics,
    p. 97 (quoted).

    Examples
    --------
    >>> round(binomial_p(682, 925, 0.75), 4)
    0.3825
    """
    if n < 1:
        raise ValueError(f"A share needs at least one animal, not {n}.")
    if not 0 <= k <= n:
        raise ValueError(f"{k} of {n} is no share; it must be between 0 and {n}.")
    if not 0 < expected < 1:
        raise ValueError(f"What is expected must be between 0 and 1, not {expected:g}.")
    logs = [_log_chance(i, n, expected) for i in range(n + 1)]
    # As likely within rounding counts as well.
    most = logs[k] + 1e-7
    return min(math.fsum(math.exp(one) for one in logs if one <= most), 1.0)


def _log_chance(k: int, n: int, share: float) -> float:
    ways = math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
    return ways + k * math.log(share) + (n - k) * math.log1p(-share)
