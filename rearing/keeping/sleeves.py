"""Sleeves put on another branch: counted on the way, on fresh leaf afterwards."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rearing.keeping.boxes import When, box_name, refuse_shut
from rearing.keeping.closed_trees import is_closed
from rearing.keeping.closing import ask_of_count
from rearing.keeping.host_history import change_question
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.moments import (
    day_words,
    refuse_future,
    refuse_negative,
    refuse_none,
)
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.rows import BoxRow, SleeveMoveRow, TreeRow
from rearing.terms import BoxKind, Known, Quality, Visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from rearing.keeping.care import Lost
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Hung:
    """The days in which a box hung on one tree, both ends among them."""

    tree_id: int
    first: dt.date
    last: dt.date


def move_sleeve(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    tree_id: int,
    when: When,
    number: int | None = None,
    losses: Sequence[Lost] = (),
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Put a sleeve on another branch, of its tree or of another one.

    Those counted on the way are a headcount, with the losses found at it; the fresh
    branch is fresh leaf. A closed tree, and another host after L2, are asked about.
    """
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box, tree = book.one(BoxRow, box_id), book.one(TreeRow, tree_id)
    refuse_shut(box, when.on)
    if box.kind is not BoxKind.SLEEVE:
        raise Refusal(
            f"{box_name(book, box)} is no sleeve: it is carried, not put on a tree.",
            field="tree",
        )
    if number is not None:
        refuse_negative(number)
    if losses and number is None:
        raise Refusal("How many live? Losses are entered with a count.", field="number")
    question = _question(book, box, tree, when.on)
    if question and not sure:
        raise AskFirst(question, field="tree")
    if number is not None:
        ask_of_count(book, box, number, when, sure=sure)
    held = standing(box_events(book, [box_id], when.on)[box_id]).number
    held -= sum(lost.number for lost in losses)
    with book.change(entry) as pen:
        add_count(pen, box_id, when, number, losses)
        pen.new_id = pen.add(
            t.SleeveMove, **_told(box_id, when), tree_id=tree_id, note=note
        )
        pen.add(t.BoxVisit, **_told(box_id, when), what=Visit.FED, host=tree.host)
        pen.subjects.update({("box", box_id), ("tree", tree_id)})
        counted = "" if number is None else f"; {number} counted"
        pen.say(
            f"Put the sleeve {box_name(book, box)} on {tree.name}, "
            f"{day_words(when.on)}{counted}{_differs(held, number)}"
        )
    return pen.touched


def add_count(
    pen: Writing,
    box_id: int,
    when: When,
    number: int | None,
    losses: Sequence[Lost],
) -> None:
    """Write what was counted on the way, and the losses found at it."""
    for lost in losses:
        refuse_none(lost.number)
        _lose(pen, box_id, lost, when)
    if number is not None:
        pen.add(
            t.Headcount,
            **_told(box_id, when),
            number=number,
            quality=Quality.EXACT,
            note="on moving the sleeve",
        )


def trees_of_sleeves(
    book: Book, boxes: Iterable[BoxRow], on: dt.date
) -> Mapping[int, int]:
    """Return the tree on which each box hung last by a day, by the box's id."""
    found = {box.id: box.tree_id for box in boxes}
    for move in book.all(
        SleeveMoveRow,
        among(t.SleeveMove.box_id, list(found)),
        t.SleeveMove.on <= on,
        order=(t.SleeveMove.on, t.SleeveMove.id),
    ):
        found[move.box_id] = move.tree_id
    return {box_id: tree for box_id, tree in found.items() if tree is not None}


def trees_hung_on(
    book: Book, boxes: Iterable[BoxRow], since: dt.date, on: dt.date
) -> Mapping[int, tuple[Hung, ...]]:
    """Return on which tree each box hung in some days, and when, by the box's id.

    On the day of a move it hung on both trees.
    """
    rows = tuple(boxes)
    moves: dict[int, list[SleeveMoveRow]] = defaultdict(list)
    for move in book.all(
        SleeveMoveRow,
        among(t.SleeveMove.box_id, [box.id for box in rows]),
        t.SleeveMove.on <= on,
        order=(t.SleeveMove.on, t.SleeveMove.id),
    ):
        moves[move.box_id].append(move)
    found = {box.id: _hung(box, moves.get(box.id, ()), since, on) for box in rows}
    return {box_id: hung for box_id, hung in found.items() if hung}


def _hung(
    box: BoxRow, moves: Iterable[SleeveMoveRow], since: dt.date, on: dt.date
) -> tuple[Hung, ...]:
    begins = [(box.tree_id, box.opened_on), *((m.tree_id, m.on) for m in moves)]
    ends = [*(day for _, day in begins[1:]), min(box.closed_on or on, on)]
    return tuple(
        Hung(tree_id, max(first, since), last)
        for (tree_id, first), last in zip(begins, ends, strict=True)
        if tree_id is not None and max(first, since) <= last
    )


def _told(box_id: int, when: When) -> dict[str, Any]:
    return {"box_id": box_id, "on": when.on, "at": when.at}


def _lose(pen: Writing, box_id: int, lost: Lost, when: When) -> None:
    pen.add(
        t.Loss,
        **_told(box_id, when),
        number=lost.number,
        stage=lost.stage,
        cause=lost.cause,
        known=Known.SEEN,
        note=lost.note,
    )


def _question(book: Book, box: BoxRow, tree: TreeRow, on: dt.date) -> str:
    if is_closed(tree, on):
        return (
            f"{tree.name} is closed until {day_words(tree.closed_until or on)} "
            f"({tree.closed_why}). Put the sleeve on it all the same?"
        )
    return change_question(book, box, tree.host, on)


def _differs(held: int, number: int | None) -> str:
    if number is None or held == number:
        return ""
    if number > held:
        return f", {number - held} more than by the book"
    missing = held - number
    return f", {missing} {'is' if missing == 1 else 'are'} unaccounted for"
