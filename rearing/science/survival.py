"""Survivorship of animals of which some leave alive, and the comparison of two lots."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from rearing.science.normal import ndtri

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


class Limits(StrEnum):
    """On which scale the limits of a survivorship are reckoned."""

    LOG = "log"
    LOG_LOG = "log-log"


@dataclass(frozen=True, slots=True)
class Change:
    """What happened to a lot at one time: how many came, died, left alive."""

    time: float
    came: int = 0
    died: int = 0
    left: int = 0


@dataclass(frozen=True, slots=True)
class Step:
    """Survivorship just after a time at which some died, with its limits."""

    time: float
    at_risk: int
    died: int
    left: int
    """Left alive at this time or after it, before the next death."""
    share: float
    se: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Compared:
    """Two lots compared: the first one's deaths, and what they would be if alike."""

    died: int
    expected: float
    chi_square: float
    p: float


def kaplan_meier(
    changes: Iterable[Change],
    *,
    confidence: float = 0.95,
    limits: Limits = Limits.LOG_LOG,
) -> tuple[Step, ...]:
    """Return the share still alive after each time at which animals died.

    Parameters
    ----------
    changes : iterable of Change
        Animals that came, died or left alive, in any order [animals, any time unit].
        Whoever comes later is at risk from then on.
    confidence : float
        Of the limits, between 0 and 1.
    limits : Limits
        Log-log limits never leave 0..1; plain log limits are cut off at 1.

    Returns
    -------
    tuple of Step
        One for each time with a death; empty if none died. `share`, `se`, `low` and
        `high` are 0 to 1. While all live the limits are 1; once none lives the
        variance has no meaning, `se` is 0 and the limits are 0.

    Raises
    ------
    ValueError
        A number below nought, more deaths at a time than animals at risk, or a
        confidence outside 0..1.

    Notes
    -----
    ``S(t) = Π (1 − d/n)`` over times up to t. Of one time, comings are taken first,
    then deaths, then leavings: who leaves on the day of a death was at risk of it.
    Greenwood's variance is ``S² Σ d / (n (n − d))``. The method takes it that those
    who left were neither better nor worse than those who stayed.

    References
    ----------
    Kaplan & Meier 1958, J. Am. Stat. Assoc. 53:457–481 (from memory).

    Examples
    --------
    >>> found = kaplan_meier([Change(0, came=10), Change(3, died=2, left=1),
    ...                       Change(5, died=1)])
    >>> [(step.time, step.at_risk, round(step.share, 4)) for step in found]
    [(3, 10, 0.8), (5, 7, 0.6857)]
    """
    if not 0 < confidence < 1:
        raise ValueError(f"Confidence must be between 0 and 1, not {confidence:g}.")
    z = float(ndtri(0.5 + confidence / 2))
    share, summed, alive = 1.0, 0.0, 0
    steps: list[Step] = []
    for change in _by_time(changes):
        alive += change.came
        if change.died + change.left > alive:
            raise ValueError(
                f"At {change.time:g} {change.died} die and {change.left} leave of "
                f"{alive} animals; no more can than are there."
            )
        if change.died:
            share *= 1 - change.died / alive
            if share > 0:
                summed += change.died / (alive * (alive - change.died))
            low, high = _limits(share, summed, z, limits)
            se = share * math.sqrt(summed)
            steps.append(Step(change.time, alive, change.died, 0, share, se, low, high))
        if change.left and steps:
            last = steps[-1]
            steps[-1] = Step(
                *(last.time, last.at_risk, last.died, last.left + change.left),
                *(last.share, last.se, last.low, last.high),
            )
        alive -= change.died + change.left
    return tuple(steps)


def log_rank(one: Iterable[Change], other: Iterable[Change]) -> Compared | None:
    """Compare the deaths of two lots over the same times, by the log-rank test.

    Parameters
    ----------
    one, other : iterable of Change
        As for `kaplan_meier`; times of both count from the same kind of moment.

    Returns
    -------
    Compared or None
        None where nothing can be compared: at no time of a death were animals of
        both at risk. `p` is of the chi-square law with one degree of freedom.

    Raises
    ------
    ValueError
        As `kaplan_meier`.

    Notes
    -----
    ``(Σ (d₁ − n₁ d / n))² / Σ n₁ n₂ d (n − d) / (n² (n − 1))``. Animals of one mother
    die alike: between two broods `p` is smaller than it should be.

    References
    ----------
    Mantel 1966, Cancer Chemother. Rep. 50:163–170 (from memory).

    Examples
    --------
    >>> found = log_rank([Change(0, came=4), Change(1, died=3)],
    ...                  [Change(0, came=4), Change(2, died=1)])
    >>> found.died, found.expected
    (3, 1.7)
    """
    first, second = list(_by_time(one)), list(_by_time(other))
    kaplan_meier(first)
    kaplan_meier(second)
    seen = expected = variance = 0.0
    n = [0, 0]
    together = {change.time: [change, None] for change in first}
    for change in second:
        together.setdefault(change.time, [None, None])[1] = change
    for time in sorted(together):
        pair = [change or Change(time) for change in together[time]]
        n = [had + change.came for had, change in zip(n, pair, strict=True)]
        dead, whole = pair[0].died + pair[1].died, sum(n)
        if dead and whole > 1:
            seen += pair[0].died
            expected += n[0] * dead / whole
            variance += n[0] * n[1] * dead * (whole - dead) / (whole**2 * (whole - 1))
        elif dead:
            seen += pair[0].died
            expected += n[0] * dead / whole
        n = [had - x.died - x.left for had, x in zip(n, pair, strict=True)]
    if variance <= 0:
        return None
    chi_square = (seen - expected) ** 2 / variance
    p = math.erfc(math.sqrt(chi_square / 2))
    return Compared(round(seen), expected, chi_square, p)


def share_at(steps: Sequence[Step], time: float) -> float:
    """Return the share alive just after a time, 1 before the first death."""
    known = [step.share for step in steps if step.time <= time]
    return known[-1] if known else 1.0


def _by_time(changes: Iterable[Change]) -> list[Change]:
    summed: dict[float, list[int]] = defaultdict(lambda: [0, 0, 0])
    for change in changes:
        numbers = (change.came, change.died, change.left)
        if min(numbers) < 0:
            raise ValueError(f"At {change.time:g} a number of animals is below nought.")
        for i, number in enumerate(numbers):
            summed[change.time][i] += number
    return [Change(time, *summed[time]) for time in sorted(summed)]


def _limits(
    share: float, summed: float, z: float, limits: Limits
) -> tuple[float, float]:
    if share <= 0:
        return 0.0, 0.0
    half = z * math.sqrt(summed)
    if limits is Limits.LOG:
        return share * math.exp(-half), min(share * math.exp(half), 1.0)
    wide = half / math.log(share)
    return share ** math.exp(-wide), share ** math.exp(wide)
