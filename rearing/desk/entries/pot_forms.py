"""Forms of egg pots: what became of the eggs, larvae put on leaf, pots put away."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.entries.begun_form import BegunForm
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
from rearing.keeping.housing import Hatch, Into, NewBox
from rearing.keeping.housing import put_on_leaf as to_leaf
from rearing.keeping.moments import counted, day_words
from rearing.terms import BoxKind, EggFate, Known

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field
    from rearing.keeping.holding import Holding, PotNow


def fate(session: Session, theme: Theme, pot_id: int, typed: str = "") -> EntryForm:
    """Return the form for what became of some eggs of a pot, its number begun."""
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

    return BegunForm(
        theme,
        f"{offers.pot_words(pot, whole)}: what became of them",
        (
            CountField(
                "number",
                "Nu&mber",
                value=int(typed) if typed.isdecimal() else None,
                required=True,
            ),
            ChoiceField(
                "fate",
                "&Fate",
                options=offers.of_terms(EggFate),
                value=EggFate.HATCHED,
            ),
            DayField("on", "O&n", value=session.on, required=True),
            ChoiceField(
                "known",
                "How &known",
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
        caution=asking.join(_hatched_words(pot), idle, *poison),
        columns=2,
    )


def _hatched_words(pot: PotNow) -> str:
    """Say that none hatched yet by the book, where none is to be put on leaf."""
    if pot.unhoused > 0:
        return ""
    others = "No more have" if pot.of(EggFate.HATCHED) else "Nothing has"
    return (
        f"{others} hatched in it by the book; those you put on leaf are entered as "
        "hatched too."
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
