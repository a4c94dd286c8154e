"""A slate beside the book: what was entered, added up from nothing."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass, field, replace

IN, OUT, LOST, LEFT, COUNTED, EMPTIED, BECOMES = range(7)


@dataclass(frozen=True, slots=True)
class Mark:
    """One stroke on the slate: of a pot or a box, on a day."""

    day: dt.date
    kind: object
    thing: int
    number: int


@dataclass(slots=True)
class Slate:
    """What was entered, in order; each entry is some marks, and may be wiped."""

    entries: list[tuple[Mark, ...]] = field(default_factory=list)
    wiped: list[tuple[Mark, ...]] = field(default_factory=list)

    def write(self, *marks: Mark) -> None:
        self.entries.append(marks)
        self.wiped.clear()

    def wipe(self) -> None:
        self.wiped.append(self.entries.pop())

    def write_again(self) -> None:
        self.entries.append(self.wiped.pop())

    def marks(self, day: dt.date = dt.date.max) -> list[Mark]:
        """Return what stands to a day; what was told of a box that became another
        before is that other one's."""
        told: list[Mark] = []
        for mark in (mark for marks in self.entries for mark in marks):
            if mark.kind == BECOMES:
                told = [
                    replace(one, thing=mark.number)
                    if one.thing == mark.thing
                    and one.kind in range(BECOMES)
                    and one.day > mark.day
                    else one
                    for one in told
                ]
            else:
                told.append(mark)
        return [mark for mark in told if mark.day <= day]

    def pot(self, pot: int, day: dt.date) -> Counter[object]:
        """Return eggs laid, their fates, and how many were put on leaf."""
        told: Counter[object] = Counter()
        for mark in self.marks(day):
            if mark.thing == pot and mark.kind not in range(BECOMES):
                told[mark.kind] += mark.number
        return told

    def box(self, box: int, day: dt.date = dt.date.max) -> tuple[int, int]:
        """Return how many a box holds, and how many no record explains."""
        own = [
            mark
            for mark in self.marks(day)
            if mark.thing == box and mark.kind in range(BECOMES)
        ]
        number = missing = 0
        # a count closes its day: what was entered for that day explains it, but for
        # all that went on when the box was emptied
        rank: dict[object, int] = {COUNTED: 1, EMPTIED: 2}
        for mark in sorted(own, key=lambda m: (m.day, rank.get(m.kind, 0))):
            if mark.kind == COUNTED:
                missing += number - mark.number
                number = mark.number
            else:
                number += mark.number if mark.kind == IN else -mark.number
        return number, missing

    def sum(self, kind: object, day: dt.date) -> int:
        return sum(mark.number for mark in self.marks(day) if mark.kind == kind)
