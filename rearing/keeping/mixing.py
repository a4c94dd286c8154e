"""Mixed lines: two broods in one box, of which nobody can tell one from the other.

The box that received them is closed, and all of it goes on in a box of a line of its
own: a brood without a mother, whose animals are *one of* those it was mixed from.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.carried_on import (
    carry_on,
    carry_stays,
    later_count_words,
    refuse_parted,
)
from rearing.keeping.codes import box_label, next_code
from rearing.keeping.facts import home
from rearing.keeping.fates import alive_in
from rearing.keeping.holding import holding
from rearing.keeping.ledger import box_events, standing
from rearing.keeping.moments import on_day
from rearing.keeping.sleeves import trees_of_sleeves
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import BoxRow, BroodRow, MixedFromRow

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.holding import BoxNow
    from rearing.keeping.ledger import Standing
    from rearing.records.book import Book, Writing

LETTER = "M"
"""Mixed lines are M21-01, as broods are B21-01 and wild moths W21-01."""

_MORNING = dt.time(8)


@dataclass(frozen=True, slots=True)
class Mixing:
    """A mixing that was agreed to: the box it happens in, and what it is made from."""

    box: BoxRow
    taxon: str
    sources: tuple[int, ...]
    on: dt.date
    at: dt.datetime | None


def sources_of(book: Book) -> Mapping[int, tuple[BroodRow, ...]]:
    """Return the broods that each mixed line was made of, by the line's id."""
    broods = {brood.id: brood for brood in book.all(BroodRow)}
    found: dict[int, tuple[BroodRow, ...]] = {}
    for row in book.all(MixedFromRow, order=(t.MixedFrom.id,)):
        found[row.brood_id] = (*found.get(row.brood_id, ()), broods[row.source_id])
    return found


def one_of_words(sources: tuple[BroodRow, ...]) -> str:
    """Return what is known of where an animal of a mixed line comes from."""
    return f"one of {', '.join(brood.code for brood in sources)}"


def mother_words(
    own: BroodRow, other: BroodRow, mixed: Mapping[int, tuple[BroodRow, ...]]
) -> str:
    """Return how two broods may share a mother; empty where they can't.

    An animal of a mixed line has one of the mothers of those it was mixed from.
    """
    if own.id == other.id:
        line = mixed.get(own.id)
        return f"both of {own.code}{f', {one_of_words(line)}' if line else ''}"
    pairs = [
        (mine, theirs)
        for mine in mixed.get(own.id, (own,))
        for theirs in mixed.get(other.id, (other,))
    ]
    alike = [(mine, theirs) for mine, theirs in pairs if _of_one(mine, theirs)]
    if not alike:
        return ""
    if len(alike) == len(pairs):
        return f"{other.code} has the same mother"
    lines = [one for one in (other, own) if one.id in mixed]
    said = " and ".join(f"{one.code} is {one_of_words(mixed[one.id])}" for one in lines)
    return f"may have the same mother: {said}"


def may_be_of_one(
    one: BroodRow, other: BroodRow, mixed: Mapping[int, tuple[BroodRow, ...]]
) -> bool:
    """Tell whether animals of two broods or mixed lines may be of one brood."""
    theirs = {brood.id for brood in mixed.get(other.id, (other,))}
    return any(brood.id in theirs for brood in mixed.get(one.id, (one,)))


def _of_one(mine: BroodRow, theirs: BroodRow) -> bool:
    known = mine.mother_id is not None and mine.mother_id == theirs.mother_id
    return mine.id == theirs.id or known


def mixing_of(
    book: Book,
    brood_id: int,
    box: BoxRow,
    *,
    number: int,
    on: dt.date,
    at: dt.datetime | None,
    sure: bool,
    also: str = "",
) -> Mixing | None:
    """Return the mixing that putting a brood's animals into a box makes, after asking.

    None where it makes none: its own brood, or a line the brood is part of already.
    `also` is what else is to be asked of it, in either case.
    Two species are refused, since they are told apart by looking.
    """
    mixed = sources_of(book)
    theirs = _parts(brood_id, mixed)
    own = _parts(box.brood_id, mixed)
    belongs = box.brood_id in mixed and set(theirs) <= set(own)
    if box.brood_id == brood_id or belongs:
        if also and not sure:
            raise AskFirst(also, field="to_box")
        return None
    codes = {brood.id: brood.code for brood in book.all(BroodRow)}
    name = f"{codes[box.brood_id]} {box.label}"
    taxa = {_called(book, part, on) for part in (brood_id, box.brood_id)}
    if len(taxa) > 1:
        raise Refusal(
            f"{' and '.join(sorted(taxa))} are told apart by looking. Give each a box "
            "of its own in the book, even where they share a cage.",
            field="to_box",
        )
    sources = tuple(sorted({*own, *theirs}))
    _refuse_empty(book, box, name, on, at)
    refuse_parted(
        *(book, box, name, (on, at)),
        lambda other: set(sources) <= set(_parts(other, mixed)),
    )
    if not sure:
        raise AskFirst(
            f"This mixes {codes[brood_id]} into a box of {codes[box.brood_id]}. From "
            "then on nobody can tell which is which: the box goes on as a mixed line."
            f"{later_count_words(book, box.id, number, on, at)} Mix them?"
            f"{also and f' {also}'}",
            field="to_box",
        )
    return Mixing(box, taxa.pop(), sources, on, at)


