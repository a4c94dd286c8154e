"""Readings written a little at a time, so that no entry waits for a file.

The rows of an import are put down first, of no place and withdrawn: nobody reads them.
The change that gives the import its place makes them count, all at once. Should the
program end before, nothing of it is ever seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, select

from rearing.problems import Cancelled, Refusal
from rearing.records.reading_arrays import DAYS, standing_imports, write_rows
from rearing.records.readings import add_import, fresh_rows
from rearing.records.tables import (
    DailyReading,
    Reading,
    ReadingImport,
    ReadingSetAside,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from rearing.records.book import Book
    from rearing.records.journal import Pen
    from rearing.records.readings import Origin

CHUNK = 20_000
"""Rows put down in one go: some 50 ms, in which an entry has to wait."""


@dataclass(frozen=True, slots=True)
class Laid:
    """An import whose rows are in the book and do not count yet."""

    import_id: int
    number: int
    daily: bool
    known: frozenset[int]
    """The place's imports as they stood when it was asked what is new."""


def lay_in(
    book: Book,
    origin: Origin,
    rows: NDArray[Any],
    progress: Callable[[float], None] | None,
    cancelled: Callable[[], bool] | None,
) -> Laid:
    """Put down the rows the place has not yet; they count only once `made_to_count`.

    Refusal when nothing is new; Cancelled when `cancelled()` says so, and then what was
    put down is taken up again.
    """
    with book.reading() as connection:
        known = frozenset(
            one.id for one in standing_imports(connection, origin.place_id)
        )
        fresh, left_out = fresh_rows(connection, origin, rows)
    with book.writing() as connection:
        import_id = add_import(connection, origin, fresh, left_out)
    laid = Laid(import_id, fresh.size, fresh.dtype == DAYS, known)
    try:
        for start in range(0, fresh.size, CHUNK):
            if cancelled is not None and cancelled():
                raise Cancelled("Stopped. No reading of this import was kept.")
            part = fresh[start : start + CHUNK]
            with book.writing() as connection:
                write_rows(connection, import_id, part, None, None)
            if progress is not None:
                progress((start + part.size) / fresh.size)
    except BaseException:
        take_up(book, laid)
        raise
    return laid


def take_up(book: Book, laid: Laid) -> None:
    """Remove what was put down and never counted, a little at a time."""
    kind = DailyReading if laid.daily else Reading
    some = (
        select(kind.at_s).where(kind.import_id == laid.import_id).limit(CHUNK)
    ).scalar_subquery()
    own_rows = delete(kind).where(kind.import_id == laid.import_id, kind.at_s.in_(some))
    left = True
    while left:
        with book.writing() as connection:
            left = connection.execute(own_rows).rowcount > 0
    with book.writing() as connection:
        for own in (ReadingSetAside.import_id, ReadingImport.id):
            connection.execute(delete(own.class_).where(own == laid.import_id))


def made_to_count(pen: Pen, laid: Laid, place_id: int) -> None:
    """Give an import its place: from here on its rows are read. One journalled change.

    Refusal when the place was read in anew since: the same might count twice.
    """
    now = {one.id for one in standing_imports(pen.connection, place_id)}
    if now - laid.known:
        raise Refusal(
            "Other temperatures of that place were taken in meanwhile. Look at the "
            "file again: what is new in it may have changed."
        )
    pen.change(ReadingImport, laid.import_id, withdrawn=False, place_id=place_id)
