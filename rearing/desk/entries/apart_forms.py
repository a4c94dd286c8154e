"""Forms of quarantine: a box set apart by judgement, and the end of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import DayField, TextField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import apart
from rearing.keeping.apart import apart_now, usual_end
from rearing.keeping.moments import short_day

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers
    from rearing.keeping.apart import ApartNow

HOW = (
    "Stock from elsewhere and wild-caught larvae: two weeks, or one instar. It is "
    "walked last, with forceps of its own."
)


def set_apart(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form that keeps a box apart, or ends that where it is kept so."""
    box, whole = offers.box_now(session, box_id)
    known = _known(session, box_id)
    if known is not None and known.set_apart_id is not None:
        return _end(session, theme, known, known.set_apart_id)

    def keep(answers: Answers) -> None:
        session.do(
            apart.set_apart,
            box_id=box_id,
            since=asking.day(answers, "since"),
            until=answers.day("until"),
            why=asking.words(answers, "why"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: keep apart",
        (
            TextField("why", "Wh&y", hint="Wild-caught, from another keeper, a doubt"),
            DayField("since", "&From", value=session.on, required=True),
            DayField(
                "until",
                "&Until",
                value=usual_end(session.shelf.defaults, session.on),
                hint="Left empty: until you end it",
            ),
        ),
        keep,
        today=session.on,
        verb="keep it apart",
        caution=asking.join("" if known is None else known.words, HOW),
    )


def _known(session: Session, box_id: int) -> ApartNow | None:
    found = apart_now(session.book, session.shelf, session.on)
    return next((one for one in found if one.box_id == box_id), None)


def _end(
    session: Session, theme: Theme, known: ApartNow, set_apart_id: int
) -> EntryForm:
    def keep(answers: Answers) -> None:
        session.do(
            apart.end_apart,
            set_apart_id=set_apart_id,
            on=asking.day(answers, "on"),
            sure=answers.sure,
        )

    died = ""
    if known.died_on is not None:
        died = f"The {known.died_of} death of {short_day(known.died_on)} still holds."
    return EntryForm(
        theme,
        f"{known.code}: no longer apart",
        (DayField("on", "&From", value=session.on, required=True),),
        keep,
        today=session.on,
        verb="end it",
        caution=asking.join(known.words, died),
    )