def mix(book: Book, pen: Writing, mixing: Mixing) -> int:
    """Close the box, and let what it held go on in the mixed line; return that box.

    What was entered of the box after that moment goes along.
    """
    old, on, at = mixing.box, mixing.on, mixing.at
    brood_id = _line(book, pen, mixing)
    moment = at or on_day(on, _MORNING, home(book).zone)
    new_id = pen.add(
        t.Box,
        brood_id=brood_id,
        label=box_label(pen, brood_id, None),
        kind=old.kind,
        host=old.host,
        tree_id=trees_of_sleeves(book, [old], on).get(old.id),
        opened_on=on,
        tools=old.tools,
    )
    box = _box_then(book, old, on, at)
    carry_on(pen, old, new_id, on, at)
    for stage, number in alive_in(box, on).items():
        if number:
            pen.add(
                t.Move,
                from_box_id=old.id,
                to_box_id=new_id,
                on=on,
                at=at,
                number=number,
                stage=stage,
            )
    carry_stays(pen, old.id, new_id, moment)
    pen.change(t.Box, old.id, closed_on=on, closed_why=f"into {_code(pen, brood_id)}")
    return new_id


def _box_then(book: Book, old: BoxRow, on: dt.date, at: dt.datetime | None) -> BoxNow:
    """Return the box as it stood at the moment of the mixing."""
    held = holding(book, on, brood_id=old.brood_id, all_ever=True)
    box = next(one for one in held.boxes if one.row.id == old.id)
    return replace(box, standing=_standing_then(book, old.id, on, at))


def _standing_then(
    book: Book, box_id: int, on: dt.date, at: dt.datetime | None
) -> Standing:
    events = box_events(book, [box_id], on)[box_id]
    return standing(event for event in events if not event.is_after(on, at))


def _called(book: Book, brood_id: int, on: dt.date) -> str:
    held = holding(book, on, brood_id=brood_id)
    return held.taxon(held.broods[brood_id])


def _parts(brood_id: int, mixed: Mapping[int, tuple[BroodRow, ...]]) -> tuple[int, ...]:
    if brood_id not in mixed:
        return (brood_id,)
    return tuple(brood.id for brood in mixed[brood_id])


def _refuse_empty(
    book: Book, box: BoxRow, name: str, on: dt.date, at: dt.datetime | None
) -> None:
    if _standing_then(book, box.id, on, at).number < 1:
        raise Refusal(
            f"By the book {name} is empty, so nothing would be mixed: open a box of "
            "their own brood for them, or count this one first.",
            field="to_box",
        )


def _line(book: Book, pen: Writing, mixing: Mixing) -> int:
    """Return the line of just these broods, made where there is none."""
    for brood_id, sources in sources_of(book).items():
        if {brood.id for brood in sources} == set(mixing.sources):
            _begin_by(pen, brood_id, mixing.on)
            return brood_id
    taken = [brood.code for brood in pen.all(BroodRow)]
    brood_id = pen.add(
        t.Brood,
        code=next_code(LETTER, mixing.on.year, taken),
        taxon=mixing.taxon,
        opened_on=mixing.on,
    )
    for source_id in mixing.sources:
        pen.add(t.MixedFrom, brood_id=brood_id, source_id=source_id, on=mixing.on)
    return brood_id


def _begin_by(pen: Writing, brood_id: int, on: dt.date) -> None:
    """Let a line begin with its earliest mixing, though that was entered later."""
    for brood in pen.all(BroodRow, t.Brood.id == brood_id, t.Brood.opened_on > on):
        pen.change(t.Brood, brood.id, opened_on=on)
    for row in pen.all(
        MixedFromRow, t.MixedFrom.brood_id == brood_id, t.MixedFrom.on > on
    ):
        pen.change(t.MixedFrom, row.id, on=on)


def _code(pen: Writing, brood_id: int) -> str:
    return next(b.code for b in pen.all(BroodRow, t.Brood.id == brood_id))
