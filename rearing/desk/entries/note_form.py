"""The forms for a note beside anything, which say what it is beside."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.entries import asking
from rearing.desk.widgets.fields import Answers, DayField, NoteField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import notes, remarks
from rearing.keeping.beside import name_of
from rearing.records.rows import NoteRow

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
        f"Note on {name or name_of(session.book, subject, subject_id)}",
        (
            NoteField("text", "N&ote", required=True),
            DayField("on", "O&n", value=session.on, required=True),
        ),
        keep,
        today=session.on,
    )


def correct_note(session: Session, theme: Theme, note_id: int) -> EntryForm:
    """Return the form that writes a note otherwise; the journal keeps the first."""
    row = session.book.one(NoteRow, note_id)
    name = name_of(session.book, row.subject, row.subject_id)

    def keep(answers: Answers) -> None:
        session.do(
            remarks.correct_note,
            note_id=note_id,
            text=answers.text("text"),
            on=asking.day(answers, "on"),
        )

    return EntryForm(
        theme,
        f"Correct the note on {name}",
        (
            NoteField("text", "N&ote", value=row.text, required=True),
            DayField("on", "O&n", value=row.on, required=True),
        ),
        keep,
        today=session.on,
        verb="correct it",
    )
