"""Where a brood comes from, step by step, back to the lamp night."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.mixing import one_of_words, sources_of
from rearing.keeping.moments import short_day
from rearing.keeping.nights import current_call
from rearing.records import tables as t
from rearing.records.rows import (
    BroodRow,
    DeterminationRow,
    LampNightRow,
    MothRow,
    PairingRow,
    SiteRow,
)
from rearing.terms import Sire

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Link:
    """One step of the chain: what it is, the words for it, and a line beneath."""

    kind: str
    id: int
    words: str
    beneath: str


@dataclass(frozen=True, slots=True)
class Generations:
    """Captive generations since the wild, on each side; None where not known."""

    mother_side: int | None
    father_side: int | None
    or_else: tuple[Generations, ...] = ()
    """What else it may be: that of each other brood a mixed line was made of."""


def moth_call(book: Book, moth: MothRow, on: dt.date) -> tuple[str, str]:
    """Return a moth's species and the sign of its sex, as it is called on a day."""
    calls = book.all(DeterminationRow, t.Determination.moth_id == moth.id)
    taxon, sex = current_call((moth.taxon, moth.sex), calls, on)
    return taxon, sex.sign


def chain(book: Book, brood: BroodRow, on: dt.date) -> tuple[Link, ...]:
    """Return the steps from the wild to a brood's mother, the oldest first."""
    links: list[Link] = []
    at: BroodRow | None = brood
    while at is not None:
        mother = book.one(MothRow, at.mother_id) if at.mother_id else None
        if mother is None:
            links[:0] = _mixed_links(book, at)
            break
        links[:0] = _mother_links(book, at, mother, on)
        at = book.one(BroodRow, mother.brood_id) if mother.brood_id else None
        if at is not None:
            links.insert(0, Link("brood", at.id, at.code, at.taxon))
    return tuple(links)


def generations(book: Book, brood: BroodRow) -> Generations:
    """Derive how many captive generations lie between the wild and a brood.

    The offspring of a wild female are the first; stored F-numbers would differ
    between keepers, so none is stored.
    """
    mother = book.one(MothRow, brood.mother_id) if brood.mother_id else None
    mixed = sources_of(book).get(brood.id)
    if mixed:
        return _one_of(tuple(dict.fromkeys(generations(book, one) for one in mixed)))
    pairing = book.one(PairingRow, brood.pairing_id) if brood.pairing_id else None
    mother_side = None if mother is None else 1 + _captive(book, mother)
    if pairing is None:
        # A wild female came mated: her mate was wild too.
        wild = mother is not None and mother.brood_id is None
        return Generations(mother_side, 1 if wild else None)
    if pairing.sire_kind is Sire.WILD_UNKNOWN:
        return Generations(mother_side, 1)
    if pairing.sire_id is None:
        return Generations(mother_side, None)
    sire = book.one(MothRow, pairing.sire_id)
    return Generations(mother_side, 1 + _captive(book, sire))


def generation_words(side: Generations) -> str:
    """Return generations since the wild in words, instead of an F-number."""
    if side.or_else:
        each = (replace(side, or_else=()), *side.or_else)
        sides = {one.mother_side for one in each}
        if (
            all(one.mother_side == one.father_side for one in each)
            and None not in sides
        ):
            told = " or ".join(str(one.mother_side) for one in each)
            return f"{told} generations since the wild"
        return " or ".join(generation_words(one) for one in each)
    if side.mother_side is None:
        return "origin not known"
    if side.mother_side == side.father_side:
        return f"{_times(side.mother_side)} since the wild"
    father = "not known" if side.father_side is None else str(side.father_side)
    return f"since the wild: mother's side {side.mother_side}, father's side {father}"


def _one_of(each: tuple[Generations, ...]) -> Generations:
    return replace(each[0], or_else=each[1:])


def _mixed_links(book: Book, brood: BroodRow) -> list[Link]:
    """Return the step of a mixed line: one of several, and their nights."""
    mixed = sources_of(book).get(brood.id)
    if not mixed:
        return []
    nights = dict.fromkeys(
        link.words[:1].lower() + link.words[1:]
        for one in mixed
        for link in chain(book, one, brood.opened_on)
        if link.kind == "lamp_night"
    )
    beneath = "; ".join((f"mixed {short_day(brood.opened_on)}", *nights))
    return [Link("brood", mixed[0].id, one_of_words(mixed), beneath)]


def _times(number: int) -> str:
    return "1 generation" if number == 1 else f"{number} generations"


def _captive(book: Book, moth: MothRow) -> int:
    if moth.brood_id is None:
        return 0
    side = generations(book, book.one(BroodRow, moth.brood_id))
    each = (side, *side.or_else)
    sides = [s for one in each for s in (one.mother_side, one.father_side)]
    known = [s for s in sides if s is not None]
    return max(known, default=0)


def _mother_links(
    book: Book, brood: BroodRow, mother: MothRow, on: dt.date
) -> list[Link]:
    links = []
    if mother.night_id is not None:
        night = book.one(LampNightRow, mother.night_id)
        site = book.one(SiteRow, night.site_id)
        cold = f", {night.start_c:g}°" if night.start_c is not None else ""
        words = f"Night of {night.evening.day} {night.evening:%B %Y}"
        links.append(
            Link("lamp_night", night.id, words, f"{site.name}, {night.lamp}{cold}")
        )
    _, sign = moth_call(book, mother, on)
    wild = (
        "wild" if mother.night_id is not None else f"emerged {short_day(mother.since)}"
    )
    links.append(
        Link(
            "moth",
            mother.id,
            f"{sign} {mother.code}" if sign not in mother.code else mother.code,
            f"{wild}, {_mate_words(book, brood)}",
        )
    )
    return links


def _mate_words(book: Book, brood: BroodRow) -> str:
    if brood.pairing_id is None:
        return "mates unknown"
    pairing = book.one(PairingRow, brood.pairing_id)
    if pairing.sire_id is not None:
        sire = book.one(MothRow, pairing.sire_id)
        return f"× {sire.code}, {short_day(pairing.evening)}"
    return f"× ♂ {pairing.sire_kind}, {short_day(pairing.evening)}"
