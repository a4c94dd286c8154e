"""The form for a note beside anything, which says what it is beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import Answers, DayField, NoteField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import notes
from rearing.keeping.moments import day_words
from rearing.records.rows import BroodRow, LampNightRow, MothRow, TreeRow

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme


def note(
    session: Session, theme: Theme, subject: str, subject_id: int, name: str = ""
) -> EntryForm:
    """Return the form for a note beside a box, brood, moth, pot, tree or night."""

    def keep(answers: Answers) -> None:
        session.do(
            notes.add_note,
            subject=subject,
            subject_id=subject_id,
            text=answers.text("text"),
            on=asking.day(answers, "on"),
        )

    return EntryForm(
        theme,
        f"Note on {name or named(session, subject, subject_id)}",
        (
            NoteField("text", "N&ote", required=True),
            DayField("on", "O&n", value=session.on, required=True),
        ),
        keep,
        today=session.on,
    )


def named(session: Session, subject: str, subject_id: int) -> str:
    """Return what a note stands beside, as a keeper calls it."""
    book = session.book
    if subject == "box":
        return offers.box_now(session, subject_id)[0].code
    if subject == "egg_pot":
        return offers.pot_now(session, subject_id)[0].code
    if subject == "lamp_night":
        evening = book.one(LampNightRow, subject_id).evening
        return f"the night of {day_words(evening)}"
    if subject == "tree":
        return book.one(TreeRow, subject_id).name
    if subject == "brood":
        return book.one(BroodRow, subject_id).code
    return book.one(MothRow, subject_id).code
