"""The form of the book, and how an older book is brought to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.problems import StorageTrouble
from rearing.records.copies import copy_beside

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from alembic.config import Config
    from sqlalchemy import Engine

VERSION = 1
"""Number of the current form, kept in the file's header as its user version."""


def upgrade_safely(path: Path, engine: Engine, now: dt.datetime) -> Path:
    """Copy the book, verify the copy, then migrate; returns the copy's path."""
    copy = copy_beside(path, f"before-form-{VERSION}", now)
    upgrade(engine)
    return copy


def upgrade(engine: Engine) -> None:
    """Run every migration the book lacks, with foreign keys off and checked after.

    SQLite rebuilds a table to alter it; with the keys on, that would empty the tables
    that point at it.
    """
    from alembic import command

    with engine.connect() as connection:
        # Outside any transaction, where SQLite would ignore it in silence.
        bare = connection.connection.driver_connection
        if bare is None:
            raise StorageTrouble("The book closed while it was being opened.")
        bare.execute("PRAGMA foreign_keys = OFF")
        with connection.begin():
            config = _config()
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
            if broken:
                raise StorageTrouble(
                    "The book could not be brought to the new form: lines would have "
                    "lost what they point at. Nothing was changed."
                )
            connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")
        bare.execute("PRAGMA foreign_keys = ON")
        bare.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _config() -> Config:
    from alembic.config import Config as Settings

    config = Settings()
    config.set_main_option("script_location", "rearing.records:migrations")
    return config
