"""The answer to days away in words: boxes of one brood that fail alike together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.away import Why
from rearing.keeping.moments import counted, day_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.away import Away, Failing


def alike(found: Away) -> list[list[Failing]]:
    """Return what fails, boxes of one brood that fail alike together."""
    groups: dict[object, list[Failing]] = {}
    for one in found.failing:
        brood = one.code.partition(" ")[0]
        key = (brood, one.why, one.place, one.at_worst, one.words, one.saves)
        groups.setdefault(key, []).append(one)
    return list(groups.values())


def group_words(together: Sequence[Failing]) -> tuple[str, str]:
    """Return a heading (which, where) and what goes wrong with them, and what saves."""
    one = together[0]
    head = f"{one.place}, {number_words(together)}: {one.why}."
    return which(together), f"{head} {what_fails(one)}\n{what_saves(one)}"


def which(together: Sequence[Failing]) -> str:
    """Return the boxes or pots of a brood: B21-03 A, B, C."""
    brood, _, label = together[0].code.partition(" ")
    labels = [label, *(one.code.partition(" ")[2] for one in together[1:])]
    return f"{brood} {', '.join(labels)}"


def number_words(together: Sequence[Failing]) -> str:
    """Return how many would fail: 57, or 153 eggs."""
    number = sum(one.number for one in together)
    return counted(number, "egg") if together[0].why is Why.HATCH else str(number)


def what_fails(one: Failing) -> str:
    """Return what goes wrong, and if it need not."""
    return f"{one.words}.{'' if one.is_likely else ' Not likely, but it may be.'}"


def what_saves(one: Failing) -> str:
    """Return all that would save it, in a sentence."""
    return f"Saved by {', or '.join(save.words for save in one.saves)}."


def lasting_words(found: Away) -> tuple[str, ...]:
    """Return when a helper has to come, what lasts, and what all this is taken from."""
    told = []
    if found.helper:
        evenings = ", ".join(
            f"{day_words(day)} ({counted(n, 'box', 'boxes')})"
            for day, n in found.helper
        )
        told.append(f"A helper has to give leaf on {evenings}.")
    if found.lasting:
        boxes = counted(found.lasting, "box", "boxes")
        told.append(f"The leaf of {boxes} lasts until you are back.")
    told.append(
        f"Taken that all is fed and cleaned on {day_words(found.fed_at.date())}, "
        f"{found.fed_at:%H:%M}, and that you are back for the round of "
        f"{day_words(found.back_at.date())}."
    )
    return tuple(told)
