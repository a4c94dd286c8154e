"""A box's own bookkeeping: what it holds, how that is known, and what is unaccounted.

Counts never have to balance to be saved. A headcount sets the number; what differs
from the book is *unaccounted*, and a later count may find some of it again.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import TYPE_CHECKING

from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.of_boxes import headcounts_of
from rearing.records.rows import BoxRow, ExitRow, LossRow, MoveRow
from rearing.terms import ExitKind

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from rearing.records.book import Book


class Kind(IntEnum):
    """What happened, in the order in which untimed things of one day are taken.

    A headcount comes last: what was entered for its day explains it.
    """

    IN = 0
    OUT = 1
    LOST = 2
    LEFT = 3
    COUNTED = 4


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that changed, or told, the number in a box."""

    on: dt.date
    at: dt.datetime | None
    kind: Kind
    number: int
    row_id: int
    emerged: bool = False
    emptied: bool = False
    """All that were counted that day went, and the box was closed: after the count."""

    def order(self) -> tuple[dt.date, float, int, int]:
        """Sort by day, clock, kind and entry.

        Without a clock a headcount closes its day, and all else opens it: what was
        entered for the day of a count explains the count.
        """
        if self.emptied:
            return (self.on, float("inf"), len(Kind), self.row_id)
        untimed = float("inf") if self.kind is Kind.COUNTED else float("-inf")
        clock = self.at.timestamp() if self.at else untimed
        return (self.on, clock, int(self.kind), self.row_id)

    def is_after(self, on: dt.date, at: dt.datetime | None) -> bool:
        """Tell whether it is known to have come after something of that moment."""
        if self.on != on:
            return self.on > on
        return self.at is not None and at is not None and self.at > at


@dataclass(frozen=True, slots=True)
class Count:
    """A headcount with what the book said just before it."""

    on: dt.date
    number: int
    book: int

    @property
    def missing(self) -> int:
        """How many fewer were counted than the book had; below nought: found again."""
        return self.book - self.number


@dataclass(frozen=True, slots=True)
class Standing:
    """What a box holds on a day."""

    number: int
    counts: tuple[Count, ...]
    came: int
    moved_out: int
    lost: int
    left: int
    changed_since_count: bool
    last_emerged: dt.date | None = None

    @property
    def unaccounted(self) -> int:
        """Animals that no record explains; the only figure that balances the rest."""
        return sum(count.missing for count in self.counts)

    @property
    def last_count(self) -> Count | None:
        """The latest headcount."""
        return self.counts[-1] if self.counts else None

    @property
    def is_counted(self) -> bool:
        """True when the number is a count, not a count carried forward."""
        return bool(self.counts) and not self.changed_since_count


def standing(events: Iterable[Event]) -> Standing:
    """Return what a box holds after its events, whatever order they were entered in."""
    number = 0
    counts: list[Count] = []
    sums = dict.fromkeys(Kind, 0)
    changed = False
    last_emerged = None
    for event in sorted(events, key=Event.order):
        sums[event.kind] += event.number
        if event.kind is Kind.COUNTED:
            counts.append(Count(event.on, event.number, number))
            number = event.number
            changed = False
        else:
            number += event.number if event.kind is Kind.IN else -event.number
            changed = True
            last_emerged = event.on if event.emerged else last_emerged
    return Standing(
        number=number,
        counts=tuple(counts),
        came=sums[Kind.IN],
        moved_out=sums[Kind.OUT],
        lost=sums[Kind.LOST],
        left=sums[Kind.LEFT],
        changed_since_count=changed,
        last_emerged=last_emerged,
    )


def course_of(events: Iterable[Event]) -> tuple[tuple[Event, int], ...]:
    """Return what a box held after each of its events, in their order."""
    number = 0
    course = []
    for event in sorted(events, key=Event.order):
        if event.kind is Kind.COUNTED:
            number = event.number
        else:
            number += event.number if event.kind is Kind.IN else -event.number
        course.append((event, number))
    return tuple(course)


def box_events(
    book: Book,
    box_ids: Sequence[int],
    on: dt.date,
    *,
    moves: Iterable[MoveRow] | None = None,
) -> dict[int, list[Event]]:
    """Return each box's events up to and including a day.

    `moves` are those into and out of the boxes, where they were read already.
    """
    ids = list(box_ids)
    events: dict[int, list[Event]] = defaultdict(list)
    for box_id in ids:
        events[box_id] = []
    for box_id, day, at, number, row_id in headcounts_of(book, ids, on):
        events[box_id].append(Event(day, at, Kind.COUNTED, number, row_id))
    for loss in book.all(LossRow, among(t.Loss.box_id, ids), t.Loss.on <= on):
        events[loss.box_id].append(
            Event(loss.on, loss.at, Kind.LOST, loss.number, loss.id)
        )
    for leaving in book.all(ExitRow, among(t.Exit.box_id, ids), t.Exit.on <= on):
        events[leaving.box_id].append(
            Event(
                leaving.on,
                leaving.at,
                Kind.LEFT,
                leaving.number,
                leaving.id,
                emerged=leaving.kind is ExitKind.EMERGED,
            )
        )
    _add_moves(moves_of(book, ids, on) if moves is None else moves, ids, events)
    _mark_emptied(book, events)
    return dict(events)


def _mark_emptied(book: Book, events: dict[int, list[Event]]) -> None:
    """Mark what went last out of boxes that were counted and emptied on one day.

    A count without a clock closes its day, and one of the same moment comes after
    what was moved; but where all that were counted went on, and the box was closed.
    """
    counted: dict[int, dict[dt.date, int]] = {}
    for box_id, own in events.items():
        out = {(event.on, event.at) for event in own if event.kind is Kind.OUT}
        if out:
            days = {on for on, _ in out}
            counted[box_id] = {
                event.on: event.number
                for event in own
                if event.kind is Kind.COUNTED
                and (
                    event.on in days
                    if event.at is None
                    else (event.on, event.at) in out
                )
            }
    doubtful = [box_id for box_id, days in counted.items() if any(days.values())]
    if not doubtful:
        return
    for box in book.all(
        BoxRow, among(t.Box.id, doubtful), t.Box.closed_on.is_not(None)
    ):
        went = counted[box.id].get(box.closed_on or box.opened_on, 0)
        own = events[box.id]
        for at in sorted(range(len(own)), key=lambda i: own[i].row_id, reverse=True):
            event = own[at]
            if went > 0 and event.kind is Kind.OUT and event.on == box.closed_on:
                own[at] = replace(event, emptied=True)
                went -= event.number


def moves_of(book: Book, box_ids: Sequence[int], on: dt.date) -> tuple[MoveRow, ...]:
    """Return the moves into and out of boxes up to a day, those into them first."""
    moves = {
        move.id: move
        for column in (t.Move.to_box_id, t.Move.from_box_id)
        for move in book.all(MoveRow, among(column, box_ids), t.Move.on <= on)
    }
    return tuple(moves.values())


def _add_moves(
    moves: Iterable[MoveRow], ids: Sequence[int], events: dict[int, list[Event]]
) -> None:
    wanted = set(ids)
    for move in moves:
        if move.to_box_id in wanted:
            events[move.to_box_id].append(
                Event(move.on, move.at, Kind.IN, move.number, move.id)
            )
        if move.from_box_id in wanted and move.from_box_id is not None:
            events[move.from_box_id].append(
                Event(move.on, move.at, Kind.OUT, move.number, move.id)
            )
