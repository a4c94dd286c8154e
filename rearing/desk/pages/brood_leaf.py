"""How the leaf a brood was given is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.typed import day_words
from rearing.desk.widgets.day_bars import DayBar

if TYPE_CHECKING:
    from rearing.keeping.leaf_given import LeafGiven


def leaf_bars(leaf: LeafGiven) -> tuple[DayBar, ...]:
    """Return a bar for each day on which leaf was given."""
    return tuple(DayBar(day.on, day.grams, not day.unweighed) for day in leaf.days)


def leaf_words(leaf: LeafGiven) -> str:
    """Return how much was given, of what, and how much of it was weighed."""
    if not leaf.feedings:
        return ""
    hosts = [
        f"{weight_words(grams)} of {host}" if grams else host
        for host, grams in leaf.by_host.items()
    ]
    last = leaf.days[-1]
    weight = f", {weight_words(last.grams)}" if last.grams else ", not weighed"
    return (
        f"Given: {', '.join(hosts)}; weighed at {leaf.weighed} of {leaf.feedings} "
        f"feedings. Last on {day_words(last.on, year=False)}{weight}."
        f"{_one_after_the_other(leaf)}"
    )


def _one_after_the_other(leaf: LeafGiven) -> str:
    """Return the hosts in their order, where there was more than one."""
    if len(leaf.by_host) < 2:
        return ""
    return f" In turn: {'; '.join(one.words for one in leaf.stretches)}."


def leaf_note(leaf: LeafGiven) -> str:
    """Return what the broken outlines mean, where there are any."""
    if leaf.weighed == leaf.feedings:
        return ""
    return "A broken outline: leaf was given that day and not weighed."


def weight_words(grams: float) -> str:
    """Return a weight as 375 g or 1.43 kg."""
    return f"{grams / 1000:.2f} kg" if grams >= 1000 else f"{grams:.0f} g"
