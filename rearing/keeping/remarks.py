"""Notes as they are read on a page, newest first, and corrected there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.beside import around, shortened
from rearing.keeping.moments import short_day
from rearing.keeping.notes import written_note
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import NoteRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class Remark:
    """A note on the page where it is read; `where` is "" beside the thing itself."""

    id: int
    on: dt.date
    where: str
    text: str
    corrected: bool
    """Whether it was written otherwise at first; the journal has the first words."""


def correct_note(
    book: Book, entry: Entry, *, note_id: int, text: str, on: dt.date
) -> Touched:
    """Write a note otherwise; the journal keeps, and says, how it was before."""
    before = book.one(NoteRow, note_id)
    words = written_note(text)
    if words == before.text and on == before.on:
        raise Refusal("The note is as it was: nothing was corrected.", field="text")
    with book.change(entry) as pen:
        pen.change(t.Note, note_id, text=words, on=on)
        pen.subjects.add((before.subject, before.subject_id))
        pen.say(f"Note corrected: {_difference(before, words, on)}")
    return pen.touched


def _difference(before: NoteRow, text: str, on: dt.date) -> str:
    said = []
    if text != before.text:
        said.append(f"“{shortened(text)}” in place of “{shortened(before.text)}”")
    if on != before.on:
        said.append(f"{short_day(on)} in place of {short_day(before.on)}")
    return ", ".join(said)


def remarks_of(
    book: Book, subject: str, subject_id: int, on: dt.date
) -> tuple[Remark, ...]:
    """Return the notes of a thing's whole page up to a day, newest first."""
    names = around(book, subject, subject_id)
    found = book.all(
        NoteRow,
        t.Note.subject.in_({kind for kind, _ in names}),
        t.Note.subject_id.in_({row_id for _, row_id in names}),
        t.Note.on <= on,
        order=(t.Note.on.desc(), t.Note.id.desc()),
    )
    return tuple(
        Remark(
            note.id,
            note.on,
            names[note.subject, note.subject_id],
            note.text,
            corrected=note.version > 1,
        )
        for note in found
        if (note.subject, note.subject_id) in names
    )
