"""What was entered of a box after its animals had gone on in another: it goes along."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from rearing.keeping.ledger import Kind, box_events, course_of
from rearing.keeping.moments import day_words
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    BoxRow,
    BoxVisitRow,
    BroodRow,
    ExitRow,
    HeadcountRow,
    LeafTestRow,
    LossRow,
    MeasurementRow,
    MothRow,
    MoveRow,
    NoteRow,
    PhotoRow,
    SetApartRow,
    SleeveMoveRow,
    StageLookRow,
    StayRow,
)
from rearing.terms import ExitKind

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.records.book import Book, Writing

_OF_A_BOX: tuple[tuple[Any, Any, str, str], ...] = (
    (t.BoxVisit, BoxVisitRow, "box_id", "on"),
    (t.Headcount, HeadcountRow, "box_id", "on"),
    (t.StageLook, StageLookRow, "box_id", "on"),
    (t.Loss, LossRow, "box_id", "on"),
    (t.Exit, ExitRow, "box_id", "on"),
    (t.Move, MoveRow, "from_box_id", "on"),
    (t.Move, MoveRow, "to_box_id", "on"),
    (t.SleeveMove, SleeveMoveRow, "box_id", "on"),
    (t.Measurement, MeasurementRow, "box_id", "on"),
    (t.LeafTest, LeafTestRow, "box_id", "begun_on"),
    (t.SetApart, SetApartRow, "box_id", "since"),
)
_BESIDE: tuple[tuple[Any, Any], ...] = ((t.Note, NoteRow), (t.Photo, PhotoRow))


def is_after(row: Any, on: dt.date, at: dt.datetime | None, day: str = "on") -> bool:
    """Tell whether a row is known to be of a later moment."""
    own, clock = getattr(row, day), getattr(row, "at", None)
    if own != on:
        return bool(own > on)
    return clock is not None and at is not None and clock > at


def refuse_parted(
    book: Book,
    box: BoxRow,
    name: str,
    moment: tuple[dt.date, dt.datetime | None],
    fits: Callable[[int], bool],
) -> None:
    """Refuse where animals of a box went on later as of its brood alone.

    `fits` tells of a brood whether all that the box is to hold may go into it.
    """
    boxes = {row.id: row for row in book.all(BoxRow)}
    codes = {row.id: row.code for row in book.all(BroodRow)}
    for move in book.all(
        MoveRow, t.Move.from_box_id == box.id, order=(t.Move.on, t.Move.id)
    ):
        into = boxes[move.to_box_id]
        if is_after(move, *moment) and not fits(into.brood_id):
            raise Refusal(
                f"On {day_words(move.on)} {move.number} went from {name} into "
                f"{codes[into.brood_id]} {into.label}, as of {codes[box.brood_id]} "
                "alone. Enter the mixing as of that day or later; or take that move "
                "back, enter the mixing, and then the move again.",
                field="on",
            )
    moths = {row.code for row in book.all(MothRow, t.Moth.brood_id == box.brood_id)}
    for left in book.all(
        ExitRow, t.Exit.box_id == box.id, t.Exit.kind == ExitKind.EMERGED
    ):
        if is_after(left, *moment) and left.note in moths:
            raise Refusal(
                f"{left.note} emerged in {name} on {day_words(left.on)}, as of "
                f"{codes[box.brood_id]} alone. Enter the mixing as of that day or "
                "later; or take the moth back, enter the mixing, and then the moth.",
                field="on",
            )


def later_count_words(
    book: Book, box_id: int, number: int, on: dt.date, at: dt.datetime | None
) -> str:
    """Return what a number put in does to the first count after it; empty if none."""
    held = 0
    for event, stands in course_of(box_events(book, [box_id], dt.date.max)[box_id]):
        if event.kind is Kind.COUNTED and event.is_after(on, at):
            missing = held + number - event.number
            if missing <= 0:
                return ""
            return (
                f" With them the count of {event.number} on {day_words(event.on)} "
                f"leaves {missing} unaccounted."
            )
        held = stands
    return ""


def carry_on(
    pen: Writing, old: BoxRow, new_id: int, on: dt.date, at: dt.datetime | None
) -> int:
    """Let what was entered of a box after a moment be of the new box; return how much.

    Its time apart goes on, and where it was closed since, the new one is closed then.
    """
    carried = 0
    for table, kind, column, day in _OF_A_BOX:
        for row in pen.all(kind, getattr(table, column) == old.id):
            if is_after(row, on, at, day):
                pen.change(table, row.id, **{column: new_id})
                carried += 1
    for table, kind in _BESIDE:
        for row in pen.all(kind, table.subject == "box", table.subject_id == old.id):
            if is_after(row, on, at):
                pen.change(table, row.id, subject_id=new_id)
                carried += 1
    _stay_apart(pen, old.id, new_id, on)
    if old.closed_on is not None:
        pen.change(t.Box, new_id, closed_on=old.closed_on, closed_why=old.closed_why)
    return carried


def carry_stays(pen: Writing, old_id: int, new_id: int, moment: dt.datetime) -> None:
    """Let the new box stand from a moment on where the old one stood."""
    stays = pen.all(StayRow, t.Stay.box_id == old_id, order=(t.Stay.from_at,))
    moment = max(moment, stays[0].from_at)
    for stay in stays:
        if stay.from_at > moment:
            pen.change(t.Stay, stay.id, box_id=new_id)
        elif stay.to_at is None or stay.to_at > moment:
            pen.change(t.Stay, stay.id, to_at=moment)
            pen.add(
                t.Stay,
                box_id=new_id,
                place_id=stay.place_id,
                from_at=moment,
                to_at=stay.to_at,
            )


def _stay_apart(pen: Writing, old_id: int, new_id: int, on: dt.date) -> None:
    """Keep the new box apart as the old one was, by the keeper's own judgement."""
    for row in pen.all(SetApartRow, t.SetApart.box_id == old_id):
        ends = [end for end in (row.until, row.ended_on) if end is not None]
        if row.since <= on and all(end > on for end in ends):
            pen.add(
                t.SetApart,
                box_id=new_id,
                since=on,
                until=row.until,
                ended_on=row.ended_on,
                why=row.why,
            )
