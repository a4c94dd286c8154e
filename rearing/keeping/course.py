"""How the number of a brood went, day by day, from the first egg on."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.ledger import box_events, standing
from rearing.records import tables as t
from rearing.records.rows import MoveRow
from rearing.terms import EggFate

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.keeping.holding import BoxNow, Holding
    from rearing.keeping.ledger import Event
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Step:
    """The number alive, eggs included, at the end of a day on which it changed."""

    on: dt.date
    number: int


def course(book: Book, held: Holding) -> tuple[Step, ...]:
    """Return the steps of what is held, which must include what was closed."""
    in_pots = _in_pots(book, held)
    boxes = [box.row.id for box in held.boxes]
    events = box_events(book, boxes, held.on)
    days = {*in_pots, *(event.on for own in events.values() for event in own)}
    days |= {
        box.row.closed_on
        for box in held.boxes
        if box.row.closed_on is not None and box.row.closed_on <= held.on
    }
    steps: list[Step] = []
    waiting = 0
    for day in sorted(days):
        waiting += in_pots[day]
        number = waiting + _in_boxes(held.boxes, events, day)
        if not steps or steps[-1].number != number:
            steps.append(Step(day, number))
    return tuple(steps)


def _is_shut(box: BoxNow, on: dt.date) -> bool:
    return box.row.closed_on is not None and box.row.closed_on <= on


def _in_pots(book: Book, held: Holding) -> Counter[dt.date]:
    """Return by how much the number in the pots changed on each day."""
    changes: Counter[dt.date] = Counter()
    for pot in held.pots:
        for laying in pot.layings:
            changes[laying.evening] += laying.number
        for outcome in pot.outcomes:
            if outcome.fate is not EggFate.HATCHED:
                changes[outcome.on] -= outcome.number
    pots = [pot.row.id for pot in held.pots]
    for move in book.all(MoveRow, t.Move.from_pot_id.in_(pots), t.Move.on <= held.on):
        changes[move.on] -= move.number
    return changes


def _in_boxes(
    boxes: Sequence[BoxNow], events: Mapping[int, Iterable[Event]], day: dt.date
) -> int:
    return sum(
        standing(event for event in events[box.row.id] if event.on <= day).number
        for box in boxes
        if not _is_shut(box, day)
    )
