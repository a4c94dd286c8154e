"""Taking temperatures in: a column of a file becomes the readings of a place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rearing.keeping.moments import counted
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.disagreement import Disagreement, disagreement
from rearing.records.laying_in import Laid, lay_in, made_to_count, take_up
from rearing.records.reading_arrays import INSTANTS, in_order
from rearing.records.readings import (
    Origin,
    add_daily,
    add_readings,
    daily_rows,
    days_not_yet_in,
    not_yet_in,
)
from rearing.records.rows import PlaceRow, ReadingImportRow

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry, Touched
    from rearing.records.readings import LineSetAside

__all__ = [
    "Arriving",
    "FileOrigin",
    "Origin",
    "new_words",
    "take_daily_in",
    "take_file_in",
    "take_readings_in",
]


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


@dataclass(frozen=True, slots=True, eq=False)
class Arriving:
    """A column of a file, and the place whose temperatures it holds.

    `place_id` is a place of the book; without it `new_place` names one to be added.
    `celsius` belongs to instants [s since 1970]; `low_c` and `high_c` to days.
    """

    column: str
    place_id: int | None = None
    new_place: str = ""
    at_s: ArrayLike | None = None
    celsius: ArrayLike | None = None
    day: ArrayLike | None = None
    low_c: ArrayLike | None = None
    high_c: ArrayLike | None = None


@dataclass(frozen=True, slots=True)
class FileOrigin:
    """The file all columns come from, and the lines of it that were set aside."""

    file_name: str
    words: str = ""
    set_aside: Sequence[LineSetAside] = ()
    set_aside_number: int = 0


def take_file_in(
    book: Book,
    entry: Entry,
    *,
    origin: FileOrigin,
    arriving: Sequence[Arriving],
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Touched:
    """Take several columns of one file in as one change, with the places they need.

    The rows are put down a little at a time, so that entries made meanwhile need not
    wait, and count all at once when the change is made.

    A column that brings nothing new is passed over; when none does, it is refused.
    """
    _refuse_shared_places(arriving)
    laid: list[tuple[Arriving, Laid]] = []
    known, differing = 0, Disagreement()
    try:
        for number, column in enumerate(arriving):
            rows, place_id = _rows_of(column), _place_id(book, column)
            fresh = int(_fresh(book, place_id, column).sum())
            known += len(rows) - fresh
            differing += disagreement(book, place_id, rows)
            if fresh:
                share = _share_of(progress, number, len(arriving))
                whole = _whole_origin(origin, place_id, column)
                laid.append((column, lay_in(book, whole, rows, share, cancelled)))
        if not laid:
            raise _nothing_new(origin, known, differing)
        return _let_count(book, entry, laid, (origin, known, differing))
    except BaseException:
        for _, one in laid:
            take_up(book, one)
        raise


def new_words(book: Book, column: Arriving) -> str:
    """Return how much of a column is new to its place, before it is taken in."""
    place_id = _place_id(book, column)
    is_fresh = _fresh(book, place_id, column)
    fresh, known = int(is_fresh.sum()), int((~is_fresh).sum())
    if not known:
        return "all new"
    differing = disagreement(book, place_id, _rows_of(column))
    apart = f" ({differing.words})" if differing.number else ""
    if not fresh:
        return f"nothing new: all in the book already{apart}"
    return f"{fresh:,} new, {known:,} in the book already{apart}"


def _let_count(
    book: Book,
    entry: Entry,
    laid: Sequence[tuple[Arriving, Laid]],
    rest: tuple[FileOrigin, int, Disagreement],
) -> Touched:
    """Give what was put down its places: one short change that can be taken back."""
    told: list[str] = []
    with book.change(entry) as pen:
        for column, one in laid:
            place = _place_for(pen, column)
            made_to_count(pen, one, place.id)
            pen.new_id = one.import_id
            told.append(_taken_words(pen, place))
            pen.subjects.add(("place", place.id))
        pen.say(_file_sentence(told, *rest))
    return pen.touched


def _nothing_new(origin: FileOrigin, known: int, differing: Disagreement) -> Refusal:
    apart = f"; {differing.words}" if differing.number else ""
    return Refusal(
        f"Nothing new in {origin.file_name}: all {known:,} temperatures are in the "
        f"book already{apart}."
    )


def _rows_of(column: Arriving) -> NDArray[Any]:
    """Return a column's rows in order of time."""
    if column.day is not None and column.low_c is not None:
        high_c = column.low_c if column.high_c is None else column.high_c
        return daily_rows(column.day, column.low_c, high_c)
    if column.at_s is None or column.celsius is None:
        raise ValueError(f"column {column.column} has neither instants nor days")
    return in_order(INSTANTS, column.at_s, column.celsius)


def _place_id(book: Book, column: Arriving) -> int:
    """Return the place of a column; 0 for one that is still to be added."""
    name = column.new_place.strip()
    for place in book.all(PlaceRow):
        if place.id == column.place_id or (name and place.name == name):
            return place.id
    if column.place_id is not None:
        raise Refusal("That place is no longer in the book.")
    return 0


def _whole_origin(origin: FileOrigin, place_id: int, column: Arriving) -> Origin:
    return Origin(
        place_id,
        origin.file_name,
        column.column,
        origin.words,
        origin.set_aside,
        origin.set_aside_number,
    )


def _refuse_shared_places(arriving: Sequence[Arriving]) -> None:
    names = [column.place_id or column.new_place.strip() for column in arriving]
    if not names:
        raise Refusal("Say for at least one column whose temperatures it holds.")
    if "" in names:
        raise Refusal("A new place needs a name.")
    if len(set(names)) < len(names):
        raise Refusal(
            "Two columns are meant for one place. A place has one temperature: "
            "choose which, or name another place."
        )


def _place_for(pen: Writing, column: Arriving) -> PlaceRow:
    standing = pen.all(PlaceRow)
    name = column.new_place.strip()
    for place in standing:
        if place.id == column.place_id or (name and place.name == name):
            return place
    if column.place_id is not None:
        raise Refusal("That place is no longer in the book.")
    last = max((place.walking_order for place in standing), default=0)
    new_id = pen.add(t.Place, name=name, walking_order=last + 1, outdoors=False)
    return next(place for place in pen.all(PlaceRow) if place.id == new_id)


def _fresh(book: Book, place_id: int, column: Arriving) -> NDArray[np.bool_]:
    if column.day is not None:
        return days_not_yet_in(book, place_id, column.day)
    return not_yet_in(book, place_id, column.at_s if column.at_s is not None else ())


def _share_of(
    progress: Callable[[float], None] | None, number: int, many: int
) -> Callable[[float], None] | None:
    if progress is None:
        return None

    def tell(share: float) -> None:
        progress((number + share) / many)

    return tell


def _taken_words(pen: Writing, place: PlaceRow) -> str:
    taken = pen.all(ReadingImportRow, ReadingImportRow.TABLE.id == pen.new_id)[0]
    thing = "day" if taken.daily else "reading"
    many = "" if taken.number == 1 else "s"
    return f"{taken.number:,} {thing}{many} for {place.name}"


def _file_sentence(
    told: Sequence[str], origin: FileOrigin, known: int, differing: Disagreement
) -> str:
    left = [f"{known:,} in the book already"] if known else []
    if differing.number:
        left[0] += f" ({differing.words})"
    if origin.set_aside_number:
        left.append(f"{origin.set_aside_number:,} set aside")
    rest = f"; {', '.join(left)}" if left else ""
    return f"{', '.join(told)} from {origin.file_name}{rest}"
