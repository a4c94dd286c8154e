"""Which pots and boxes of a brood stand together, and are foretold together."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from rearing.keeping.starts import shared_out

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.holding import BoxNow, Holding, PotNow
    from rearing.keeping.warmth import Warmth


def standing_together(held: Holding, warmth: Warmth) -> list[tuple[BoxNow, ...]]:
    """Return the boxes of a brood that stand at one place, larvae and pupae apart."""
    groups: dict[tuple[int, int, bool], list[BoxNow]] = defaultdict(list)
    for box in held.boxes:
        begun = [s for s in box.stays if s.from_at.timestamp() < warmth.now_s]
        if box.standing.number > 0 and begun:
            pupating = box.row.kind.is_for_pupae
            groups[box.brood.id, begun[-1].place_id, pupating].append(box)
    return [tuple(group) for _, group in sorted(groups.items())]


def pots_together(held: Holding, warmth: Warmth) -> list[tuple[PotNow, ...]]:
    """Return the pots of a brood that stood at the same places all along."""
    groups: dict[tuple[int, tuple[int, ...]], list[PotNow]] = defaultdict(list)
    for pot in held.pots:
        begun = [s for s in pot.stays if s.from_at.timestamp() < warmth.now_s]
        if begun:
            # Together only if they were so all along: what they had is what counts.
            groups[pot.brood.id, tuple(s.place_id for s in begun)].append(pot)
    return [tuple(group) for _, group in sorted(groups.items())]


def unhatched(pot: PotNow) -> list[tuple[dt.date, int]]:
    """Return the eggs of a pot that wait, by the night they were laid."""
    numbers = shared_out(pot.waiting, [laying.number for laying in pot.layings])
    return [
        (laying.evening, number)
        for laying, number in zip(pot.layings, numbers, strict=True)
        if number
    ]
