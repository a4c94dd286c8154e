"""Taking temperatures in: a column of a file becomes the readings of a place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.moments import counted
from rearing.records.readings import Origin, add_daily, add_readings
from rearing.records.rows import PlaceRow, ReadingImportRow

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import ArrayLike

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched

__all__ = ["Origin", "take_daily_in", "take_readings_in"]


def take_readings_in(
    book: Book,
    entry: Entry,
    *,
    origin: Origin,
    at_s: ArrayLike,
    celsius: ArrayLike,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Touched:
    """Take in readings by the instant; those the place has already are left out."""
    place = book.one(PlaceRow, origin.place_id)
    with book.change(entry) as pen:
        pen.new_id = add_readings(
            pen, origin, at_s, celsius, progress=progress, cancelled=cancelled
        )
        taken = pen.all(ReadingImportRow, ReadingImportRow.TABLE.id == pen.new_id)[0]
        pen.subjects.add(("place", place.id))
        pen.say(
            f"{counted(taken.number, 'reading')} for {place.name} from "
            f"{origin.file_name}"
        )
    return pen.touched


def take_daily_in(
    book: Book,
    entry: Entry,
    *,
    origin: Origin,
    day: ArrayLike,
    low_c: ArrayLike,
    high_c: ArrayLike,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Touched:
    """Take in the lowest and highest of days; known days are left out."""
    place = book.one(PlaceRow, origin.place_id)
    with book.change(entry) as pen:
        pen.new_id = add_daily(
            pen, origin, day, low_c, high_c, progress=progress, cancelled=cancelled
        )
        taken = pen.all(ReadingImportRow, ReadingImportRow.TABLE.id == pen.new_id)[0]
        pen.subjects.add(("place", place.id))
        pen.say(
            f"{counted(taken.number, 'day')} for {place.name} from {origin.file_name}"
        )
    return pen.touched
