"""The arrays behind the temperatures: their forms, and their way in and out."""

from __future__ import annotations

import datetime as dt
from contextlib import closing, contextmanager
from itertools import repeat
from typing import TYPE_CHECKING, Any

import numpy as np
from sqlalchemy import select

from rearing.problems import Cancelled
from rearing.records.book import Book, columns_of
from rearing.records.journal import Pen
from rearing.records.rows import ReadingImportRow
from rearing.records.tables import ReadingImport

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import ArrayLike, NDArray
    from sqlalchemy import Connection

    Source = Book | Pen | Connection

_CHUNK = 50_000
DAY_S = 86_400
INSTANTS = np.dtype([("at_s", "<i8"), ("celsius", "<f8")])
DAYS = np.dtype([("at_s", "<i8"), ("low_c", "<f8"), ("high_c", "<f8")])
_TABLES = {INSTANTS: "reading", DAYS: "daily_reading"}


@contextmanager
def lent(source: Source) -> Iterator[Connection]:
    """Lend a connection of a book, a pen's own, or the one that was given."""
    if isinstance(source, Book):
        with source.reading() as connection:
            yield connection
    elif isinstance(source, Pen):
        yield source.connection
    else:
        yield source


def midnight_s(day: ArrayLike) -> NDArray[np.int64]:
    """Return what days are kept under [s]."""
    # A day is kept under its own midnight in UTC: a label, whatever the place's zone.
    days: NDArray[np.int64] = np.asarray(day, dtype="datetime64[D]").astype(np.int64)
    return days * DAY_S


def day_of(at_s: int) -> dt.date:
    """Return the day that is kept under these seconds."""
    return dt.date(1970, 1, 1) + dt.timedelta(days=at_s // DAY_S)


def in_order(form: np.dtype[Any], at_s: ArrayLike, *columns: ArrayLike) -> NDArray[Any]:
    """Return the columns as one array in order of time; ValueError where they differ.

    Sorted stably, so that of two readings of one instant the first stays first.
    """
    instants = np.asarray(at_s, dtype=np.int64)
    values = [np.asarray(column, dtype=np.float64) for column in columns]
    if instants.ndim != 1 or any(value.shape != instants.shape for value in values):
        shapes = [value.shape for value in values]
        raise ValueError(f"{instants.shape} instants, but {shapes} temperatures")
    rows = np.empty(instants.size, dtype=form)
    for name, filled in zip(form.names or (), (instants, *values), strict=True):
        rows[name] = filled
    return rows[np.argsort(instants, kind="stable")]


def numbers_only(rows: NDArray[Any]) -> NDArray[Any]:
    """Return the rows whose every temperature is a number."""
    names = (rows.dtype.names or ())[1:]
    return rows[np.all([np.isfinite(rows[name]) for name in names], axis=0)]


def first_of_each(rows: NDArray[Any]) -> NDArray[Any]:
    """Return the rows, already in order, with each instant once: its first."""
    is_new = np.ones(rows.size, dtype=np.bool_)
    is_new[1:] = np.diff(rows["at_s"]) > 0
    return rows[is_new]


def write_rows(
    connection: Connection,
    import_id: int,
    rows: NDArray[Any],
    progress: Callable[[float], None] | None,
    cancelled: Callable[[], bool] | None,
) -> None:
    """Write an import's rows in chunks; between two of them it may be cancelled."""
    names = rows.dtype.names or ()
    marks = ", ".join("?" for _ in range(len(names) + 1))
    command = (
        f"INSERT INTO {_TABLES[rows.dtype]} (import_id, {', '.join(names)})"
        f" VALUES ({marks})"
    )
    # The driver's own cursor: no parameter mapping is built for each of a million rows.
    with closing(connection.connection.cursor()) as cursor:
        for start in range(0, rows.size, _CHUNK):
            if cancelled is not None and cancelled():
                raise Cancelled("Stopped. No reading of this import was kept.")
            part = rows[start : start + _CHUNK]
            columns = [part[name].tolist() for name in names]
            cursor.executemany(
                command, list(zip(repeat(import_id), *columns, strict=False))
            )
            if progress is not None:
                progress((start + part.size) / rows.size)


def standing_imports(
    connection: Connection, place_id: int
) -> tuple[ReadingImportRow, ...]:
    """Return a place's imports that aren't withdrawn, oldest first."""
    own = ReadingImport.__table__.c
    found = connection.execute(
        select(*columns_of(ReadingImportRow))
        .where(own.place_id == place_id, own.withdrawn.is_(False))
        .order_by(own.id)
    )
    return tuple(ReadingImportRow(*row) for row in found)


def rows_between(
    source: Source, place_id: int, form: np.dtype[Any], ends: tuple[float, float]
) -> NDArray[Any]:
    """Return the rows of a place's standing imports, each instant once, in order."""
    query = (
        f"SELECT {', '.join(form.names or ())} FROM {_TABLES[form]}"
        " WHERE import_id = ? AND at_s >= ? AND at_s < ? ORDER BY at_s"
    )
    # The driver would bind a numpy number as bytes, and find nothing.
    from_s, to_s = float(ends[0]), float(ends[1])
    parts = [np.empty(0, dtype=form)]
    with lent(source) as connection:
        for one in standing_imports(connection, place_id):
            reaches = one.last_s >= from_s and one.first_s < to_s
            if reaches and one.daily == (form == DAYS):
                with closing(connection.connection.cursor()) as cursor:
                    cursor.execute(query, (one.id, from_s, to_s))
                    parts.append(np.array(cursor.fetchall(), dtype=form))
    rows = np.concatenate(parts)
    if np.all(np.diff(rows["at_s"]) > 0):
        return rows
    return first_of_each(rows[np.argsort(rows["at_s"], kind="stable")])
