"""Notes in the margin of anything that has a page or a line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.beside import refuse_unknown
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import NoteRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


def add_note(
    book: Book, entry: Entry, *, subject: str, subject_id: int, text: str, on: dt.date
) -> Touched:
    """Write a note beside a box, brood, moth, pot, tree or night."""
    refuse_unknown(subject)
    words = written_note(text)
    with book.change(entry) as pen:
        pen.new_id = pen.add(
            t.Note, subject=subject, subject_id=subject_id, on=on, text=words
        )
        pen.subjects.add((subject, subject_id))
        pen.say(f"Note: {words[:60]}")
    return pen.touched


def written_note(text: str) -> str:
    """Return the words of a note, or refuse an empty one."""
    if not text.strip():
        raise Refusal("The note is empty.", field="text")
    return text.strip()


def notes_of(
    book: Book, subject: str, subject_id: int, on: dt.date
) -> tuple[NoteRow, ...]:
    """Return the notes beside one thing itself up to a day, oldest first."""
    return book.all(
        NoteRow,
        t.Note.subject == subject,
        t.Note.subject_id == subject_id,
        t.Note.on <= on,
        order=(t.Note.on, t.Note.id),
    )
