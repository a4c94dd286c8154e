"""Animals put into a box in one entry: from the pot on leaf, or into a new box."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.boxes import (
    MORNING,
    Origin,
    When,
    box_name,
    hatched_in,
    name_in,
    refuse_more,
    refuse_shut,
)
from rearing.keeping.closing import put_in, refuse_into_closed
from rearing.keeping.codes import box_label
from rearing.keeping.eggs import later_words, waiting_from
from rearing.keeping.facts import home
from rearing.keeping.host_history import move_question
from rearing.keeping.mixing import mix, mixing_of
from rearing.keeping.moments import (
    counted,
    day_words,
    on_day,
    refuse_future,
    refuse_none,
)
from rearing.keeping.stage_known import stage_known
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    BoxRow,
    BroodRow,
    EggOutcomeRow,
    EggPotRow,
    LayingRow,
    PlaceRow,
    TreeRow,
)
from rearing.terms import BoxKind, EggFate, Known, Stage, Visit

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.mixing import Mixing
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class NewBox:
    """A box that is opened for them; without a label it takes the next letter."""

    kind: BoxKind
    place_id: int
    label: str | None = None
    host: str | None = None
    tree_id: int | None = None


@dataclass(frozen=True, slots=True)
class Into:
    """Where they go: a box that stands, or a new one; and the leaf given with it."""

    box_id: int | None = None
    new: NewBox | None = None
    leaf: str | None = None


@dataclass(frozen=True, slots=True)
class Hatch:
    """When those were seen to hatch that the book does not have as hatched yet."""

    on: dt.date
    known: Known = Known.SEEN


@dataclass(frozen=True, slots=True)
class Lot:
    """The animals that go in."""

    origin: Origin
    brood_id: int
    number: int
    when: When
    stage: Stage | None
    note: str | None


@dataclass(frozen=True, slots=True)
class _Pot:
    row: EggPotRow
    brood: BroodRow
    waiting: int
    unhoused: int
    later: str


def put_on_leaf(
    book: Book,
    entry: Entry,
    *,
    pot_id: int,
    number: int,
    into: Into,
    when: When,
    hatch: Hatch | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Put larvae from their pot on leaf: hatch, box, move and leaf in one entry.

    Those not entered as hatched yet are entered so on the way. More than wait in the
    pot is asked about: with a yes its last laying is corrected upwards.
    """
    refuse_none(number)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    hatch = hatch or Hatch(when.on)
    if hatch.on > when.on:
        raise Refusal("They hatch before they are put on leaf.", field="hatched_on")
    pot = _pot(book, pot_id, hatch, when)
    hatched = max(number - pot.unhoused, 0)
    more = max(hatched - pot.waiting, 0)
    if more and not sure:
        raise AskFirst(
            f"By the book {pot.brood.code} pot {pot.row.label} holds "
            f"{counted(pot.waiting, 'egg')} waiting and {pot.unhoused} hatched"
            f"{pot.later}. Enter {number} and correct the eggs laid upwards?",
            field="number",
        )
    mixing = _mixing(book, pot.brood.id, into, number, when, sure=sure)
    with book.change(entry) as pen:
        if more:
            _correct_upwards(pen, pot_id, more, hatch.on)
        if hatched:
            _add_hatch(pen, pot_id, hatched, hatch)
        if mixing is not None:
            into = Into(box_id=mix(book, pen, mixing), leaf=into.leaf)
        lot = Lot(Origin(pot_id=pot_id), pot.brood.id, number, when, Stage.L1, note)
        name = fill(book, pen, lot, into)
        fresh = f"; {hatched} entered as hatched" if hatched else ""
        pen.say(
            f"{number} from pot {pot.row.label} on leaf in {name}, "
            f"{day_words(when.on)}{fresh}{'; the two are mixed' if mixing else ''}"
        )
    return pen.touched


