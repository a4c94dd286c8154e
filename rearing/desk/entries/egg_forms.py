"""Forms of eggs: counted by the night, and corrected."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import (
    Answers,
    ChoiceField,
    CountField,
    DayField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import eggs as keeping_eggs
from rearing.keeping.eggs import Parents, Pot
from rearing.keeping.moments import day_words, evening_of
from rearing.keeping.places import places
from rearing.records import tables as t
from rearing.records.rows import BroodRow, LayingRow, MothRow, PairingRow
from rearing.terms import Sex

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field

NO_FEMALE = "No female is here on this day. Keep one first: menu Entry, Keep a female."
NO_PLACE = "First enter the place where pots stand: menu Entry, Place."


def eggs(session: Session, theme: Theme, mother_id: int | None = None) -> EntryForm:
    """Return the form for eggs by the night; it stays for the next night."""
    held = {"mother": mother_id}

    def ask() -> Sequence[Field]:
        return _egg_fields(session, mother_id, held["mother"])

    def keep(answers: Answers) -> None:
        parents = asking.chosen(answers, "whose", Parents)
        held["mother"] = parents.mother_id
        with asking.renamed({"place": "pot", "pairing": "whose"}):
            session.do(
                keeping_eggs.record_eggs,
                parents=parents,
                evening=asking.day(answers, "evening"),
                number=asking.number(answers, "number"),
                pot=asking.chosen(answers, "pot", Pot),
                quality=answers.quality("number"),
                note=asking.words(answers, "note"),
                sure=answers.sure,
            )

    return asking.FreshForm(
        theme,
        "Eggs of a night",
        ask,
        keep,
        today=session.on,
        verb="enter it, next night",
        caution=_missing(session, mother_id),
        columns=2,
    )


def _missing(session: Session, mother_id: int | None) -> str:
    if mother_id is None and not offers.moths_here(session, Sex.FEMALE):
        return NO_FEMALE
    return "" if offers.place_options(session) else NO_PLACE


def _egg_fields(
    session: Session, only_id: int | None, mother_id: int | None
) -> Sequence[Field]:
    book = session.book
    rows = offers.moths_here(session, Sex.FEMALE)
    if only_id is not None:
        rows = (book.one(MothRow, only_id),)
    chosen = next((row for row in rows if row.id == mother_id), None)
    chosen = chosen or min(
        rows, key=lambda row: _next_evening(session, row), default=None
    )
    whose = tuple(option for row in rows for option in _parents(session, row))
    own = (value for value, _ in whose if _is_of(value, chosen))
    pots = _pots(session, rows, chosen)
    who = ChoiceField("whose", "Fe&male", options=whose, value=next(own, None))
    asked: tuple[Field, ...] = (
        DayField(
            "evening",
            "&Evening",
            value=_next_evening(session, chosen) if chosen else None,
            hint="The night is dated by its evening",
            required=True,
        ),
        ChoiceField("pot", "&Pot", options=pots, value=_usual_pot(session, chosen)),
        TextField("note", "&Note"),
    )
    count = CountField(
        "number", "E&ggs", ask_quality=True, hint="Nought for a night without any"
    )
    # where her page asks, only the number is wanting
    return (who, count, *asked) if only_id is None else (count, who, *asked)


def _is_of(value: object, chosen: MothRow | None) -> bool:
    return (
        isinstance(value, Parents)
        and chosen is not None
        and value.mother_id == chosen.id
    )


def _parents(session: Session, moth: MothRow) -> offers.Options:
    """Return a female, once for each pairing of hers, the latest first."""
    book = session.book
    pairings = book.all(
        PairingRow,
        t.Pairing.dam_id == moth.id,
        order=(t.Pairing.evening.desc(), t.Pairing.id.desc()),
    )
    name = offers.moth_words(session, moth)
    paired = tuple(
        (Parents(moth.id, row.id), f"{name} × {_mate(session, row)}")
        for row in pairings
    )
    broods = book.all(BroodRow, t.Brood.mother_id == moth.id)
    alone = not pairings or any(brood.pairing_id is None for brood in broods)
    return (*paired, *(((Parents(moth.id), name),) if alone else ()))


def _mate(session: Session, row: PairingRow) -> str:
    if row.sire_id is None:
        return f"♂ {row.sire_kind}"
    return session.book.one(MothRow, row.sire_id).code


def _next_evening(session: Session, moth: MothRow) -> dt.date:
    """Return the first evening of hers without a count, at the latest tonight."""
    layings = session.book.all(LayingRow, t.Laying.mother_id == moth.id)
    done = {laying.evening for laying in layings}
    tonight = evening_of(session.now())
    evening = moth.since
    while evening in done and evening < tonight:
        evening += dt.timedelta(days=1)
    return min(evening, max(tonight, moth.since))


def _pots(
    session: Session, rows: Sequence[MothRow], chosen: MothRow | None
) -> offers.Options:
    whole, standing = offers.held(session), places(session.book)
    here = {row.id for row in rows}
    own = [pot for pot in whole.pots if pot.brood.mother_id in here]
    first = chosen.id if chosen else None
    own.sort(key=lambda pot: (pot.brood.mother_id != first, pot.code))
    return (
        *((Pot(place_id=row.id), f"new pot, {row.name}") for row in standing),
        *((Pot(pot_id=pot.row.id), offers.pot_words(pot, whole)) for pot in own),
    )


def _usual_pot(session: Session, chosen: MothRow | None) -> Pot | None:
    broods = chosen and session.book.all(BroodRow, t.Brood.mother_id == chosen.id)
    place = offers.last_place(session, broods[0].id if broods else None)
    return None if place is None else Pot(place_id=place)


def correct_eggs(session: Session, theme: Theme, laying_id: int) -> EntryForm:
    """Return the form that corrects the count of a night's eggs."""
    laying = session.book.one(LayingRow, laying_id)

    def keep(answers: Answers) -> None:
        session.do(
            keeping_eggs.correct_eggs,
            laying_id=laying_id,
            number=asking.number(answers, "number"),
            quality=answers.quality("number"),
        )

    return EntryForm(
        theme,
        f"Eggs of the night of {day_words(laying.evening)}, corrected",
        (
            CountField(
                "number",
                "E&ggs",
                value=laying.number,
                ask_quality=True,
                quality=laying.quality,
            ),
        ),
        keep,
        today=session.on,
        caution="A correction is not a birth: it mends the count of that night.",
    )
