"""Rows of trees, cuts, notes and facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt

    from rearing.terms import TreeSign


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
    gone_on: dt.date | None


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


@dataclass(frozen=True, slots=True)
class TreeDayRow(Row):
    """A day of a tree's year: bud burst, leaf-drop and what lies between."""

    TABLE: ClassVar[type[tables.Kept]] = tables.TreeDay

    tree_id: int
    sign: TreeSign
    on: dt.date
    note: str | None


@dataclass(frozen=True, slots=True)
class LeafTestRow(Row):
    """A few larvae put on leaf of a suspect tree, and how many lived."""

    TABLE: ClassVar[type[tables.Kept]] = tables.LeafTest

    tree_id: int
    box_id: int | None
    begun_on: dt.date
    number: int
    judged_on: dt.date | None
    alive: int | None
    note: str | None


@dataclass(frozen=True, slots=True)
class PhotoRow(Row):
    """A picture beside something; the file lies beside the book by its content."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Photo

    subject: str
    subject_id: int
    on: dt.date
    at: dt.datetime | None
    content: str
    suffix: str
    width: int
    height: int
    size: int
    caption: str | None


@dataclass(frozen=True, slots=True)
class AwayRow(Row):
    """Days on which the keeper will not be there, the first and the last of them."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Away

    first_on: dt.date
    last_on: dt.date
    note: str | None
