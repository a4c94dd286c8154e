"""Eggs: counted by the night they were laid, kept in pots, and what became of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.codes import brood_code, pot_label
from rearing.keeping.facts import home
from rearing.keeping.moments import (
    counted,
    day_words,
    on_day,
    refuse_future,
    refuse_negative,
    refuse_none,
    span_words,
)
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    BroodRow,
    EggOutcomeRow,
    EggPotRow,
    LayingRow,
    MothRow,
    PairingRow,
    PlaceRow,
)
from rearing.terms import EggFate, Known, Quality

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched

LAYING_HOUR = dt.time(22)
"""When eggs of a night are taken as laid (common practice: after dusk)."""


@dataclass(frozen=True, slots=True)
class Pot:
    """Which pot the eggs go in: one that stands, or a new one at a place."""

    pot_id: int | None = None
    place_id: int | None = None


@dataclass(frozen=True, slots=True)
class Parents:
    """Whose eggs they are: a mother, or a recorded pairing of hers."""

    mother_id: int
    pairing_id: int | None = None


def record_eggs(
    book: Book,
    entry: Entry,
    *,
    parents: Parents,
    evening: dt.date,
    number: int,
    pot: Pot,
    quality: Quality = Quality.EXACT,
    code: str | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record the eggs of one female in one night.

    The first eggs of a female open her brood (`code` names it, or the next code is
    taken); `new_id` of the answer is the laying. Nought eggs in a night is a record.
    """
    refuse_future(evening, entry.on, sure=sure, field="evening")
    refuse_negative(number)
    mother = book.one(MothRow, parents.mother_id)
    if evening < mother.since:
        raise Refusal(
            f"{mother.code} came in the night of {day_words(mother.since)}; she can't "
            f"have laid on {day_words(evening)}.",
            field="evening",
        )
    _ask_if_gone(mother, evening, sure=sure)
    _refuse_second(book, mother, evening)
    with book.change(entry) as pen:
        brood = _brood_for(pen, parents, mother, evening, code)
        pot_id = _pot_for(pen, brood, pot, evening, home(book).zone)
        laying = pen.add(
            t.Laying,
            brood_id=brood.id,
            mother_id=mother.id,
            pot_id=pot_id,
            evening=evening,
            number=number,
            quality=quality,
            note=note,
        )
        pen.new_id = laying
        pen.say(
            f"{counted(number, 'egg')} from {mother.code}, night of "
            f"{day_words(evening)}, brood {brood.code}"
        )
    return pen.touched


def correct_eggs(
    book: Book,
    entry: Entry,
    *,
    laying_id: int,
    number: int,
    quality: Quality = Quality.EXACT,
) -> Touched:
    """Correct the count of a night's eggs; a correction is not a birth."""
    refuse_negative(number)
    laying = book.one(LayingRow, laying_id)
    layings = [
        replace(row, number=number) if row.id == laying_id else row
        for row in book.all(LayingRow, t.Laying.pot_id == laying.pot_id)
    ]
    gone = book.all(EggOutcomeRow, t.EggOutcome.pot_id == laying.pot_id)
    over = -waiting_from(layings, gone, laying.evening)
    if over > 0:
        raise Refusal(
            f"Then {counted(over, 'egg')} more would have hatched or died than were "
            "laid. Look at what became of them first.",
            field="number",
        )
    with book.change(entry) as pen:
        pen.change(t.Laying, laying_id, number=number, quality=quality)
        pen.say(
            f"Eggs of the night of {day_words(laying.evening)} corrected from "
            f"{laying.number} to {number}"
        )
    return pen.touched


