"""Moths kept one by one: bagged females, reared adults, callers and pairings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.boxes import When, refuse_more
from rearing.keeping.codes import reared_code, wild_code
from rearing.keeping.lamp_kept import next_wild_code
from rearing.keeping.moments import day_words, refuse_future
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import ArrivalRow, BoxRow, BroodRow, LampNightRow, MothRow
from rearing.terms import (
    ExitKind,
    LawFlag,
    Mated,
    MothFate,
    Sex,
    Sire,
    Stage,
    Wings,
)

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Condition:
    """How a moth was when she was kept."""

    wings: Wings = Wings.NOT_NOTED
    mated: Mated = Mated.UNKNOWN
    container: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Mate:
    """What is known of a father."""

    kind: Sire
    moth_id: int | None = None


@dataclass(frozen=True, slots=True)
class Coupling:
    """When and where a pair was found and parted."""

    coupled_at: dt.datetime | None = None
    parted_at: dt.datetime | None = None
    where: str | None = None
    site_id: int | None = None
    night_id: int | None = None


def keep_female(
    book: Book,
    entry: Entry,
    *,
    night_id: int,
    taxon: str,
    arrival_id: int | None = None,
    kept_at: dt.datetime | None = None,
    condition: Condition = Condition(),
    code: str | None = None,
    law: LawFlag = LawFlag.FREE,
    permit: str | None = None,
    sure: bool = False,
) -> Touched:
    """Keep a wild female from a night; the birth of a code.

    `law` is what the species sheet reminds of; where it says *do not keep*, a permit
    number is needed, and where it says *permit*, keeping without one is asked about.
    """
    if law is LawFlag.DO_NOT_KEEP and not permit:
        raise Refusal(
            f"{taxon} may not be kept here as far as its sheet knows. Enter the number "
            "of your permit, or let her go. The local authority decides.",
            field="permit",
        )
    if law is LawFlag.PERMIT and not permit and not sure:
        raise AskFirst(
            f"{taxon} may need a permit here, and no number is entered. Keep her "
            "without one? The local authority decides.",
            field="permit",
        )
    if not taxon.strip():
        raise Refusal("Name the species, or write “not known”.", field="taxon")
    night = book.one(LampNightRow, night_id)
    if arrival_id is not None:
        book.one(ArrivalRow, arrival_id)
    with book.change(entry) as pen:
        new = wild_code(pen, code or next_wild_code(book, night.evening.year))
        pen.new_id = pen.add(
            t.Moth,
            code=new,
            night_id=night_id,
            arrival_id=arrival_id,
            taxon=taxon,
            sex=Sex.FEMALE,
            since=night.evening,
            kept_at=kept_at,
            wings=condition.wings,
            mated=condition.mated,
            container=condition.container,
            permit=permit,
            note=condition.note,
        )
        pen.say(f"Kept {new}, ♀ {taxon}, from the night of {day_words(night.evening)}")
    return pen.touched


def record_emergence(
    book: Book,
    entry: Entry,
    *,
    brood_id: int,
    sex: Sex,
    on: dt.date,
    wings: Wings = Wings.FRESH,
    box_id: int | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record one adult of a brood that matters enough to have a code of its own.

    With `box_id` it leaves that tub or box in the same entry.
    """
    refuse_future(on, entry.on, sure=sure, field="on")
    brood = book.one(BroodRow, brood_id)
    if on < brood.opened_on:
        raise Refusal(
            f"The first eggs of {brood.code} are from {day_words(brood.opened_on)}; "
            "that is later.",
            field="on",
        )
    if box_id is not None and book.one(BoxRow, box_id).brood_id != brood_id:
        raise Refusal(f"That tub is not one of {brood.code}.", field="box")
    if box_id is not None:
        refuse_more(book, box_id, 1, When(on))
    with book.change(entry) as pen:
        code = reared_code(pen, brood, sex)
        pen.new_id = pen.add(
            t.Moth,
            code=code,
            brood_id=brood_id,
            taxon=brood.taxon,
            sex=sex,
            since=on,
            wings=wings,
            mated=Mated.NO,
            note=note,
        )
        if box_id is not None:
            pen.add(
                t.Exit,
                box_id=box_id,
                kind=ExitKind.EMERGED,
                number=1,
                stage=Stage.ADULT,
                on=on,
                note=code,
            )
            pen.subjects.add(("box", box_id))
        pen.say(f"{code} emerged {day_words(on)}")
    return pen.touched


def let_go(
    book: Book,
    entry: Entry,
    *,
    moth_id: int,
    fate: MothFate,
    on: dt.date,
    where: str | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record what became of a moth: released, dead, given, a specimen."""
    refuse_future(on, entry.on, sure=sure, field="on")
    moth = book.one(MothRow, moth_id)
    if moth.fate is not None:
        raise Refusal(f"{moth.code} is already entered as {moth.fate}.", field="fate")
    if on < moth.since:
        raise Refusal(
            f"{moth.code} came on {day_words(moth.since)}; that is later.", field="on"
        )
    with book.change(entry) as pen:
        pen.change(
            t.Moth, moth_id, fate=fate, fate_on=on, fate_where=where, fate_note=note
        )
        at = f" at {where}" if where else ""
        pen.say(f"{moth.code} {fate}{at}, {day_words(on)}")
    return pen.touched


def set_mated(
    book: Book, entry: Entry, *, moth_id: int, mated: Mated, note: str | None = None
) -> Touched:
    """Change what is believed of a female's mating, with the evidence."""
    moth = book.one(MothRow, moth_id)
    with book.change(entry) as pen:
        pen.change(t.Moth, moth_id, mated=mated)
        if note:
            pen.add(t.Note, subject="moth", subject_id=moth_id, on=entry.on, text=note)
        pen.say(f"{moth.code} mated: {mated}")
    return pen.touched


def record_pairing(
    book: Book,
    entry: Entry,
    *,
    dam_id: int,
    mate: Mate,
    evening: dt.date,
    coupling: Coupling = Coupling(),
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record a pairing; what is not known of the father stays not known."""
    refuse_future(evening, entry.on, sure=sure, field="evening")
    dam = book.one(MothRow, dam_id)
    if dam.sex is Sex.MALE:
        raise Refusal(f"{dam.code} is a male.", field="dam")
    if evening < dam.since:
        raise Refusal(
            f"{dam.code} came on {day_words(dam.since)}; that is later.",
            field="evening",
        )
    sire = book.one(MothRow, mate.moth_id) if mate.moth_id is not None else None
    if mate.kind is Sire.KNOWN and sire is None:
        raise Refusal("Which male was it?", field="sire")
    if sire is not None and sire.sex is Sex.FEMALE:
        raise Refusal(f"{sire.code} is a female.", field="sire")
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Pairing,
            dam_id=dam_id,
            sire_kind=mate.kind,
            sire_id=mate.moth_id,
            night_id=coupling.night_id,
            site_id=coupling.site_id,
            evening=evening,
            coupled_at=coupling.coupled_at,
            parted_at=coupling.parted_at,
            where=coupling.where,
            note=note,
        )
        pen.change(t.Moth, dam_id, mated=Mated.YES)
        father = sire.code if sire else f"♂ {mate.kind}"
        pen.say(f"Paired {dam.code} × {father}, night of {day_words(evening)}")
    return pen.touched
