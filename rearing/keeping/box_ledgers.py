"""What came into a brood's boxes, left them, was lost and is there: a small ledger.

Unaccounted is the one figure that makes both sides agree, and may be below nought.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.fates import End

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.fates import Fates
    from rearing.keeping.holding import BoxNow
    from rearing.keeping.ledger import Count


@dataclass(frozen=True, slots=True)
class BoxLedger:
    """One box: `came` = `moved` + `lost` + `left` + `unaccounted` + `number`."""

    label: str
    came: int
    moved: int
    lost: int
    left: int
    unaccounted: int
    number: int
    counted_on: dt.date | None
    is_counted: bool
    """The number is a headcount, not one carried forward by the book."""
    closed: bool
    counts: tuple[Count, ...]


@dataclass(frozen=True, slots=True)
class BroodLedger:
    """A whole brood: eggs to fates and larvae to ends, each side adding up."""

    eggs: int
    hatched: int
    other_eggs: int
    waiting: int
    came: int
    lost: int
    left: int
    unaccounted: int
    alive: int
    counted: int
    """Of the living, how many a headcount says."""
    boxes: tuple[BoxLedger, ...]
    by_count: int = 0
    """Of those that came, how many only a count knows of: more than hatched."""

    @property
    def by_book(self) -> int:
        """Of the living, how many only the book says."""
        return self.alive - self.counted

    @property
    def balances(self) -> bool:
        """True when both sides agree, for the eggs and for the larvae."""
        eggs = self.hatched + self.other_eggs + self.waiting
        larvae = self.lost + self.left + self.unaccounted + self.alive
        return self.eggs == eggs and self.came == larvae


def ledger_of(found: Fates) -> BroodLedger:
    """Return the ledger of a brood, and of each of its boxes in their order."""
    boxes = tuple(_box(box, found.on) for box in found.boxes)
    return BroodLedger(
        eggs=found.eggs,
        hatched=found.hatched,
        other_eggs=found.eggs - found.hatched - found.waiting,
        waiting=found.waiting,
        came=sum(one.number for one in found.came),
        by_count=sum(one.number for one in found.came if one.by_count),
        lost=found.number(End.LOST),
        left=found.number(End.LEFT),
        unaccounted=found.number(End.UNACCOUNTED),
        alive=found.all_alive,
        counted=sum(max(one.number, 0) for one in boxes if one.is_counted),
        boxes=boxes,
    )


def _box(box: BoxNow, on: dt.date) -> BoxLedger:
    standing, last = box.standing, box.standing.last_count
    shut = box.row.closed_on
    return BoxLedger(
        label=box.row.label,
        came=standing.came,
        moved=standing.moved_out,
        lost=standing.lost,
        left=standing.left,
        unaccounted=standing.unaccounted,
        number=standing.number,
        counted_on=last.on if last else None,
        is_counted=standing.is_counted,
        closed=shut is not None and shut <= on,
        counts=standing.counts,
    )
