"""Rows of trees, cuts, notes and facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt


@dataclass(frozen=True, slots=True)
class TreeRow(Row):
    """A host plant that is cut or sleeved, and until when it is closed."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Tree

    name: str
    host: str
    where: str | None
    owner: str | None
    closed_from: dt.date | None
    closed_until: dt.date | None
    closed_why: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class CutRow(Row):
    """Leaf cut on a day, from a tree or from somewhere nearby."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Cut

    tree_id: int | None
    host: str
    on: dt.date
    grams: float | None
    storage: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class NoteRow(Row):
    """Free text beside a box, brood, female, tree, night or pot."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Note

    subject: str
    subject_id: int
    on: dt.date
    text: str


@dataclass(frozen=True, slots=True)
class FactRow(Row):
    """A fact about the book itself: the home's name, its zone, the keeper."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Fact

    name: str
    value: str
