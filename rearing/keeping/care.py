"""What is done and seen at a box: feeding, counting, looking, losing, letting leave."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.boxes import When, box_name, refuse_more, refuse_shut
from rearing.keeping.closing import ask_of_count
from rearing.keeping.host_history import change_question
from rearing.keeping.hosts import same_by_name
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.moments import (
    refuse_future,
    refuse_negative,
    refuse_none,
)
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow, BroodRow, EggPotRow
from rearing.terms import Cause, ExitKind, Known, Quality, Stage, Visit

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Leaf:
    """What a box was given: host, grams where weighed, and the cut it came from."""

    host: str | None = None
    grams: float | None = None
    cut_id: int | None = None


@dataclass(frozen=True, slots=True)
class Lost:
    """So many lost, and why."""

    number: int
    cause: Cause
    stage: Stage | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Seen:
    """How many stand in a stage, and how many of those at moulting rest."""

    number: int
    resting: int = 0


@dataclass(frozen=True, slots=True)
class Receiver:
    """Who took animals, or where they were let go."""

    to_whom: str | None = None
    where: str | None = None
    origin_words: str = ""


def visit(
    book: Book,
    entry: Entry,
    *,
    what: Visit,
    when: When,
    box_id: int | None = None,
    pot_id: int | None = None,
    leaf: Leaf | None = None,
    note: str | None = None,
    same_host: Callable[[str, str], bool] = same_by_name,
    sure: bool = False,
) -> Touched:
    """Record a visit to a box or a pot; *all well* is a record, no visit is not.

    Another host than before is asked about after L2; `same_host` tells which two are
    of one genus.
    """
    refuse_future(when.on, entry.on, sure=sure, field="on")
    name = _name(book, box_id, pot_id, when)
    given = leaf or Leaf()
    if given.grams is not None and given.grams < 0:
        raise Refusal("Leaf can't weigh less than nothing.", field="grams")
    if box_id is not None and given.host and what.feeds and not sure:
        box = book.one(BoxRow, box_id)
        question = change_question(book, box, given.host, when.on, same_host)
        if question:
            raise AskFirst(question, field="host")
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.BoxVisit,
            box_id=box_id,
            pot_id=pot_id,
            on=when.on,
            at=when.at,
            what=what,
            host=given.host,
            cut_id=given.cut_id,
            grams=given.grams,
            note=note,
        )
        with_leaf = f", {given.host}" if given.host else ""
        with_leaf += f" {given.grams:g} g" if given.grams else ""
        pen.say(f"{name} {what}{with_leaf}")
        # A visit concerns its box too: the round shows boxes, not visits.
        pen.subjects.add(("box", box_id) if box_id else ("egg_pot", pot_id or 0))
    return pen.touched


def count_box(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    number: int,
    when: When,
    quality: Quality = Quality.EXACT,
    losses: Sequence[Lost] = (),
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record a headcount, with the losses that were found at it.

    What then still differs from the book is unaccounted, and is said.
    """
    refuse_negative(number)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = _open_box(book, box_id, when)
    ask_of_count(book, box, number, when, sure=sure)
    before = standing(box_events(book, [box_id], when.on)[box_id]).number
    with book.change(entry) as pen:
        for lost in losses:
            refuse_none(lost.number)
            _add_loss(pen, box_id, lost, when)
            before -= lost.number
        pen.new_id = pen.add(
            t.Headcount,
            box_id=box_id,
            on=when.on,
            at=when.at,
            number=number,
            quality=quality,
            note=note,
        )
        pen.subjects.add(("box", box_id))
        pen.say(f"Counted {number} in {box_name(book, box)}{_differs(before - number)}")
    return pen.touched


def look_at_stages(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    seen: Mapping[Stage, Seen],
    when: When,
    quality: Quality = Quality.EXACT,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record how many of a box stood in each stage; it need not be all of them."""
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = _open_box(book, box_id, when)
    some = {stage: look for stage, look in seen.items() if look.number > 0}
    if not some:
        raise Refusal("How many in which stage?", field="seen")
    for stage, look in some.items():
        if not 0 <= look.resting <= look.number:
            raise Refusal(
                f"Of {look.number} {stage}, {look.resting} can't be at rest.",
                field="seen",
            )
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.StageLook,
            box_id=box_id,
            on=when.on,
            at=when.at,
            quality=quality,
            note=note,
        )
        for stage, look in some.items():
            pen.add(
                t.StageCount,
                look_id=pen.new_id,
                stage=stage,
                number=look.number,
                resting=look.resting,
            )
        pen.subjects.add(("box", box_id))
        words = ", ".join(f"{stage} {look.number}" for stage, look in some.items())
        pen.say(f"Stages in {box_name(book, box)}: {words}")
    return pen.touched


def lose(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    lost: Lost,
    when: When,
    known: Known = Known.SEEN,
    sure: bool = False,
) -> Touched:
    """Record a loss with its cause."""
    refuse_none(lost.number)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = _open_box(book, box_id, when)
    refuse_more(book, box_id, lost.number, when)
    with book.change(entry) as pen:
        pen.new_id = _add_loss(pen, box_id, lost, when, known)
        pen.subjects.add(("box", box_id))
        pen.say(f"Lost {lost.number} in {box_name(book, box)}: {lost.cause}")
    return pen.touched


def let_leave(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    kind: ExitKind,
    number: int,
    when: When,
    stage: Stage | None = None,
    receiver: Receiver = Receiver(),
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record animals given away, released, sold or taken as specimens.

    A release is asked about every time: the program reminds, the law decides.
    """
    refuse_none(number)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = _open_box(book, box_id, when)
    if kind is ExitKind.RELEASED and not sure:
        raise AskFirst(
            f"Release {number}? Only healthy native stock, where its line came from, "
            "and only where local rules allow it. "
            f"{receiver.origin_words} Ask the local authority if in doubt.",
            field="kind",
        )
    refuse_more(book, box_id, number, when)
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Exit,
            box_id=box_id,
            kind=kind,
            number=number,
            stage=stage,
            to_whom=receiver.to_whom,
            where=receiver.where,
            on=when.on,
            at=when.at,
            note=note,
        )
        pen.subjects.add(("box", box_id))
        to = receiver.to_whom or receiver.where
        pen.say(f"{number} from {box_name(book, box)} {kind}{f', {to}' if to else ''}")
    return pen.touched


def _add_loss(
    pen: Writing, box_id: int, lost: Lost, when: When, known: Known = Known.SEEN
) -> int:
    return pen.add(
        t.Loss,
        box_id=box_id,
        on=when.on,
        at=when.at,
        number=lost.number,
        stage=lost.stage,
        cause=lost.cause,
        known=known,
        note=lost.note,
    )


def _differs(missing: int) -> str:
    if missing > 0:
        return f"; {missing} unaccounted"
    if missing < 0:
        return f"; {-missing} more than the book, a correction"
    return ""


def _open_box(book: Book, box_id: int, when: When) -> BoxRow:
    box = book.one(BoxRow, box_id)
    refuse_shut(box, when.on)
    return box


def _name(book: Book, box_id: int | None, pot_id: int | None, when: When) -> str:
    if box_id is not None:
        return box_name(book, _open_box(book, box_id, when))
    if pot_id is not None:
        pot = book.one(EggPotRow, pot_id)
        return f"{book.one(BroodRow, pot.brood_id).code} pot {pot.label}"
    raise Refusal("Which box or pot was visited?", field="box")
