"""A slate beside the book: what was entered, added up from nothing."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass, field

IN, OUT, LOST, LEFT, COUNTED = range(5)


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
        return [mark for marks in self.entries for mark in marks if mark.day <= day]

    def pot(self, pot: int, day: dt.date) -> Counter[object]:
        """Return eggs laid, their fates, and how many were put on leaf."""
        told: Counter[object] = Counter()
        for mark in self.marks(day):
            if mark.thing == pot and mark.kind not in range(5):
                told[mark.kind] += mark.number
        return told

    def box(self, box: int, day: dt.date = dt.date.max) -> tuple[int, int]:
        """Return how many a box holds, and how many no record explains."""
        own = [
            mark
            for mark in self.marks(day)
            if mark.thing == box and mark.kind in range(5)
        ]
        number = missing = 0
        # a count closes its day: what was entered for that day explains it
        for mark in sorted(own, key=lambda mark: (mark.day, mark.kind == COUNTED)):
            if mark.kind == COUNTED:
                missing += number - mark.number
                number = mark.number
            else:
                number += mark.number if mark.kind == IN else -mark.number
        return number, missing

    def sum(self, kind: object, day: dt.date) -> int:
        return sum(mark.number for mark in self.marks(day) if mark.kind == kind)
