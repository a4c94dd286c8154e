"""Boxes, bottles, cages, sleeves and tubs: opened, filled, carried, closed."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.closing import put_in, refuse_into_closed
from rearing.keeping.codes import box_label
from rearing.keeping.facts import home
from rearing.keeping.host_history import move_question
from rearing.keeping.ledger import (
    Event,
    Kind,
    box_events,
    course_of,
    standing,
)
from rearing.keeping.moments import (
    day_words,
    on_day,
    refuse_future,
    refuse_none,
)
from rearing.keeping.stage_known import stage_known
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    BoxRow,
    BroodRow,
    EggOutcomeRow,
    EggPotRow,
    MoveRow,
    PlaceRow,
    StayRow,
)
from rearing.terms import BoxKind, EggFate, Quality, Stage

if TYPE_CHECKING:
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched

MORNING = dt.time(8)
"""When something of a day without a time is taken to have happened to a stay."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where animals come from: a pot they hatched in, or another box."""

    pot_id: int | None = None
    box_id: int | None = None


@dataclass(frozen=True, slots=True)
class When:
    """A day, and a moment where one was noted."""

    on: dt.date
    at: dt.datetime | None = None


def open_box(
    book: Book,
    entry: Entry,
    *,
    brood_id: int,
    kind: BoxKind,
    place_id: int,
    when: When,
    label: str | None = None,
    host: str | None = None,
    tree_id: int | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Open an empty box for a brood; the next letter unless a label is given."""
    refuse_future(when.on, entry.on, sure=sure, field="on")
    brood = book.one(BroodRow, brood_id)
    place = book.one(PlaceRow, place_id)
    if when.on < brood.opened_on:
        raise Refusal(
            f"The first eggs of {brood.code} are from {day_words(brood.opened_on)}; "
            "that is later.",
            field="on",
        )
    with book.change(entry) as pen:
        name = box_label(pen, brood_id, label)
        pen.new_id = pen.add(
            t.Box,
            brood_id=brood_id,
            label=name,
            kind=kind,
            host=host,
            tree_id=tree_id,
            opened_on=when.on,
            note=note,
        )
        pen.add(
            t.Stay,
            box_id=pen.new_id,
            place_id=place_id,
            from_at=_moment(book, when),
        )
        pen.say(f"Opened {kind} {brood.code} {name} at {place.name}")
    return pen.touched


def move_animals(
    book: Book,
    entry: Entry,
    *,
    origin: Origin,
    to_box_id: int,
    number: int,
    when: When,
    stage: Stage | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Move animals into a box, out of a pot or another box.

    Two broods in one box is asked about: with a yes the box goes on as a mixed line,
    whose lineage is *one of* them. Without a stage it is that of the box they leave.
    """
    from rearing.keeping.mixing import mix, mixing_of

    refuse_none(number)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    to_box = book.one(BoxRow, to_box_id)
    brood_id, source = _source(book, origin)
    if origin.box_id == to_box_id:
        raise Refusal("They are in that box already.", field="to_box")
    refuse_shut(to_box, when.on)
    _refuse_more(book, origin, number, when)
    lot, name = put_in(when.on, when.at, number), box_name(book, to_box)
    refuse_into_closed(book, to_box, name, lot, field="to_box")
    also = ""
    if origin.box_id is not None:
        stage = stage or stage_known(book, origin.box_id, when.on)
        box = book.one(BoxRow, origin.box_id)
        also = move_question(book, box, to_box, when.on, stage=stage)
    mixing = mixing_of(
        *(book, brood_id, to_box),
        number=number,
        on=when.on,
        at=when.at,
        sure=sure,
        also=also,
    )
    with book.change(entry) as pen:
        if mixing is not None:
            to_box_id = mix(book, pen, mixing)
            to_box = pen.all(BoxRow, t.Box.id == to_box_id)[0]
        pen.new_id = pen.add(
            t.Move,
            from_box_id=origin.box_id,
            from_pot_id=origin.pot_id,
            to_box_id=to_box_id,
            on=when.on,
            at=when.at,
            number=number,
            stage=stage,
            note=note,
        )
        kind = f" {stage}" if stage else ""
        pen.say(
            f"{number}{kind} from {source} into {name_in(pen, to_box)}, "
            f"{day_words(when.on)}{'; the two are mixed' if mixing else ''}"
        )
    return pen.touched


def shift(
    book: Book,
    entry: Entry,
    *,
    place_id: int,
    at: dt.datetime,
    box_id: int | None = None,
    pot_id: int | None = None,
    sure: bool = False,
) -> Touched:
    """Carry a box or a pot to another place, now or as of an earlier moment."""
    refuse_future(at.date(), entry.on, sure=sure, field="at")
    place = book.one(PlaceRow, place_id)
    own = t.Stay.box_id == box_id if box_id is not None else t.Stay.pot_id == pot_id
    name = _thing_name(book, box_id, pot_id)
    stays = book.all(StayRow, own, order=(t.Stay.from_at,))
    holding = [
        stay
        for stay in stays
        if stay.from_at <= at and (stay.to_at is None or at < stay.to_at)
    ]
    if not holding:
        raise Refusal(
            f"{name} was not standing anywhere on {day_words(at.date())}.", field="at"
        )
    old = holding[0]
    if old.place_id == place_id:
        raise Refusal(f"{name} stands at {place.name} already.", field="place")
    with book.change(entry) as pen:
        _cut_stay(pen, old, at, place_id, box_id=box_id, pot_id=pot_id)
        pen.say(f"Carried {name} to {place.name}, {day_words(at.date())}")
    return pen.touched


def close_box(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    when: When,
    why: str | None = None,
    sure: bool = False,
) -> Touched:
    """Close a box; animals the book still has in it become unaccounted."""
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = book.one(BoxRow, box_id)
    if box.closed_on is not None:
        raise Refusal(f"It was closed on {day_words(box.closed_on)}.", field="on")
    refuse_shut(box, when.on)
    events = box_events(book, [box_id], dt.date.max)[box_id]
    last = max((event.on for event in events), default=when.on)
    if when.on < last:
        raise Refusal(
            f"There are entries of it up to {day_words(last)}; close it then or later.",
            field="on",
        )
    left = standing(events).number
    with book.change(entry) as pen:
        if left:
            pen.add(
                t.Headcount,
                box_id=box_id,
                on=when.on,
                at=when.at,
                number=0,
                quality=Quality.EXACT,
                note="closed",
            )
        pen.change(t.Box, box_id, closed_on=when.on, closed_why=why)
        _end_stay(pen, box_id, _moment(book, when))
        rest = f"; {left} unaccounted" if left else ""
        pen.say(f"Closed {box_name(book, box)}, {day_words(when.on)}{rest}")
    return pen.touched


def refuse_shut(box: BoxRow, on: dt.date) -> None:
    """Refuse what is said of a box before it was opened or after it was closed."""
    if on < box.opened_on:
        raise Refusal(
            f"That box was opened on {day_words(box.opened_on)}; that is later.",
            field="on",
        )
    if box.closed_on is not None and on > box.closed_on:
        raise Refusal(f"That box was closed on {day_words(box.closed_on)}.", field="on")


def refuse_more(book: Book, box_id: int, number: int, when: When) -> None:
    """Refuse to take more out of a box than it holds, then or by a later entry."""
    box = book.one(BoxRow, box_id)
    refuse_shut(box, when.on)
    events = box_events(book, [box_id], dt.date.max)[box_id]
    # after all else of its day that has no clock, but before a count that closes it
    taken = Event(when.on, when.at, Kind.LEFT, number, sys.maxsize)
    course = course_of([*events, taken])
    at = next(i for i, (event, _) in enumerate(course) if event is taken)
    left, day = course[at][1], day_words(when.on)
    if left < 0:
        raise Refusal(
            f"By the book there are {max(left + number, 0)} in {box_name(book, box)} "
            f"on {day}, not {number}. Enter a count of it first: that sets the number.",
            field="number",
        )
    before = {id(event): held for event, held in course_of(events)}
    if any(held < min(before[id(event)], 0) for event, held in course[at + 1 :]):
        raise Refusal(
            f"With {number} fewer on {day}, {box_name(book, box)} would hold less than "
            "none by what is entered of later days. Correct those first, or enter a "
            "count.",
            field="number",
        )


def _refuse_more(book: Book, origin: Origin, number: int, when: When) -> None:
    if origin.box_id is not None:
        refuse_more(book, origin.box_id, number, when)
        return
    free = hatched_in(book, origin.pot_id or 0, when.on)
    if number > free:
        raise Refusal(
            f"By the book {max(free, 0)} hatched larvae are in that pot on "
            f"{day_words(when.on)}. Enter the hatch first.",
            field="number",
        )


def hatched_in(book: Book, pot_id: int, on: dt.date) -> int:
    """Return how many hatched by a day that were never moved out of their pot."""
    fates = book.all(
        EggOutcomeRow,
        t.EggOutcome.pot_id == pot_id,
        t.EggOutcome.fate == EggFate.HATCHED,
        t.EggOutcome.on <= on,
    )
    moves = book.all(MoveRow, t.Move.from_pot_id == pot_id)
    return sum(x.number for x in fates) - sum(x.number for x in moves)


def box_name(book: Book, box: BoxRow) -> str:
    """Return a box's code as it stands on its label."""
    brood = book.one(BroodRow, box.brood_id)
    return f"{brood.code} {box.label}"


def name_in(pen: Writing, box: BoxRow) -> str:
    """Return the code of a box that this very change may have opened."""
    brood = pen.all(BroodRow, t.Brood.id == box.brood_id)[0]
    return f"{brood.code} {box.label}"


def _source(book: Book, origin: Origin) -> tuple[int, str]:
    if origin.box_id is not None:
        box = book.one(BoxRow, origin.box_id)
        return box.brood_id, box_name(book, box)
    if origin.pot_id is not None:
        pot = book.one(EggPotRow, origin.pot_id)
        return pot.brood_id, f"pot {pot.label}"
    raise Refusal("Where do they come from?", field="origin")


def _thing_name(book: Book, box_id: int | None, pot_id: int | None) -> str:
    if box_id is not None:
        return box_name(book, book.one(BoxRow, box_id))
    if pot_id is not None:
        pot = book.one(EggPotRow, pot_id)
        return f"{book.one(BroodRow, pot.brood_id).code} pot {pot.label}"
    raise Refusal("Which box or pot is carried?", field="box")


def _cut_stay(
    pen: Writing,
    old: StayRow,
    at: dt.datetime,
    place_id: int,
    *,
    box_id: int | None,
    pot_id: int | None,
) -> None:
    if old.from_at == at:
        pen.change(t.Stay, old.id, place_id=place_id)
        return
    pen.change(t.Stay, old.id, to_at=at)
    pen.add(
        t.Stay,
        box_id=box_id,
        pot_id=pot_id,
        place_id=place_id,
        from_at=at,
        to_at=old.to_at,
    )


def _end_stay(pen: Writing, box_id: int, at: dt.datetime) -> None:
    for stay in pen.all(StayRow, t.Stay.box_id == box_id, t.Stay.to_at.is_(None)):
        pen.change(t.Stay, stay.id, to_at=max(at, stay.from_at))


def _moment(book: Book, when: When) -> dt.datetime:
    return when.at or on_day(when.on, MORNING, home(book).zone)
