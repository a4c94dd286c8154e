"""The book: one file, opened safely, written one change at a time, read as rows."""

from __future__ import annotations

import dataclasses
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Self, TypeVar

from sqlalchemy import select, text
from sqlalchemy.exc import DatabaseError, OperationalError

from rearing.problems import NewerBook, NotABook, Refusal, StorageTrouble
from rearing.records import journal, schema
from rearing.records.engine import (
    APPLICATION_ID,
    connect,
    header_numbers,
    refuse_read_only,
    refuse_read_only_folder,
    remove_file,
    start_file,
    told_plainly,
)
from rearing.records.journal import Entry, JournalLine, Pen, Touched

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator
    from pathlib import Path

    from sqlalchemy import ColumnElement, Connection, Engine, Select

    from rearing.records.rows import Row

R = TypeVar("R", bound="Row")

SUFFIX = ".rearing"


class Book:
    """An open book. Read with `all` and `one`; write inside `change`."""

    def __init__(self, path: Path, engine: Engine) -> None:
        self.path = path
        self._engine = engine

    @classmethod
    def make(cls, path: Path) -> Self:
        """Make a new, empty book; an existing file is never overwritten."""
        if path.exists():
            raise StorageTrouble(f"{path.name} exists already; it was left alone.")
        if not path.parent.is_dir():
            raise StorageTrouble(f"There is no folder {path.parent}.")
        refuse_read_only_folder(path)
        # Made under another name: a book is there whole, or not at all.
        unfinished = path.with_name(path.name + ".unfinished")
        remove_file(unfinished)
        try:
            _make_at(unfinished, path.name)
            unfinished.rename(path)
        except BaseException:
            remove_file(unfinished)
            raise
        return cls(path, connect(path))

    @classmethod
    def open(cls, path: Path, *, now: dt.datetime | None = None) -> Self:
        """Open a book; an older one is copied, verified and then brought up to date.

        `now` names the copy made before a migration; without it an older book is
        refused. Raises NotABook, NewerBook, ReadOnlyBook, LockedBook or
        StorageTrouble, and touches nothing when it does.
        """
        application, version = header_numbers(path)
        if application != APPLICATION_ID:
            raise NotABook(
                f"{path.name} is a database of another program, not a book. "
                "Nothing in it was touched."
            )
        _refuse_newer(path.name, version)
        refuse_read_only(path)
        engine = connect(path)
        try:
            with told_plainly(path.name):
                # Asked again under the lock: after a crash the number in the file's
                # head may be older than the one in its log.
                version = _version_under_lock(engine)
                _refuse_newer(path.name, version)
                if version < schema.VERSION:
                    _bring_up_to_date(path, engine, now)
        except BaseException:
            engine.dispose()
            raise
        return cls(path, engine)

    def close(self) -> None:
        """Close the file; everything entered is already in it."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *details: object) -> None:
        self.close()

    @property
    def engine(self) -> Engine:
        """The engine, for long jobs that bring their own connection."""
        return self._engine

    @contextmanager
    def change(self, entry: Entry) -> Iterator[Writing]:
        """Open one change: all of it is written and journalled, or none of it."""
        with self._writing() as connection:
            pen = Writing(connection, entry)
            yield pen
            pen.touched = pen.close(entry)

    def take_back(self, entry: Entry, *, sure: bool = False) -> Touched:
        """Take back the latest change that stands, and say what it was."""
        with self._writing() as connection:
            return journal.take_back(connection, entry, sure=sure)

    def do_again(self, entry: Entry) -> Touched:
        """Do again what was taken back last."""
        with self._writing() as connection:
            return journal.do_again(connection, entry)

    def journal(self, *, most: int = 200) -> tuple[JournalLine, ...]:
        """Return the latest lines of the journal, newest first."""
        with self._reading() as connection:
            return journal.lines(connection, most=most)

    def all(
        self,
        kind: type[R],
        *where: ColumnElement[bool],
        order: tuple[Any, ...] = (),
    ) -> tuple[R, ...]:
        """Return the rows of a kind that meet every condition, by id if not told."""
        query = _query(kind, where, order)
        with self._reading() as connection:
            # all at once: fetched one by one, a row costs half as much again
            return tuple(kind(*row) for row in connection.execute(query).all())

    def one(self, kind: type[R], row_id: int) -> R:
        """Return one row by its id."""
        found = self.all(kind, kind.TABLE.id == row_id)
        if not found:
            raise Refusal("That line is no longer in the book.")
        return found[0]

    def find(self, kind: type[R], *where: ColumnElement[bool]) -> R | None:
        """Return the first row that meets every condition, or None."""
        found = self.all(kind, *where)
        return found[0] if found else None

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Lend a connection for a query of the records' own."""
        with self._reading() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Lend a short transaction the journal does not keep.

        Only for rows outside the journal, which a row of it makes count.
        """
        with self._writing() as connection:
            yield connection

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        # A connection for each read: threads don't share one, and the next read sees
        # other people's entries too.
        with told_plainly(self.path.name), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with told_plainly(self.path.name):
            connection = self._engine.connect().execution_options(
                begin="BEGIN IMMEDIATE"
            )
            try:
                with connection.begin():
                    yield connection
            finally:
                connection.close()

    def unsound(self) -> tuple[str, ...]:
        """Return what SQLite finds wrong with the file; empty when it is sound."""
        faults: list[str] = []
        with self._reading() as connection:
            for search in (_spoilt_pages, _missing_ends):
                try:
                    faults += search(connection)
                except OperationalError:
                    raise
                except DatabaseError as spoilt:
                    # Too far gone to be searched through: that too is a finding.
                    faults.append(str(spoilt.orig))
        return tuple(faults)


class Writing(Pen):
    """A pen on an open change of one book."""

    def __init__(self, connection: Connection, entry: Entry) -> None:
        super().__init__(connection)
        self.entry = entry
        self.touched = Touched(0, "")

    def all(
        self, kind: type[R], *where: ColumnElement[bool], order: tuple[Any, ...] = ()
    ) -> tuple[R, ...]:
        """Return rows as this change sees them."""
        query = _query(kind, where, order)
        return tuple(kind(*row) for row in self.connection.execute(query))


def _query(
    kind: type[R], where: tuple[ColumnElement[bool], ...], order: tuple[Any, ...]
) -> Select[Any]:
    columns = columns_of(kind)
    query = select(*columns).where(*where).order_by(*(order or (columns[0],)))
    # A condition on a mapped attribute has the statement compiled for mapped objects,
    # for which every class is set up first: a tenth of the time to the first picture,
    # and rows are all that is read here. There is no public way to say so.
    query._propagate_attrs = type(query._propagate_attrs)()
    return query


def columns_of(kind: type[R]) -> tuple[Any, ...]:
    """Return the columns that a kind of row is made of, in the row's order."""
    columns = kind.TABLE.__table__.c
    return tuple(columns[field.name] for field in dataclasses.fields(kind))


