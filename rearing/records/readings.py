"""Temperatures by the million: taken in by the column, read back as arrays.

Readings are not journalled one by one; the import they came with is. Taking an import
back marks it as withdrawn, and what came with it is then no longer read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from sqlalchemy import insert

from rearing.problems import Refusal
from rearing.records.reading_arrays import (
    DAY_S,
    DAYS,
    INSTANTS,
    day_of,
    first_of_each,
    in_order,
    lent,
    midnight_s,
    numbers_only,
    rows_between,
    standing_imports,
    write_rows,
)
from rearing.records.tables import ReadingImport, ReadingSetAside

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Sequence

    from numpy.typing import ArrayLike, NDArray
    from sqlalchemy import Connection

    from rearing.records.journal import Pen
    from rearing.records.reading_arrays import Source
    from rearing.records.rows import ReadingImportRow


class LineSetAside(Protocol):
    """A line of a file that was not taken: where, what it said, why not."""

    @property
    def line(self) -> int: ...  # noqa: D102 - the class says it
    @property
    def text(self) -> str: ...  # noqa: D102 - the class says it
    @property
    def reason(self) -> str: ...  # noqa: D102 - the class says it


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a column of temperatures comes from, and what was left out of it.

    `set_aside` may hold fewer lines than were set aside; `set_aside_number` counts all.
    """

    place_id: int
    file_name: str
    column: str
    words: str = ""
    set_aside: Sequence[LineSetAside] = ()
    set_aside_number: int | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """What a place has been read: its imports, oldest first, and how far they reach.

    Instants and daily values are told apart; each is None or 0 where there are none.
    """

    first_s: int | None
    last_s: int | None
    number: int
    first_day: dt.date | None
    last_day: dt.date | None
    days: int
    imports: tuple[ReadingImportRow, ...]


