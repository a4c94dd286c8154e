"""What every table shares: names for constraints, stored forms, id and version."""

from __future__ import annotations

import datetime as dt
from enum import StrEnum
from typing import TYPE_CHECKING, Any, ClassVar

from sqlalchemy import Date, MetaData, String, Text, TypeDecorator
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from rearing import terms

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlalchemy.engine import Dialect

# SQLite can drop a constraint later only if it has a name.
_NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Instant(TypeDecorator[dt.datetime]):
    """An aware moment, stored as ISO 8601 text in UTC so that a person can read it."""

    impl = String(24)
    cache_ok = True

    def process_bind_param(
        self, value: dt.datetime | None, dialect: Dialect
    ) -> str | None:
        """Return the stored text."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no time zone")
        return value.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def result_processor(
        self, dialect: Dialect, coltype: object
    ) -> Callable[[str | None], dt.datetime | None]:
        """Return what turns stored text into the aware moment."""
        # not through SQLAlchemy's own wrapper, which costs more than the reading
        return _moment


def _moment(value: str | None) -> dt.datetime | None:
    return None if value is None else dt.datetime.fromisoformat(value)


class Word(TypeDecorator[StrEnum]):
    """A word of the trade, stored as its value.

    SQLAlchemy's own enum type looks a word up by its name and costs a quarter of the
    reading of a large round; one dictionary serves here.
    """

    impl = String(32)
    cache_ok = True

    def __init__(self, words: type[StrEnum]) -> None:
        super().__init__()
        self.words = words

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Return the stored text; a word that is none of these is a ValueError."""
        return None if value is None else self.words(value).value

    def result_processor(
        self, dialect: Dialect, coltype: object
    ) -> Callable[[str | None], StrEnum | None]:
        """Return what turns stored text into the word."""
        known: dict[str | None, StrEnum | None] = {w.value: w for w in self.words}
        known[None] = None
        return known.__getitem__


_WORDS = [
    kind
    for kind in vars(terms).values()
    if isinstance(kind, type) and issubclass(kind, StrEnum) and kind is not StrEnum
]


class Base(DeclarativeBase):
    """The declarative base of the book."""

    metadata = MetaData(naming_convention=_NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        str: Text,
        dt.date: Date,
        dt.datetime: Instant,
        **{kind: Word(kind) for kind in _WORDS},
    }


class Kept(Base):
    """A table whose rows are journalled: an id, and a counter of its changes."""

    __abstract__ = True

    id: Mapped[int] = mapped_column(primary_key=True)
    version: Mapped[int] = mapped_column(default=1, server_default="1")
