"""What may still be entered of the days of a box that was closed since."""

from __future__ import annotations

import datetime as dt
import sys
from typing import TYPE_CHECKING

from rearing.keeping.ledger import Event, Kind, box_events, course_of, standing
from rearing.keeping.moments import day_words
from rearing.problems import AskFirst, Refusal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.boxes import When
    from rearing.records.book import Book
    from rearing.records.rows import BoxRow


def refuse_into_closed(
    book: Book, box: BoxRow, name: str, event: Event, *, field: str
) -> None:
    """Refuse what would leave animals behind in a box that was closed since.

    `event` is what is to be entered: animals put into it, or a count.
    """
    shut = box.closed_on
    if shut is None or not event.number:
        return
    if event.on >= shut:
        raise Refusal(
            f"{name} was closed on {day_words(shut)}: what is entered of that day "
            "comes before its closing. Take a box that stands, or a new one.",
            field=field,
        )
    events = box_events(book, [box.id], dt.date.max)[box.id]
    before, left = standing(events).number, standing([*events, event]).number
    if left > max(before, 0):
        raise Refusal(
            f"{name} was closed on {day_words(shut)}, when all it held by the book had "
            f"gone on: {left - max(before, 0)} would be left behind in it. Enter it "
            "at the box they went on in.",
            field=field,
        )


def put_in(on: dt.date, at: dt.datetime | None, number: int) -> Event:
    """Return the event of animals about to be put into a box."""
    return Event(on, at, Kind.IN, number, sys.maxsize)


def ask_of_count(
    book: Book, box: BoxRow, number: int, when: When, *, sure: bool
) -> None:
    """Ask before a back-dated count makes a box hold less than none afterwards.

    In a box that was closed since, what it would leave behind is refused.
    """
    from rearing.keeping.boxes import box_name

    told = Event(when.on, when.at, Kind.COUNTED, number, sys.maxsize)
    refuse_into_closed(book, box, box_name(book, box), told, field="number")
    events = box_events(book, [box.id], dt.date.max)[box.id]
    if sure or not any(event.on >= when.on for event in events):
        return
    least = min(held for _, held in course_of([*events, told]))
    if least < min(0, *(held for _, held in course_of(events))):
        raise AskFirst(
            f"With {number} on {day_words(when.on)}, {-least} more were taken out on "
            "later days than there would be. Enter the count all the same?",
            field="number",
        )


def in_the_way(events: Sequence[Event], taken: Event) -> Event | None:
    """Return the first later entry that could not stand were all taken out before.

    None could go from an empty box, nor be counted in it.
    """
    before = {id(event): held for event, held in course_of(events)}
    then = dict.fromkeys(before, 0)
    number = 0
    for event, held in course_of(events):
        then[id(event)] = number
        number = held
    course = course_of([*events, taken])
    at = next(i for i, (event, _) in enumerate(course) if event is taken)
    number = course[at][1]
    for event, held in course[at + 1 :]:
        found = event.number - number
        had = event.number - then[id(event)]
        if event.kind is Kind.COUNTED and found > max(had, 0):
            return event
        if held < min(before[id(event)], 0):
            return event
        number = held
    return None


def event_words(event: Event) -> str:
    """Return an entry of a box in words: the count of 12 on Fri 18 June."""
    told = {
        Kind.IN: f"the {event.number} put in",
        Kind.OUT: f"the {event.number} moved out",
        Kind.LOST: f"the {event.number} lost",
        Kind.LEFT: f"the {event.number} that left",
        Kind.COUNTED: f"the count of {event.number}",
    }
    return f"{told[event.kind]} on {day_words(event.on)}"