def _spoilt_pages(connection: Connection) -> list[str]:
    found = connection.execute(text("PRAGMA integrity_check"))
    return [row[0] for row in found if row[0] != "ok"]


def _missing_ends(connection: Connection) -> list[str]:
    return [
        f"a line of {row[0]} points at a missing line of {row[2]}"
        for row in connection.execute(text("PRAGMA foreign_key_check"))
    ]


def _make_at(path: Path, name: str) -> None:
    with told_plainly(name):
        start_file(path)
        engine = connect(path)
        try:
            schema.upgrade(engine)
        finally:
            engine.dispose()


def _refuse_newer(name: str, version: int) -> None:
    if version > schema.VERSION:
        raise NewerBook(
            f"{name} was made by a newer program (its form is {version}, this "
            f"program knows {schema.VERSION}). Nothing was touched; open it with "
            "the newer program."
        )


def _version_under_lock(engine: Engine) -> int:
    connection = engine.connect().execution_options(begin="BEGIN IMMEDIATE")
    try:
        with connection.begin():
            return int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
    finally:
        connection.close()


def _bring_up_to_date(path: Path, engine: Engine, now: dt.datetime | None) -> None:
    if now is None:
        raise StorageTrouble(
            f"{path.name} is of an older form. Nothing was touched; open it with its "
            "window first, which keeps a copy and brings it up to date."
        )
    schema.upgrade_safely(path, engine, now)