def record_fate(
    book: Book,
    entry: Entry,
    *,
    pot_id: int,
    fate: EggFate,
    number: int,
    on: dt.date,
    known: Known = Known.SEEN,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record what became of some eggs of a pot; the rest go on waiting.

    More than were waiting means that the eggs were counted low: that is asked about,
    and with a yes the pot's last laying is corrected upwards.
    """
    refuse_future(on, entry.on, sure=sure, field="on")
    refuse_none(number)
    pot = book.one(EggPotRow, pot_id)
    brood = book.one(BroodRow, pot.brood_id)
    layings = book.all(LayingRow, t.Laying.pot_id == pot_id)
    gone = book.all(EggOutcomeRow, t.EggOutcome.pot_id == pot_id)
    waiting = max(waiting_from(layings, gone, on), 0)
    laid = [laying for laying in layings if laying.evening <= on]
    name = f"{brood.code} pot {pot.label}"
    if not laid:
        raise Refusal(f"No eggs were laid into {name} by {day_words(on)}.", field="on")
    if number > waiting and not sure:
        raise AskFirst(
            f"By the book {counted(waiting, 'egg')} wait in {name}"
            f"{later_words(layings, gone, on)}. Enter {number} and correct the eggs "
            "laid upwards?",
            field="number",
        )
    with book.change(entry) as pen:
        if number > waiting:
            last = laid[-1]
            pen.change(t.Laying, last.id, number=last.number + number - waiting)
        pen.new_id = pen.add(
            t.EggOutcome,
            pot_id=pot_id,
            fate=fate,
            number=number,
            on=on,
            known=known,
            note=note,
        )
        pen.say(f"{number} {fate} in {name}, {day_words(on)}")
    return pen.touched


def close_pot(
    book: Book, entry: Entry, *, pot_id: int, on: dt.date, sure: bool = False
) -> Touched:
    """Put a pot away; eggs still waiting in it are entered as lost."""
    refuse_future(on, entry.on, sure=sure, field="on")
    pot = book.one(EggPotRow, pot_id)
    if pot.closed_on is not None:
        raise Refusal(f"It was put away on {day_words(pot.closed_on)}.", field="on")
    brood = book.one(BroodRow, pot.brood_id)
    layings = book.all(LayingRow, t.Laying.pot_id == pot_id)
    gone = book.all(EggOutcomeRow, t.EggOutcome.pot_id == pot_id)
    last = max([*(x.evening for x in layings), *(x.on for x in gone)], default=on)
    if on < last:
        raise Refusal(
            f"There are entries of it up to {day_words(last)}; put it away then or "
            "later.",
            field="on",
        )
    waiting = sum(x.number for x in layings) - sum(x.number for x in gone)
    with book.change(entry) as pen:
        if waiting > 0:
            pen.add(
                t.EggOutcome,
                pot_id=pot_id,
                fate=EggFate.LOST,
                number=waiting,
                on=on,
                known=Known.SEEN,
            )
        pen.change(t.EggPot, pot_id, closed_on=on)
        rest = f"; {counted(waiting, 'egg')} given up" if waiting > 0 else ""
        pen.say(f"Put away {brood.code} pot {pot.label}{rest}")
    return pen.touched


def waiting_from(
    layings: Iterable[LayingRow], gone: Iterable[EggOutcomeRow], on: dt.date
) -> int:
    """Return the fewest eggs that wait in a pot on any day from this one on.

    Fates may be entered in any order: an early one must not take the eggs that a
    later one, entered before it, speaks of.
    """
    laid, fates = list(layings), list(gone)
    days = {on, *(fate.on for fate in fates if fate.on > on)}
    return min(
        sum(x.number for x in laid if x.evening <= day)
        - sum(x.number for x in fates if x.on <= day)
        for day in days
    )


def later_words(
    layings: Iterable[LayingRow], gone: Iterable[EggOutcomeRow], on: dt.date
) -> str:
    """Return how many more waited on a day, were it not for fates of later days."""
    laid, fates = list(layings), list(gone)
    here = sum(x.number for x in laid if x.evening <= on)
    here -= sum(x.number for x in fates if x.on <= on)
    later = [fate.on for fate in fates if fate.on > on]
    taken = here - max(waiting_from(laid, fates, on), 0)
    if not later or taken <= 0:
        return ""
    days = span_words(min(later), max(later))
    return f", as {taken} of {here} are entered for later days, {days}"


def _ask_if_gone(mother: MothRow, evening: dt.date, *, sure: bool) -> None:
    gone = mother.fate_on
    if gone is not None and evening > gone and not sure:
        raise AskFirst(
            f"{mother.code} is entered as {mother.fate} on {day_words(gone)}. Did she "
            f"lay in the night of {day_words(evening)} all the same?",
            field="evening",
        )


def _refuse_second(book: Book, mother: MothRow, evening: dt.date) -> None:
    if book.find(
        LayingRow, t.Laying.mother_id == mother.id, t.Laying.evening == evening
    ):
        raise Refusal(
            f"The eggs of {mother.code} for the night of {day_words(evening)} are in "
            "the book; correct that line instead.",
            field="evening",
        )


def _brood_for(
    pen: Writing,
    parents: Parents,
    mother: MothRow,
    evening: dt.date,
    code: str | None,
) -> BroodRow:
    found = pen.all(
        BroodRow,
        t.Brood.mother_id == mother.id,
        t.Brood.pairing_id.is_(None)
        if parents.pairing_id is None
        else t.Brood.pairing_id == parents.pairing_id,
    )
    if found:
        return found[0]
    if parents.pairing_id is not None:
        _refuse_other_dam(pen, parents.pairing_id, mother)
    brood_id = pen.add(
        t.Brood,
        code=brood_code(pen, evening.year, code),
        taxon=mother.taxon,
        mother_id=mother.id,
        pairing_id=parents.pairing_id,
        opened_on=evening,
    )
    return pen.all(BroodRow, t.Brood.id == brood_id)[0]


def _refuse_other_dam(pen: Writing, pairing_id: int, mother: MothRow) -> None:
    pairing = pen.all(PairingRow, t.Pairing.id == pairing_id)
    if not pairing or pairing[0].dam_id != mother.id:
        raise Refusal(f"That pairing is not one of {mother.code}.", field="pairing")


def _pot_for(
    pen: Writing, brood: BroodRow, pot: Pot, evening: dt.date, zone: dt.tzinfo
) -> int:
    if pot.pot_id is not None:
        standing = pen.all(EggPotRow, t.EggPot.id == pot.pot_id)
        if not standing or standing[0].brood_id != brood.id:
            raise Refusal("That pot holds eggs of another brood.", field="pot")
        if standing[0].closed_on is not None:
            raise Refusal(
                f"That pot was put away on {day_words(standing[0].closed_on)}.",
                field="pot",
            )
        return pot.pot_id
    if pot.place_id is None or not pen.all(PlaceRow, t.Place.id == pot.place_id):
        raise Refusal("Where does the pot stand?", field="place")
    pot_id = pen.add(
        t.EggPot,
        brood_id=brood.id,
        label=pot_label(pen, brood.id),
        opened_on=evening,
    )
    pen.add(
        t.Stay,
        pot_id=pot_id,
        place_id=pot.place_id,
        from_at=on_day(evening, LAYING_HOUR, zone),
    )
    return pot_id
