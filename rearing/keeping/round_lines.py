"""The lines of a round: what is asked for at a box or pot, and why, in words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rearing.keeping.apart import ApartNow
    from rearing.keeping.box_room import Room
    from rearing.terms import BoxKind

EVENING = dt.time(20)
"""When the round is walked (common practice): what lasts till then is not due."""

EARLY = dt.timedelta(hours=6)
"""Leaf that runs out this little before the next round still counts as lasting."""


class Task(StrEnum):
    """What the round asks for."""

    FRESH_LEAF = "Fresh leaf"
    CLEAN_AND_LEAF = "Clean, fresh leaf"
    CLEAN = "Clean"
    PUT_ON_LEAF = "Put on leaf"
    LEAVE_ALONE = "Leave alone"
    LOOK_FOR_HATCHING = "Look for hatching"
    EGGS_OVERDUE = "Eggs overdue"
    WANDERERS = "Wanderers into litter"
    MORE_ROOM = "More room"
    JUDGE_LEAF = "Judge the leaf"
    COUNT_DUE = "Count due"
    LOOK = "Look"
    NOTHING = "Nothing due"

    @property
    def is_due(self) -> bool:
        """True where the keeper has something to do."""
        return self not in {Task.LEAVE_ALONE, Task.NOTHING}

    @property
    def is_service(self) -> bool:
        """True for what one visit with leaf or brush does."""
        return self in {Task.FRESH_LEAF, Task.CLEAN_AND_LEAF, Task.CLEAN}


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One box or pot of the round.

    `done` says how it was answered today; `was_done` is False where that was a look
    which left undone what was asked for. `age` grows with the stage, for the walk;
    `watched` where a neighbour has just died of a virus.
    """

    kind: str
    id: int
    code: str
    brood_id: int
    taxon: str
    short: str
    task: Task
    done: str | None
    reason: str
    number: int | None
    known: str
    by_book: bool
    until: str | None
    quarantine: bool
    host: str | None = None
    is_tub: bool = False
    was_done: bool = True
    room: Room | None = None
    age: int = 0
    watched: bool = False
    tree_id: int | None = None
    box_kind: BoxKind | None = None
    tools: str | None = None
    """Forceps and brush of its own."""

    def sentence(self) -> str:
        """Return the whole line as one sentence, for those who hear it."""
        number = "" if self.number is None else f", {self.number} {self.known}"
        until = f", {self.until}" if self.until else ""
        how = "done" if self.was_done else f"{self.task}, answered"
        what = f"{how}: {self.done}" if self.done else self.task
        reason = self.reason.rstrip(".")
        return f"{self.code}, {self.taxon}: {what}. {reason}{number}{until}"


@dataclass(frozen=True, slots=True)
class RoundPlace:
    """One stop of the round."""

    place_id: int
    name: str
    note: str
    lines: tuple[RoundLine, ...]


@dataclass(frozen=True, slots=True)
class Round:
    """The round of one day."""

    on: dt.date
    places: tuple[RoundPlace, ...]
    leaf_sentence: str
    hatch_sentence: str = ""
    next_pot_id: int | None = None
    crowded: tuple[RoundLine, ...] = ()
    """Boxes too full, now or at their next moult, those that are so now first."""
    apart: tuple[ApartNow, ...] = ()
    """Boxes that are kept apart, by the day on which that ends."""

    @property
    def lines(self) -> tuple[RoundLine, ...]:
        """Every line, in the order in which it is walked."""
        return tuple(line for place in self.places for line in place.lines)

    @property
    def room_sentence(self) -> str:
        """Which boxes are too full, now and in the next days, in a sentence or two."""
        clear = [(x.code, x.room) for x in self.crowded if x.room and x.room.is_clear]
        now = [code for code, room in clear if room.is_now]
        soon = [code for code, room in clear if room.is_near and not room.is_now]
        told = [
            f"{words}: {_few(codes)}."
            for words, codes in (
                (f"Too full, {_boxes(now)}", now),
                (f"Too full at the next moult, {_boxes(soon)}", soon),
            )
            if codes
        ]
        return " ".join(told)

    @property
    def to_do(self) -> int:
        """How many things are still to do."""
        return sum(line.task.is_due and not line.done for line in self.lines)

    @property
    def done(self) -> int:
        """How many are done."""
        return sum(bool(line.done) for line in self.lines)

    @property
    def leave_alone(self) -> int:
        """How many are better left alone."""
        return sum(line.task is Task.LEAVE_ALONE for line in self.lines)


_MOST = 3
"""Of boxes that a sentence names, no more."""


def _boxes(codes: list[str]) -> str:
    return "1 box" if len(codes) == 1 else f"{len(codes)} boxes"


def _few(codes: list[str]) -> str:
    more = len(codes) - _MOST
    return ", ".join(codes[:_MOST]) + (f" and {more} more" if more > 0 else "")
