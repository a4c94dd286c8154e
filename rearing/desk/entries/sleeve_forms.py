"""The form that puts a sleeve on another branch, or takes it off its tree."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.entries.care_forms import lost_of
from rearing.desk.widgets.fields import Answers, ChoiceField, CountField, NoteField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import sleeves
from rearing.keeping.housing import NewBox
from rearing.keeping.taken_down import take_down
from rearing.problems import Refusal
from rearing.terms import BoxKind

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.holding import BoxNow
    from rearing.records.journal import Touched

INDOORS = tuple(kind for kind in BoxKind if kind is not BoxKind.SLEEVE)

CAUTION = (
    "Beat or shake the branch first: spiders, bugs and earwigs come along; look for "
    "holes of wasps. Ladders and roads at night: not alone."
)


def move_sleeve(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that puts a sleeve on another branch or takes it off, counted."""
    box, whole = offers.box_now(session, box_id)
    if box.row.kind is not BoxKind.SLEEVE:
        raise Refusal(f"{box.code} is no sleeve; M carries it to another place.")
    trees = tuple((("tree", key), name) for key, name in offers.trees(session))
    off = tuple((("off", kind), f"off it, into a new {kind}") for kind in INDOORS)
    options = (*trees, *off, (("off", None), "off it, given up"))
    hung = sleeves.trees_of_sleeves(session.book, [box.row], session.on).get(box_id)
    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: on another branch, or off the tree",
        (
            ChoiceField(
                "tree",
                "&Tree",
                options=options,
                value=("tree", hung) if hung is not None else offers.first(options),
            ),
            CountField("number", "&Counted"),
            CountField("lost", "Found &lost"),
            ChoiceField("cause", "to what ca&use", options=offers.CAUSES),
            ChoiceField(
                "place",
                "&Place",
                options=offers.place_options(session),
                value=offers.where_id(box, whole),
                hint="Where a new box stands that they go into",
            ),
            asking.when_field(session),
            NoteField("note", "&Note"),
        ),
        partial(_keep, session, box, offers.last_host(session, box)),
        today=session.on,
        verb="do it",
        caution=CAUTION,
        columns=2,
    )


def _keep(session: Session, box: BoxNow, host: str | None, answers: Answers) -> None:
    stage = offers.last_stage(box)
    which, value = asking.chosen(answers, "tree", tuple)
    lost = lost_of(answers, "lost", "cause", stage)
    with asking.renamed({"on": "when"}):
        verb: Callable[..., Touched] = sleeves.move_sleeve
        told: dict[str, object] = {"tree_id": value}
        if which == "off":
            eats = None if value is None or value.is_for_pupae else host
            place = asking.chosen(answers, "place", int)
            new = None if value is None else NewBox(value, place, host=eats)
            verb, told = take_down, {"into": new, "stage": stage}
        session.do(
            verb,
            box_id=box.row.id,
            when=asking.when(session, answers),
            number=answers.count("number"),
            losses=() if lost is None else (lost,),
            note=asking.words(answers, "note"),
            sure=answers.sure,
            **told,
        )
