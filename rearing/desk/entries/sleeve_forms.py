"""The form that puts a sleeve on another branch."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.entries.care_forms import lost_of
from rearing.desk.widgets.fields import Answers, ChoiceField, CountField, NoteField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import sleeves
from rearing.problems import Refusal
from rearing.terms import BoxKind

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.terms import Stage

CAUTION = (
    "Beat or shake the branch first: spiders, bugs and earwigs come along; look for "
    "holes of wasps. Ladders and roads at night: not alone."
)


def move_sleeve(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that puts a sleeve on another branch, and counts it."""
    box, whole = offers.box_now(session, box_id)
    if box.row.kind is not BoxKind.SLEEVE:
        raise Refusal(f"{box.code} is no sleeve; M carries it to another place.")
    options = offers.trees(session)
    if not options:
        raise Refusal("No tree is entered yet: T on the Leaf page enters one.")
    hung = sleeves.trees_of_sleeves(session.book, [box.row], session.on).get(box_id)
    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: on another branch",
        (
            ChoiceField(
                "tree",
                "&Tree",
                options=options,
                value=hung if hung is not None else offers.first(options),
            ),
            CountField("number", "&Counted"),
            CountField("lost", "Found &lost"),
            ChoiceField("cause", "to what ca&use", options=offers.CAUSES),
            asking.when_field(session),
            NoteField("note", "&Note"),
        ),
        partial(_keep, session, box_id, offers.last_stage(box)),
        today=session.on,
        verb="hang it there",
        caution=CAUTION,
        columns=2,
    )


def _keep(session: Session, box_id: int, stage: Stage | None, answers: Answers) -> None:
    lost = lost_of(answers, "lost", "cause", stage)
    with asking.renamed({"on": "when"}):
        session.do(
            sleeves.move_sleeve,
            box_id=box_id,
            tree_id=asking.chosen(answers, "tree", int),
            when=asking.when(session, answers),
            number=answers.count("number"),
            losses=() if lost is None else (lost,),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )
