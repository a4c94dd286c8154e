"""A box split into new ones, or put together with another: one entry each."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.boxes import (
    MORNING,
    When,
    box_name,
    name_in,
    refuse_more,
    refuse_shut,
)
from rearing.keeping.closing import (
    event_words,
    in_the_way,
    put_in,
    refuse_into_closed,
)
from rearing.keeping.codes import box_label
from rearing.keeping.facts import home
from rearing.keeping.host_history import move_question
from rearing.keeping.ledger import Event, Kind, box_events, standing
from rearing.keeping.mixing import mix, mixing_of
from rearing.keeping.moments import day_words, on_day, refuse_future, refuse_none
from rearing.keeping.stage_known import stage_known
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow, PlaceRow, StayRow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched
    from rearing.terms import BoxKind, Stage


@dataclass(frozen=True, slots=True)
class Parts:
    """How many go into each new box, of which kind these are, and where they stand."""

    numbers: tuple[int, ...]
    kind: BoxKind
    place_id: int


def split_box(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    into: Parts,
    when: When,
    stage: Stage | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Put animals of a box into new ones of its brood, lettered on.

    The old box is closed where none are left in it by the book.
    """
    refuse_future(when.on, entry.on, sure=sure, field="on")
    if not into.numbers:
        raise Refusal("How many go into each new box?", field="numbers")
    for number in into.numbers:
        refuse_none(number, field="numbers")
    box = book.one(BoxRow, box_id)
    place = book.one(PlaceRow, into.place_id)
    total = sum(into.numbers)
    _refuse_more(book, box_id, total, when, field="numbers")
    left = _held(book, box_id, when.on) - total
    stage = stage or stage_known(book, box_id, when.on)
    with book.change(entry) as pen:
        made = [
            _put_into_new(book, pen, box, number, into, (when, stage, note))
            for number in into.numbers
        ]
        told = ", ".join(
            f"{number} into {label}"
            for number, label in zip(into.numbers, made, strict=True)
        )
        end = _close_empty(book, pen, box, when) if left == 0 else f"; {left} stay"
        pen.say(
            f"Split {box_name(book, box)}: {told}, new at {place.name}, "
            f"{day_words(when.on)}{end}"
        )
    return pen.touched


def join_boxes(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    to_box_id: int,
    when: When,
    stage: Stage | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Put all that a box holds into another one, and close it.

    Two broods in one box is asked about, and makes a mixed line.
    """
    refuse_future(when.on, entry.on, sure=sure, field="on")
    if box_id == to_box_id:
        raise Refusal("They are in that box already.", field="to_box")
    box, to_box = book.one(BoxRow, box_id), book.one(BoxRow, to_box_id)
    refuse_shut(box, when.on)
    refuse_shut(to_box, when.on)
    number = _emptied(book, box, when)
    lot = put_in(when.on, when.at, number)
    refuse_into_closed(book, to_box, box_name(book, to_box), lot, field="to_box")
    stage = stage or stage_known(book, box_id, when.on)
    mixing = mixing_of(
        *(book, box.brood_id, to_box),
        number=number,
        on=when.on,
        at=when.at,
        sure=sure,
        also=move_question(book, box, to_box, when.on, stage=stage),
    )
    with book.change(entry) as pen:
        if mixing is not None:
            to_box_id = mix(book, pen, mixing)
            to_box = pen.all(BoxRow, t.Box.id == to_box_id)[0]
        pen.new_id = _move(pen, box_id, to_box_id, number, (when, stage, note))
        end = _close_empty(book, pen, box, when)
        pen.say(
            f"Joined {number} of {box_name(book, box)} to {name_in(pen, to_box)}, "
            f"{day_words(when.on)}{end}{'; the two are mixed' if mixing else ''}"
        )
    return pen.touched


def _emptied(book: Book, box: BoxRow, when: When) -> int:
    """Return what a box held at a moment, when all of it may have gone on from it."""
    events = box_events(book, [box.id], dt.date.max)[box.id]
    before = [event for event in events if not event.is_after(when.on, when.at)]
    number, name = standing(before).number, box_name(book, box)
    if number < 1:
        raise Refusal(
            f"By the book {name} is empty on {day_words(when.on)}: close it, or count "
            "it first.",
            field="to_box",
        )
    last = len(before) == len(events)
    taken = Event(when.on, when.at, Kind.OUT, number, sys.maxsize, emptied=last)
    blocks = in_the_way(events, taken)
    if blocks is not None:
        raise Refusal(
            f"{name} would be empty by then, but for {event_words(blocks)}. Join "
            "them after that, take that entry back first, or move some only.",
            field="on",
        )
    return number


_Told = tuple[When, "Stage | None", str | None]


def _put_into_new(
    book: Book, pen: Writing, box: BoxRow, number: int, into: Parts, told: _Told
) -> str:
    when = told[0]
    label = box_label(pen, box.brood_id, None)
    pen.new_id = pen.add(
        t.Box,
        brood_id=box.brood_id,
        label=label,
        kind=into.kind,
        host=box.host,
        opened_on=when.on,
        tools=box.tools,
    )
    pen.add(
        t.Stay,
        box_id=pen.new_id,
        place_id=into.place_id,
        from_at=_moment(book, when),
    )
    _move(pen, box.id, pen.new_id, number, told)
    return label


def _move(pen: Writing, from_id: int, to_id: int, number: int, told: _Told) -> int:
    when, stage, note = told
    return pen.add(
        t.Move,
        from_box_id=from_id,
        to_box_id=to_id,
        on=when.on,
        at=when.at,
        number=number,
        stage=stage,
        note=note,
    )


def _close_empty(book: Book, pen: Writing, box: BoxRow, when: When) -> str:
    """Close a box that was emptied, unless something was entered of it later."""
    events = box_events(book, [box.id], dt.date.max)[box.id]
    if any(event.on > when.on for event in events):
        return ""
    pen.change(t.Box, box.id, closed_on=when.on, closed_why="emptied")
    at = _moment(book, when)
    for stay in pen.all(StayRow, t.Stay.box_id == box.id, t.Stay.to_at.is_(None)):
        pen.change(t.Stay, stay.id, to_at=max(at, stay.from_at))
    return f"; {box.label} closed"


def _refuse_more(
    book: Book, box_id: int, number: int, when: When, *, field: str
) -> None:
    try:
        refuse_more(book, box_id, number, when)
    except Refusal as refusal:
        name = field if refusal.field == "number" else refusal.field
        raise Refusal(refusal.sentence, field=name) from None


def _held(book: Book, box_id: int, on: dt.date) -> int:
    return standing(box_events(book, [box_id], on)[box_id]).number


def _moment(book: Book, when: When) -> dt.datetime:
    return when.at or on_day(when.on, MORNING, home(book).zone)


def numbers_in(words: str) -> Sequence[int]:
    """Return the numbers of a line such as 9, 8 and 8; refuse what is none."""
    parts = words.replace(",", " ").replace("+", " ").replace("and", " ").split()
    if not parts or not all(part.isdecimal() for part in parts):
        raise Refusal("Write a number for each new box: 9 8 8.", field="numbers")
    return tuple(int(part) for part in parts)
