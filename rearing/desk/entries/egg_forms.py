"""Forms of eggs: counted by the night, their fates, larvae put on leaf, pots away."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import (
    Answers,
    ChoiceField,
    CountField,
    DayField,
    NoteField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import eggs as keeping_eggs
from rearing.keeping.boxes import When
from rearing.keeping.eggs import Parents, Pot
from rearing.keeping.housing import Hatch, Into, NewBox
from rearing.keeping.housing import put_on_leaf as to_leaf
from rearing.keeping.moments import counted, day_words, evening_of
from rearing.keeping.places import places
from rearing.records import tables as t
from rearing.records.rows import BroodRow, LayingRow, MothRow, PairingRow
from rearing.terms import BoxKind, EggFate, Known, Sex

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field
    from rearing.keeping.holding import Holding, PotNow

NO_FEMALE = "No female is here on this day. Keep one first: menu Entry, Keep a female."
NO_PLACE = "First enter the place where pots stand: menu Entry, Place."


# eggs by night


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
    return (
        ChoiceField("whose", "Fe&male", options=whose, value=next(own, None)),
        DayField(
            "evening",
            "&Evening",
            value=_next_evening(session, chosen) if chosen else None,
            hint="The night is dated by its evening",
            required=True,
        ),
        CountField(
            "number",
            "E&ggs",
            ask_quality=True,
            hint="Nought for a night without any",
        ),
        ChoiceField("pot", "&Pot", options=pots, value=_usual_pot(session, chosen)),
        TextField("note", "&Note"),
    )


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


# pots


def fate(session: Session, theme: Theme, pot_id: int) -> EntryForm:
    """Return the form for what became of some eggs of a pot."""
    pot, whole = offers.pot_now(session, pot_id)

    def keep(answers: Answers) -> None:
        session.do(
            keeping_eggs.record_fate,
            pot_id=pot_id,
            fate=asking.chosen(answers, "fate", EggFate),
            number=asking.number(answers, "number"),
            on=asking.day(answers, "on"),
            known=asking.chosen(answers, "known", Known),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        f"{offers.pot_words(pot, whole)}: what became of them",
        (
            CountField("number", "Nu&mber", required=True),
            ChoiceField(
                "fate",
                "&Fate",
                options=offers.of_terms(EggFate),
                value=EggFate.HATCHED,
            ),
            DayField("on", "O&n", value=session.on, required=True),
            ChoiceField(
                "known",
                "The day is &known",
                options=offers.of_terms(Known),
                value=Known.SEEN,
            ),
            TextField("note", "No&te"),
        ),
        keep,
        today=session.on,
        caution=_pot_words(pot),
        columns=2,
    )


def _pot_words(pot: PotNow) -> str:
    nights = ", ".join(
        f"{laying.number} of {day_words(laying.evening)}" for laying in pot.layings
    )
    return f"Laid: {nights}." if nights else "No eggs entered."


def close_pot(session: Session, theme: Theme, pot_id: int) -> EntryForm:
    """Return the form that puts a pot away."""
    pot, whole = offers.pot_now(session, pot_id)
    rest = (
        f"{counted(pot.waiting, 'egg')} still waiting will be entered as lost."
        if pot.waiting > 0
        else ""
    )

    def keep(answers: Answers) -> None:
        if pot.unhoused > 0:
            asking.ask_first(
                f"{counted(pot.unhoused, 'larva', 'larvae')} hatched in it "
                "are not on leaf by the book. Put it away all the same?",
                sure=answers.sure,
                field="on",
            )
        session.do(
            keeping_eggs.close_pot,
            pot_id=pot_id,
            on=asking.day(answers, "on"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        f"Put away {offers.pot_words(pot, whole)}",
        (DayField("on", "O&n", value=session.on, required=True),),
        keep,
        today=session.on,
        verb="put it away",
        caution=rest,
    )


# from the pot on leaf


def put_on_leaf(session: Session, theme: Theme, pot_id: int) -> EntryForm:
    """Return the form that takes larvae from a pot into a box in one go."""
    pot, whole = offers.pot_now(session, pot_id)
    sheet = offers.sheet_of(session, pot.brood, whole)
    idle = (
        ""
        if sheet.feeds_as_l1.yes
        else f"{sheet.short} does not feed before its first moult."
    )
    poison = [host.caution for host in sheet.hosts if host.poisonous and host.caution]
    return EntryForm(
        theme,
        f"{offers.pot_words(pot, whole)}: put on leaf",
        _leaf_fields(session, pot, whole),
        partial(_keep_leaf, session, pot_id),
        today=session.on,
        verb="put them on leaf",
        caution=asking.join(idle, *poison),
        columns=2,
    )


def _leaf_fields(session: Session, pot: PotNow, whole: Holding) -> Sequence[Field]:
    hosts = offers.hosts(session, offers.sheet_of(session, pot.brood, whole))
    open_boxes = offers.boxes(offers.held(session), first=pot.brood.id)
    box_kinds = tuple((("new", kind), f"new {kind}") for kind in BoxKind)
    standing = tuple((("box", box_id), name) for box_id, name in open_boxes)
    used = [box for box in whole.boxes if box.row.closed_on is None]
    kind = used[-1].row.kind if used else BoxKind.BOX
    host = used[-1].row.host if used and used[-1].row.host else offers.first(hosts)
    hatched = pot.unhoused if pot.unhoused > 0 else None
    return (
        CountField("number", "&How many", value=hatched, required=True),
        DayField(
            "hatched_on",
            "Hatched &on",
            value=session.on,
            hint="For those not entered as hatched yet",
            required=True,
        ),
        ChoiceField(
            "known", "&Seen how", options=offers.of_terms(Known), value=Known.SEEN
        ),
        asking.when_field(session, "Put on &leaf"),
        ChoiceField(
            "box", "&Into", options=(*box_kinds, *standing), value=("new", kind)
        ),
        ChoiceField(
            "place",
            "&Place",
            options=offers.place_options(session),
            value=offers.where_id(pot, whole),
            hint="Where a new box stands; a box that stands is left where it is",
        ),
        SearchField("host", "L&eaf", options=hosts, value=host, free=True),
        asking.label_field(),
        NoteField("note", "No&te"),
    )


def _keep_leaf(session: Session, pot_id: int, answers: Answers) -> None:
    moment = asking.when(session, answers)
    hatched_on = asking.day(answers, "hatched_on")
    with asking.renamed({"on": "when", "to_box": "box", "code": "label"}):
        session.do(
            to_leaf,
            pot_id=pot_id,
            number=asking.number(answers, "number"),
            into=_into(answers),
            when=When(moment.on, moment.at),
            hatch=Hatch(hatched_on, asking.chosen(answers, "known", Known)),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def _into(answers: Answers) -> Into:
    which, value = asking.chosen(answers, "box", tuple)
    host = asking.words(answers, "host")
    if which == "box":
        return Into(box_id=value, leaf=host)
    new = NewBox(
        value,
        asking.chosen(answers, "place", int),
        asking.words(answers, "label"),
        host,
    )
    return Into(new=new, leaf=host)
