"""Opening a file as a database, safely, and telling known storage trouble apart.

SQLite's own codes decide which trouble it is; the file's header is read before any
connection is made, so that a file which is not a book is never touched.
"""

from __future__ import annotations

import os
import sqlite3
import stat
import threading
from collections import Counter
from contextlib import closing, contextmanager, suppress
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import QueuePool

from rearing.problems import (
    LockedBook,
    NotABook,
    Problem,
    ReadOnlyBook,
    StorageTrouble,
    UnreadableFile,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sqlalchemy import Engine

APPLICATION_ID = 0x52454152  # "REAR", in the field SQLite keeps for this
_SQLITE_HEADER = b"SQLite format 3\x00"
_BUSY_MS = 3000

_AT_A_FILE = threading.Lock()
_HELD: Counter[tuple[int, int]] = Counter()
"""Files this program has open as books, by device and number, and how many times."""


def header_numbers(path: Path) -> tuple[int, int]:
    """Return the file's application id and user version, and touch nothing.

    Raises NotABook for a file that is not a SQLite database, StorageTrouble where it
    can't be read at all.

    A system that keeps locks by the process drops all of ours on a file when anything
    in this program closes it, and another program would then take the log of a book
    that is open here. A book that is held is therefore asked through SQLite.
    """
    with _AT_A_FILE:
        try:
            if _HELD[_number_of(path)]:
                with told_plainly(path.name):
                    return _asked_numbers(path)
            with path.open("rb") as file:
                head = file.read(100)
        except FileNotFoundError:
            raise StorageTrouble(f"There is no book at {path}.") from None
        except IsADirectoryError:
            raise NotABook(f"{path} is a folder, not a book.") from None
        except OSError as trouble:
            raise StorageTrouble(
                f"{path} can't be read: {trouble.strerror}."
            ) from trouble
    if len(head) < 100 or not head.startswith(_SQLITE_HEADER):
        raise NotABook(f"{path.name} is not a book. Nothing in it was touched.")
    return int.from_bytes(head[68:72], "big"), int.from_bytes(head[60:64], "big")


def _asked_numbers(path: Path) -> tuple[int, int]:
    address = f"{path.absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as connection:
        application_id, version = (
            int(connection.execute(f"PRAGMA {name}").fetchone()[0])
            for name in ("application_id", "user_version")
        )
    return application_id, version


def _number_of(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_dev, found.st_ino


def refuse_open_book(path: Path) -> None:
    """Refuse to read a book that is open as if it were some other file.

    Closing it again would drop this program's locks on it (see `header_numbers`).
    """
    with suppress(OSError):
        if _HELD[_number_of(path)]:
            raise UnreadableFile(
                f"{path.name} is a book that is open. Nothing was read."
            )


def refuse_read_only(path: Path) -> None:
    """Raise ReadOnlyBook where the book or its folder is marked as read-only."""
    _refuse_read_only(path, path.name)
    refuse_read_only_folder(path)


def refuse_read_only_folder(path: Path) -> None:
    """Raise ReadOnlyBook where the folder of a book can't be written."""
    # The log of the latest entries lies beside the book, so the folder counts too.
    _refuse_read_only(path.parent, f"The folder of {path.name}")


def _refuse_read_only(path: Path, what: str) -> None:
    # The mode is looked at, not only tried: an administrator's writes would succeed
    # on a file that its owner protected on purpose.
    anybody = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH
    if not path.stat().st_mode & anybody or not os.access(path, os.W_OK):
        raise ReadOnlyBook(
            f"{what} is read-only, so the book can't be written. Nothing was "
            "touched. Copy the book to a folder of your own and open it there."
        )


def start_file(path: Path) -> None:
    """Make a new database file that says it is a book, in WAL."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def remove_file(path: Path) -> None:
    """Remove a half-made database file of ours, and what SQLite keeps beside it."""
    for ending in ("", "-wal", "-shm", "-journal"):
        path.with_name(path.name + ending).unlink(missing_ok=True)


def connect(path: Path) -> Engine:
    """Return an engine on a SQLite file: WAL, foreign keys on, fully durable."""
    engine = create_engine(
        "sqlite+pysqlite://",
        creator=lambda: sqlite3.connect(
            path, timeout=_BUSY_MS / 1000, isolation_level=None, check_same_thread=False
        ),
        # Without a path in its address SQLAlchemy would take the book for a database in
        # memory and hand a thread's readers and its writer one and the same connection.
        poolclass=QueuePool,
    )

    number = _number_of(path)
    with _AT_A_FILE:
        _HELD[number] += 1

    @event.listens_for(engine, "engine_disposed", once=True)
    def _let_go(_: Engine) -> None:
        with _AT_A_FILE:
            _HELD[number] -= 1

    @event.listens_for(engine, "connect")
    def _prepare(connection: sqlite3.Connection, record: object) -> None:
        try:
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("PRAGMA synchronous = FULL")
        except sqlite3.Error:
            # Nobody else knows of it yet, and an open file would stay behind.
            connection.close()
            raise

    # With isolation_level None the driver never begins by itself, so that DDL rolls
    # back too; a writer takes its lock at once instead of half-way through.
    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        begin = connection.get_execution_options().get("begin", "BEGIN")
        connection.exec_driver_sql(begin)

    return engine


def trouble_from(error: DBAPIError | sqlite3.Error, name: str) -> Problem:
    """Return the sentence for a storage error, or the error's own where unknown."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    code = getattr(cause, "sqlite_errorcode", 0) & 0xFF
    if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return LockedBook(
            f"{name} is in use by another program. Nothing was written. Close the "
            "other program, or wait a moment, and try again."
        )
    if code == sqlite3.SQLITE_READONLY:
        return ReadOnlyBook(f"{name} can be read but not written. Nothing was touched.")
    if code == sqlite3.SQLITE_FULL:
        return StorageTrouble(
            f"The disk is full. This entry was not written into {name}; all earlier "
            "ones are safe. Free some space and enter it again."
        )
    if code == sqlite3.SQLITE_NOTADB:
        return NotABook(f"{name} is not a book. Nothing in it was touched.")
    if code in {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN}:
        return StorageTrouble(
            f"{name} can't be read as it should be ({cause}). Nothing was written. "
            "The copies beside the book are untouched."
        )
    raise error


@contextmanager
def told_plainly(name: str) -> Iterator[None]:
    """Turn known storage errors inside the block into a sentence for the keeper."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        raise trouble_from(error, name) from error
