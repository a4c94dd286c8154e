"""Sleeves taken off their tree: their animals go into a box, or none are left."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.keeping.boxes import MORNING, Origin, When, box_name, refuse_shut
from rearing.keeping.closing import ask_of_count
from rearing.keeping.facts import home
from rearing.keeping.host_history import move_question
from rearing.keeping.housing import Into, Lot, NewBox, fill
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.moments import (
    counted,
    day_words,
    on_day,
    refuse_future,
    refuse_negative,
)
from rearing.keeping.sleeves import add_count, trees_of_sleeves
from rearing.keeping.stage_known import stage_known
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow, StayRow, TreeRow
from rearing.terms import BoxKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.care import Lost
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched
    from rearing.terms import Stage


def take_down(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    into: NewBox | None,
    when: When,
    number: int | None = None,
    losses: Sequence[Lost] = (),
    stage: Stage | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Take a sleeve off its tree and close it; all it holds go into a new box.

    Those counted on the way are a headcount, with the losses found at it. Without a
    new box it is given up: what it holds by the book becomes unaccounted, which is
    asked about.
    """
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = book.one(BoxRow, box_id)
    living = _living(book, box, when, number, losses, sure=sure)
    stage = stage or stage_known(book, box_id, when.on)
    question = _question(book, box, into, when, stage, living)
    if question and not sure:
        raise AskFirst(question, field="tree")
    hung = trees_of_sleeves(book, [box], when.on).get(box_id)
    tree = f" off {book.one(TreeRow, hung).name}" if hung is not None else ""
    with book.change(entry) as pen:
        given_up = into is None or not living
        add_count(pen, box_id, when, 0 if given_up else number, losses)
        where, own = "", Origin(box_id=box_id)
        if into is not None and living:
            lot = Lot(own, box.brood_id, living, when, stage, note)
            where = f", {living} into {fill(book, pen, lot, Into(new=into))}"
        elif living:
            where = f", given up; {living} unaccounted"
        _close(book, pen, box, when, f"taken{tree or ' down'}")
        pen.say(
            f"Took the sleeve {box_name(book, box)}{tree or ' down'}"
            f"{where or ', empty'}, {day_words(when.on)}"
        )
    return pen.touched


def _living(
    book: Book,
    box: BoxRow,
    when: When,
    number: int | None,
    losses: Sequence[Lost],
    *,
    sure: bool,
) -> int:
    """Return how many there are to go on, when it may be taken down."""
    name = box_name(book, box)
    if box.kind is not BoxKind.SLEEVE:
        raise Refusal(f"{name} is no sleeve: carry it, or close it.", field="tree")
    if box.closed_on is not None:
        raise Refusal(f"It was closed on {day_words(box.closed_on)}.", field="on")
    refuse_shut(box, when.on)
    if losses and number is None:
        raise Refusal("How many live? Losses are entered with a count.", field="number")
    events = box_events(book, [box.id], dt.date.max)[box.id]
    later = [event.on for event in events if event.is_after(when.on, when.at)]
    if later:
        raise Refusal(
            f"There are entries of {name} up to {day_words(max(later))}; take it down "
            "then or later.",
            field="on",
        )
    if number is None:
        return max(standing(events).number, 0)
    refuse_negative(number)
    ask_of_count(book, box, number, when, sure=sure)
    return number


def _question(
    book: Book,
    box: BoxRow,
    into: NewBox | None,
    when: When,
    stage: Stage | None,
    living: int,
) -> str:
    if into is None and living:
        return (
            f"{counted(living, 'animal')} live in it by the book: given up, they will "
            "be unaccounted for. Give it up?"
        )
    if into is None or into.kind.is_for_pupae or not living:
        return ""
    return move_question(book, box, into.host, when.on, stage=stage)


def _close(book: Book, pen: Writing, box: BoxRow, when: When, why: str) -> None:
    at = when.at or on_day(when.on, MORNING, home(book).zone)
    pen.change(t.Box, box.id, closed_on=when.on, closed_why=why)
    for stay in pen.all(StayRow, t.Stay.box_id == box.id, t.Stay.to_at.is_(None)):
        pen.change(t.Stay, stay.id, to_at=max(at, stay.from_at))
    pen.subjects.add(("box", box.id))
