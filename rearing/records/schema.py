"""The form of the book, and how an older book is brought to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy.exc import DBAPIError

from rearing.problems import StorageTrouble
from rearing.records.copies import copy_beside
from rearing.records.engine import trouble_from

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from alembic.config import Config
    from sqlalchemy import Engine

    from rearing.problems import Problem

VERSION = 3
"""Number of the current form, kept in the file's header as its user version."""


def upgrade_safely(path: Path, engine: Engine, now: dt.datetime) -> Path:
    """Copy the book, verify the copy, then migrate; returns the copy's path."""
    from alembic.util import CommandError

    copy = copy_beside(path, f"before-form-{VERSION}", now)
    try:
        upgrade(engine)
    except (DBAPIError, CommandError) as error:
        raise _not_upgraded(error, path, copy) from error
    return copy


def _not_upgraded(error: Exception, path: Path, copy: Path) -> Problem:
    try:
        if isinstance(error, DBAPIError):
            return trouble_from(error, path.name)
    except DBAPIError:
        # No trouble of the disk: the file isn't laid out as its number says.
        pass
    return StorageTrouble(
        f"{path.name} could not be brought to the form this program needs. Nothing in "
        f"it was changed, and there is a copy of it: {copy.name}."
    )


def upgrade(engine: Engine) -> None:
    """Run every migration the book lacks, with foreign keys off and checked after.

    SQLite rebuilds a table to alter it; with the keys on, that would empty the tables
    that point at it.
    """
    from alembic import command

    with engine.connect().execution_options(begin="BEGIN IMMEDIATE") as connection:
        # Outside any transaction, where SQLite would ignore it in silence.
        bare = connection.connection.driver_connection
        if bare is None:
            raise StorageTrouble("The book closed while it was being opened.")
        bare.execute("PRAGMA foreign_keys = OFF")
        try:
            with connection.begin():
                config = _config()
                config.attributes["connection"] = connection
                command.upgrade(config, "head")
                broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
                if broken:
                    raise StorageTrouble(
                        "The book could not be brought to the new form: lines would "
                        "have lost what they point at. Nothing was changed."
                    )
                connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")
        finally:
            bare.execute("PRAGMA foreign_keys = ON")
        bare.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _config() -> Config:
    from alembic.config import Config as Settings

    config = Settings()
    config.set_main_option("script_location", "rearing.records:migrations")
    return config
