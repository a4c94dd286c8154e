"""Forms that split a box into new ones, and put a box together with another."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import Answers, ChoiceField, NoteField, TextField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import splitting
from rearing.problems import Refusal
from rearing.sheets.advice import room_for
from rearing.terms import BoxKind, Stage

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.holding import BoxNow, Holding

_NAMES = {"on": "when", "to_box": "box"}


def split_box(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that puts animals of a box into several new ones."""
    box, whole = offers.box_now(session, box_id)
    sheet = offers.sheet_of(session, box.brood, whole)
    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: split",
        (
            TextField(
                "numbers",
                "&How many into each",
                hint="A number for each new box: 9 8 8; the rest stay where they are",
                required=True,
            ),
            ChoiceField(
                "kind", "&New ones", options=offers.BOX_KINDS, value=box.row.kind
            ),
            ChoiceField(
                "place",
                "&Place",
                options=offers.place_options(session),
                value=offers.where_id(box, whole),
            ),
            ChoiceField(
                "stage",
                "&Stage",
                options=offers.stages(sheet),
                value=offers.last_stage(box),
            ),
            asking.when_field(session),
            NoteField("note", "N&ote"),
        ),
        partial(_keep_split, session, box_id),
        today=session.on,
        verb="split it",
        caution=_room_words(session, box, whole),
        columns=2,
    )


def _room_words(session: Session, box: BoxNow, whole: Holding) -> str:
    """Return how many of their age each kind of box takes."""
    sheet = offers.sheet_of(session, box.brood, whole)
    stage = offers.last_stage(box)
    emptied = "A box that is emptied is closed."
    if stage is None or not stage.is_larva:
        return emptied
    rows = [(kind, room_for(sheet, stage, kind)) for kind in BoxKind]
    takes = ", ".join(f"{kind} {row.high:g}" for kind, row in rows if row)
    return asking.join(f"{stage}: {takes} at most." if takes else "", emptied)


def _keep_split(session: Session, box_id: int, answers: Answers) -> None:
    with asking.renamed(_NAMES):
        session.do(
            splitting.split_box,
            box_id=box_id,
            into=splitting.Parts(
                tuple(splitting.numbers_in(answers.text("numbers"))),
                asking.chosen(answers, "kind", BoxKind),
                asking.chosen(answers, "place", int),
            ),
            when=asking.when(session, answers),
            stage=asking.maybe(answers, "stage", Stage),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def join_boxes(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that puts all of a box into another and closes it."""
    box, whole = offers.box_now(session, box_id)
    others = offers.boxes(offers.held(session), first=box.brood.id, but=box_id)
    if not others:
        raise Refusal("No other box stands on this day that it could be joined to.")
    sheet = offers.sheet_of(session, box.brood, whole)

    def keep(answers: Answers) -> None:
        with asking.renamed(_NAMES):
            session.do(
                splitting.join_boxes,
                box_id=box_id,
                to_box_id=asking.chosen(answers, "box", int),
                when=asking.when(session, answers),
                stage=asking.maybe(answers, "stage", Stage),
                note=asking.words(answers, "note"),
                sure=answers.sure,
            )

    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: join to another",
        (
            ChoiceField("box", "&To", options=others, value=offers.first(others)),
            ChoiceField(
                "stage",
                "&Stage",
                options=offers.stages(sheet),
                value=offers.last_stage(box),
            ),
            asking.when_field(session),
            NoteField("note", "&Note"),
        ),
        keep,
        today=session.on,
        verb="join them",
        caution="All it holds by the book go over, and it is closed.",
        columns=2,
    )
