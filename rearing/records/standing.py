"""The latest entry that stands, and which rows it wrote."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from rearing.records.journal import Line
from rearing.records.tables import Change, ChangeRow

if TYPE_CHECKING:
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Standing:
    """An entry that was not taken back: its sentence, and (table, id) of its rows."""

    change_id: int
    sentence: str
    subjects: tuple[tuple[str, int], ...]


def last_standing(book: Book) -> Standing | None:
    """Return the entry that taking back would reach, None when there is none."""
    latest = (
        select(Change.id, Change.sentence)
        .where(Change.kind == Line.ENTRY, Change.undone.is_(False))
        .order_by(Change.id.desc())
        .limit(1)
    )
    with book.reading() as connection:
        line = connection.execute(latest).one_or_none()
        if line is None:
            return None
        rows = connection.execute(
            select(ChangeRow.table_name, ChangeRow.row_id)
            .where(ChangeRow.change_id == line.id)
            .order_by(ChangeRow.id)
        ).all()
    return Standing(line.id, line.sentence, tuple((row[0], row[1]) for row in rows))


def codes_told(book: Book, words: str) -> tuple[str, ...]:
    """Return what the journal's sentences that begin so say next, undone ones too."""
    found = select(Change.sentence).where(Change.sentence.startswith(words))
    with book.reading() as connection:
        sentences = connection.execute(found).scalars().all()
    return tuple(
        sentence.removeprefix(words).partition(",")[0] for sentence in sentences
    )
