"""Forms of boxes: opened, filled from another, carried, closed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import (
    Answers,
    ChoiceField,
    CountField,
    MomentField,
    NoteField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import boxes
from rearing.keeping.housing import NewBox, move_into_new
from rearing.keeping.moments import on_day
from rearing.records.rows import BroodRow
from rearing.terms import BoxKind, Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field
    from rearing.keeping.holding import BoxNow, Holding

NO_BROOD = "No brood is in the book yet: the first eggs of a female open one."
NO_PLACE = "First enter the place where boxes stand: menu Entry, Place."


def open_box(session: Session, theme: Theme, brood_id: int | None = None) -> EntryForm:
    """Return the form that opens an empty box for a brood."""
    broods = offers.broods(session)
    missing = "" if offers.place_options(session) else NO_PLACE
    return EntryForm(
        theme,
        "Open a box",
        _open_fields(session, broods, brood_id),
        partial(_keep_open, session),
        today=session.on,
        verb="open it",
        caution=missing if broods else NO_BROOD,
        columns=2,
        first="" if brood_id is None else "kind",
    )


def _open_fields(
    session: Session, broods: offers.Options, brood_id: int | None
) -> Sequence[Field]:
    chosen = brood_id if brood_id is not None else offers.first(broods)
    row = session.book.one(BroodRow, chosen) if isinstance(chosen, int) else None
    sheet = session.shelf.sheet_for(row.taxon) if row else None
    return (
        ChoiceField("brood", "B&rood", options=broods, value=chosen),
        ChoiceField("kind", "&Kind", options=offers.BOX_KINDS, value=BoxKind.BOX),
        ChoiceField(
            "place",
            "&Place",
            options=offers.place_options(session),
            value=offers.last_place(session, row.id if row else None),
        ),
        asking.label_field(),
        SearchField("host", "&Leaf", options=offers.hosts(session, sheet), free=True),
        ChoiceField(
            "tree",
            "&Tree",
            options=((None, "none"), *offers.trees(session)),
            hint="Where it is sleeved",
        ),
        asking.when_field(session),
        NoteField("note", "&Note"),
    )


def _keep_open(session: Session, answers: Answers) -> None:
    with asking.renamed({"on": "when", "code": "label"}):
        session.do(
            boxes.open_box,
            brood_id=asking.chosen(answers, "brood", int),
            kind=asking.chosen(answers, "kind", BoxKind),
            place_id=asking.chosen(answers, "place", int),
            when=asking.when(session, answers),
            label=asking.words(answers, "label"),
            host=asking.words(answers, "host"),
            tree_id=asking.maybe(answers, "tree", int),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def move(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that moves animals of a box into another or a new one."""
    box, whole = offers.box_now(session, box_id)
    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: move some",
        _move_fields(session, box, whole),
        partial(_keep_move, session, box_id, offers.last_host(session, box) or None),
        today=session.on,
        verb="move them",
        columns=2,
    )


def _move_fields(session: Session, box: BoxNow, whole: Holding) -> Sequence[Field]:
    kinds = tuple((("new", kind), f"new {kind}") for kind in BoxKind)
    own, kind = box.brood.id, box.row.kind
    standing = offers.boxes(offers.held(session), first=own, but=box.row.id)
    return (
        CountField("number", "&How many", required=True),
        ChoiceField(
            "box",
            "&Into",
            options=(*kinds, *((("box", key), name) for key, name in standing)),
            value=("new", kind),
            hint="Another brood's box mixes the two, and is asked about",
        ),
        ChoiceField(
            "place",
            "&Place",
            options=offers.place_options(session),
            value=offers.where_id(box, whole),
            hint="Where a new one stands; one that stands is left where it is",
        ),
        asking.label_field(),
        ChoiceField(
            "tree",
            "&Tree",
            options=((None, "none"), *offers.trees(session)),
            hint="Where a new sleeve hangs",
        ),
        ChoiceField(
            "stage",
            "&Stage",
            options=offers.stages(offers.sheet_of(session, box.brood, whole)),
            value=offers.last_stage(box),
        ),
        asking.when_field(session),
        NoteField("note", "&Note"),
    )