def add_readings(
    pen: Pen,
    origin: Origin,
    at_s: ArrayLike,
    celsius: ArrayLike,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> int:
    """Take in temperatures by the instant and return the id of their import.

    `at_s` are epoch seconds, in any order. Instants the place has a reading of already
    are left out and counted in the import's words, and so are values that are no
    number. Raises Refusal when nothing new is left, Cancelled when `cancelled()` says
    so; either undoes the change it stands in.
    """
    rows = in_order(INSTANTS, at_s, celsius)
    return _take_in(pen, origin, rows, progress, cancelled)


def add_daily(  # noqa: PLR0913 - a long job brings its progress and its stop
    pen: Pen,
    origin: Origin,
    day: ArrayLike,
    low_c: ArrayLike,
    high_c: ArrayLike,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> int:
    """Take in lowest and highest temperatures by the day, as `add_readings` does.

    `day` (datetime64[D]) is the keeper's calendar day. A lowest above its highest is a
    ValueError that names the day.
    """
    rows = daily_rows(day, low_c, high_c)
    return _take_in(pen, origin, rows, progress, cancelled)


def daily_rows(day: ArrayLike, low_c: ArrayLike, high_c: ArrayLike) -> NDArray[Any]:
    """Return days in order; a lowest above its highest is a ValueError."""
    rows = in_order(DAYS, midnight_s(day), low_c, high_c)
    upside_down = rows[rows["low_c"] > rows["high_c"]]
    if upside_down.size:
        at_s, low, high = upside_down[0].item()
        raise ValueError(f"{day_of(at_s)}: the lowest, {low} °C, is above {high} °C")
    return rows


def readings_between(
    source: Source, place_id: int, from_s: float, to_s: float
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Return a place's instants [s] and temperatures [°C], `to_s` not included.

    In order of time, one reading an instant: of two, the one that came first.
    """
    rows = rows_between(source, place_id, INSTANTS, (from_s, to_s))
    return rows["at_s"].copy(), rows["celsius"].copy()


def daily_between(
    source: Source, place_id: int, from_day: dt.date, to_day: dt.date
) -> tuple[NDArray[np.datetime64], NDArray[np.float64], NDArray[np.float64]]:
    """Return a place's days, lowest and highest [°C], `to_day` not included."""
    ends = midnight_s(np.array([from_day, to_day], dtype="datetime64[D]"))
    rows = rows_between(source, place_id, DAYS, (int(ends[0]), int(ends[1])))
    days = (rows["at_s"] // DAY_S).astype("datetime64[D]")
    return days, rows["low_c"].copy(), rows["high_c"].copy()


def not_yet_in(source: Source, place_id: int, at_s: ArrayLike) -> NDArray[np.bool_]:
    """Return which instants [s] the place has no reading of yet; for a preview."""
    return _unread(source, place_id, INSTANTS, np.asarray(at_s, dtype=np.int64))


def days_not_yet_in(source: Source, place_id: int, day: ArrayLike) -> NDArray[np.bool_]:
    """Return which days (datetime64[D]) the place has no daily reading of yet."""
    return _unread(source, place_id, DAYS, midnight_s(day))


def span(source: Source, place_id: int) -> Span:
    """Return how far a place's temperatures reach, and its imports that stand."""
    with lent(source) as connection:
        imports = standing_imports(connection, place_id)
    instants = [one for one in imports if not one.daily]
    daily = [one for one in imports if one.daily]
    return Span(
        first_s=min((one.first_s for one in instants), default=None),
        last_s=max((one.last_s for one in instants), default=None),
        number=sum(one.number for one in instants),
        first_day=min((day_of(one.first_s) for one in daily), default=None),
        last_day=max((day_of(one.last_s) for one in daily), default=None),
        days=sum(one.number for one in daily),
        imports=imports,
    )


def _take_in(
    pen: Pen,
    origin: Origin,
    rows: NDArray[Any],
    progress: Callable[[float], None] | None,
    cancelled: Callable[[], bool] | None,
) -> int:
    fresh, left_out = fresh_rows(pen, origin, rows)
    import_id = add_import(pen.connection, origin, fresh, left_out)
    write_rows(pen.connection, import_id, fresh, progress, cancelled)
    # The pen's change, not the adding, is what the journal keeps: taken back, the
    # import is withdrawn and of no place again, and a million rows stay where they are.
    pen.change(ReadingImport, import_id, withdrawn=False, place_id=origin.place_id)
    return import_id


def fresh_rows(
    source: Source, origin: Origin, rows: NDArray[Any]
) -> tuple[NDArray[Any], str]:
    """Return the rows a place has not yet, and in words what is left out.

    A place that is none yet (`place_id` 0) has nothing. Refusal when nothing is new.
    """
    offered = numbers_only(rows)
    once = first_of_each(offered)
    fresh = once[_unread(source, origin.place_id, rows.dtype, once["at_s"])]
    if not fresh.size:
        raise Refusal(
            f"Nothing new in {origin.file_name}, column {origin.column}: "
            + (
                f"all {offered.size:,} readings are in the book already."
                if offered.size
                else "it holds no reading."
            )
        )
    return fresh, _left_out(rows, offered, once, fresh)


def _left_out(
    rows: NDArray[Any], offered: NDArray[Any], once: NDArray[Any], fresh: NDArray[Any]
) -> str:
    counted = (
        (rows.size - offered.size, "without a number"),
        (offered.size - once.size, "twice in the file"),
        (once.size - fresh.size, "in the book already"),
    )
    told = [f"{number:,} {why}" for number, why in counted if number]
    return f"Left out: {', '.join(told)}." if told else ""


def add_import(
    connection: Connection, origin: Origin, rows: NDArray[Any], left_out: str
) -> int:
    """Add the import that rows belong to, of no place yet, and return its id."""
    lines = origin.set_aside
    counted = origin.set_aside_number
    result = connection.execute(
        insert(ReadingImport).values(
            file_name=origin.file_name,
            column=origin.column,
            daily=rows.dtype == DAYS,
            first_s=int(rows["at_s"][0]),
            last_s=int(rows["at_s"][-1]),
            number=rows.size,
            set_aside=len(lines) if counted is None else counted,
            words=" ".join(word for word in (origin.words, left_out) if word),
            withdrawn=True,
        )
    )
    import_id = int((result.inserted_primary_key or (0,))[0])
    told = [
        {"import_id": import_id, "line": a.line, "text": a.text, "reason": a.reason}
        for a in lines
    ]
    if told:
        connection.execute(insert(ReadingSetAside), told)
    return import_id


def _unread(
    source: Source, place_id: int, form: np.dtype[Any], at_s: NDArray[np.int64]
) -> NDArray[np.bool_]:
    if not at_s.size:
        return np.zeros(0, dtype=np.bool_)
    ends = (int(at_s.min()), int(at_s.max()) + 1)
    known = rows_between(source, place_id, form, ends)["at_s"]
    found: NDArray[np.bool_] = np.isin(at_s, known, invert=True)
    return found