def move_into_new(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    number: int,
    into: NewBox,
    when: When,
    stage: Stage | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Move animals of a box into a new one of the same brood, in one entry."""
    refuse_none(number)
    refuse_future(when.on, entry.on, sure=sure, field="on")
    box = book.one(BoxRow, box_id)
    refuse_more(book, box_id, number, when)
    stage = stage or stage_known(book, box_id, when.on)
    question = _host_question(book, box, into, when, stage)
    if question and not sure:
        field = "host" if into.tree_id is None else "tree"
        raise AskFirst(question, field=field)
    with book.change(entry) as pen:
        lot = Lot(Origin(box_id=box_id), box.brood_id, number, when, stage, note)
        name = fill(book, pen, lot, Into(new=into))
        kind = f" {stage}" if stage else ""
        pen.say(
            f"{number}{kind} from {box_name(book, box)} into {name}, new, "
            f"{day_words(when.on)}"
        )
    return pen.touched


def _host_question(
    book: Book, box: BoxRow, into: NewBox, when: When, stage: Stage | None
) -> str:
    """Return what is asked of the leaf of a new box: of its tree, where it hangs."""
    if into.kind.is_for_pupae:
        return ""
    host = into.host
    if into.tree_id is not None:
        host = book.one(TreeRow, into.tree_id).host
    return move_question(book, box, host, when.on, stage=stage)


def _pot(book: Book, pot_id: int, hatch: Hatch, when: When) -> _Pot:
    row = book.one(EggPotRow, pot_id)
    layings = book.all(LayingRow, t.Laying.pot_id == pot_id)
    fates = book.all(EggOutcomeRow, t.EggOutcome.pot_id == pot_id)
    if not any(laying.evening <= hatch.on for laying in layings):
        raise Refusal(f"No eggs were laid in it by {day_words(hatch.on)}.", field="on")
    return _Pot(
        row,
        book.one(BroodRow, row.brood_id),
        waiting=max(waiting_from(layings, fates, hatch.on), 0),
        unhoused=max(hatched_in(book, pot_id, when.on), 0),
        later=later_words(layings, fates, hatch.on),
    )


def _mixing(
    book: Book, brood_id: int, into: Into, number: int, when: When, *, sure: bool
) -> Mixing | None:
    if into.box_id is None:
        if into.new is None:
            raise Refusal("Which box do they go into?", field="to_box")
        return None
    box = book.one(BoxRow, into.box_id)
    refuse_shut(box, when.on)
    lot = put_in(when.on, when.at, number)
    refuse_into_closed(book, box, box_name(book, box), lot, field="to_box")
    return mixing_of(
        book, brood_id, box, number=number, on=when.on, at=when.at, sure=sure
    )


def _correct_upwards(pen: Writing, pot_id: int, more: int, on: dt.date) -> None:
    layings = pen.all(LayingRow, t.Laying.pot_id == pot_id, t.Laying.evening <= on)
    pen.change(t.Laying, layings[-1].id, number=layings[-1].number + more)


def _add_hatch(pen: Writing, pot_id: int, number: int, hatch: Hatch) -> None:
    pen.add(
        t.EggOutcome,
        pot_id=pot_id,
        fate=EggFate.HATCHED,
        number=number,
        on=hatch.on,
        known=hatch.known,
    )


def fill(book: Book, pen: Writing, lot: Lot, into: Into) -> str:
    """Open the box if it is new, move them in, give them leaf; return its name."""
    box_id, place = into.box_id, ""
    if box_id is None and into.new is not None:
        box_id = _open(book, pen, lot, into.new)
        place = f" at {book.one(PlaceRow, into.new.place_id).name}"
    box = pen.all(BoxRow, t.Box.id == box_id)[0]
    pen.new_id = box.id
    pen.add(
        t.Move,
        from_box_id=lot.origin.box_id,
        from_pot_id=lot.origin.pot_id,
        to_box_id=box.id,
        on=lot.when.on,
        at=lot.when.at,
        number=lot.number,
        stage=lot.stage,
        note=lot.note,
    )
    if into.leaf and not box.kind.is_for_pupae:
        pen.add(
            t.BoxVisit,
            box_id=box.id,
            on=lot.when.on,
            at=lot.when.at,
            what=Visit.FED,
            host=into.leaf,
        )
    return f"{name_in(pen, box)}{place}"


def _open(book: Book, pen: Writing, lot: Lot, new: NewBox) -> int:
    book.one(PlaceRow, new.place_id)
    box_id = pen.add(
        t.Box,
        brood_id=lot.brood_id,
        label=box_label(pen, lot.brood_id, new.label),
        kind=new.kind,
        host=new.host,
        tree_id=new.tree_id,
        opened_on=lot.when.on,
    )
    pen.add(
        t.Stay,
        box_id=box_id,
        place_id=new.place_id,
        from_at=lot.when.at or on_day(lot.when.on, MORNING, home(book).zone),
    )
    return box_id