def _keep_move(
    session: Session, box_id: int, host: str | None, answers: Answers
) -> None:
    which, value = asking.chosen(answers, "box", tuple)
    number = asking.number(answers, "number")
    stage, note = asking.maybe(answers, "stage", Stage), asking.words(answers, "note")
    when = asking.when(session, answers)
    with asking.renamed({"on": "when", "to_box": "box", "code": "label"}):
        if which == "box":
            session.do(
                boxes.move_animals,
                origin=boxes.Origin(box_id=box_id),
                to_box_id=value,
                number=number,
                when=when,
                stage=stage,
                note=note,
                sure=answers.sure,
            )
            return
        place = asking.chosen(answers, "place", int)
        label, tree_id = (
            asking.words(answers, "label"),
            asking.maybe(answers, "tree", int),
        )
        eats = None if value.is_for_pupae else host
        session.do(
            move_into_new,
            box_id=box_id,
            number=number,
            into=NewBox(value, place, label, eats, tree_id),
            when=when,
            stage=stage,
            note=note,
            sure=answers.sure,
        )


def carry(
    session: Session,
    theme: Theme,
    box_id: int | None = None,
    pot_id: int | None = None,
) -> EntryForm:
    """Return the form that carries a box or a pot to another place."""
    things, stands = _carried(session, box_id, pot_id)
    one = len(things) == 1
    fields: Sequence[Field] = (
        ChoiceField("thing", "&Box or pot", options=things, value=offers.first(things)),
        ChoiceField(
            "place",
            "&To",
            options=offers.place_options(session, but=stands),
            value=None,
        ),
        MomentField(
            "at",
            "&When",
            day=session.on,
            hint="Without a time it is now, or, on another day, in the morning",
        ),
    )
    return EntryForm(
        theme,
        f"Carry {things[0][1]}" if one else "Carry a box or a pot",
        fields[1:] if one else fields,
        partial(_keep_carry, session, things),
        today=session.on,
        verb="carry it",
        caution="" if offers.place_options(session, but=stands) else NO_PLACE,
    )


def _carried(
    session: Session, box_id: int | None, pot_id: int | None
) -> tuple[offers.Options, int | None]:
    """Return what may be carried, and where it stands when it is one thing."""
    if box_id is not None:
        box, whole = offers.box_now(session, box_id)
        words = offers.box_words(box, whole)
        return ((("box", box_id), words),), offers.where_id(box, whole)
    if pot_id is not None:
        pot, whole = offers.pot_now(session, pot_id)
        words = offers.pot_words(pot, whole)
        return ((("pot", pot_id), words),), offers.where_id(pot, whole)
    whole = offers.held(session)
    named = (
        *((("box", key), name) for key, name in offers.boxes(whole)),
        *((("pot", key), name) for key, name in offers.pots(whole)),
    )
    return named, None


def _keep_carry(session: Session, things: offers.Options, answers: Answers) -> None:
    given = "thing" in answers.values
    kind, key = asking.chosen(answers, "thing", tuple) if given else _thing(things)
    place = asking.chosen(answers, "place", int)
    told = asking.when(session, answers, "at")
    at = told.at or on_day(told.on, boxes.MORNING, session.home.zone)
    session.do(
        boxes.shift,
        place_id=place,
        at=at,
        box_id=key if kind == "box" else None,
        pot_id=key if kind == "pot" else None,
        sure=answers.sure,
    )


def _thing(things: offers.Options) -> tuple[str, int]:
    thing = offers.first(things)
    assert isinstance(thing, tuple)
    return thing


def close_box(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that closes a box."""
    box, whole = offers.box_now(session, box_id)
    left = box.standing.number
    rest = f"The {left} it holds by the book will be unaccounted for." if left else ""

    def keep(answers: Answers) -> None:
        with asking.renamed({"on": "when"}):
            session.do(
                boxes.close_box,
                box_id=box_id,
                when=asking.when(session, answers),
                why=asking.words(answers, "why"),
                sure=answers.sure,
            )

    return EntryForm(
        theme,
        f"Close {offers.box_words(box, whole)}",
        (TextField("why", "Wh&y"), asking.when_field(session)),
        keep,
        today=session.on,
        verb="close it",
        caution=rest,
    )
