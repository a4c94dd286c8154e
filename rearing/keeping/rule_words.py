"""A rule between two places, in words a keeper can check."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.moments import counted

if TYPE_CHECKING:
    from rearing.keeping.following import Following


def rule_short(found: Following) -> str:
    """Return it in a few words: Terrace: 1.5° warmer, 40 % of its swing, ± 0.8°."""
    rule = found.rule
    warmer = _apart(found.intervals.warmer_c[1])
    return (
        f"{found.other.name}: {warmer}, {_swing(found)}, ± {rule.spread_c:.1f}° a day"
    )


def rule_lead(found: Following) -> str:
    """Say that a place follows another, or that it could."""
    place, other = found.place.name, found.other.name
    low, middle, high = found.intervals.warmer_c
    between = f"({_signed(low)} to {_signed(high)}, 80 %)"
    does = "follows" if found.is_chosen else "could follow"
    return f"{place} {does} {other}: on the mean {_apart(middle)} {between}."


def rule_more(found: Following) -> str:
    """Say what else the rule holds, from how many days, and how far off it is."""
    rule = found.rule
    told = []
    low, middle, high = found.intervals.follows
    if rule.follows == 1.0:  # exactly 1 where it was not fitted
        told.append("its days go along degree by degree")
    else:
        told.append(f"{middle:.2f}° for each degree ({low:.2f} to {high:.2f})")
    low, middle, high = found.intervals.damping
    told.append(
        f"{100 * middle:.0f} % of the day's swing ({100 * low:.0f} to {100 * high:.0f})"
    )
    if rule.lag_h:
        told.append(f"{counted(rule.lag_h, 'hour')} later")
    told.append(f"days lie ± {rule.spread_c:.1f}° about it")
    said = "as you settled" if found.is_chosen else "L settles it"
    words = ", ".join(told)
    return f"Fitted on {counted(rule.days, 'day')} both were read: {words}; {said}."


def _swing(found: Following) -> str:
    return f"{100 * found.rule.damping:.0f} % of its swing"


def _apart(warmer_c: float) -> str:
    return f"{abs(warmer_c):.1f}° {'warmer' if warmer_c >= 0 else 'cooler'}"


def _signed(celsius: float) -> str:
    return f"{celsius:+.1f}°".replace("-", "−")  # a true minus
