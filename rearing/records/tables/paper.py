"""Notes in the margin, the book's own facts, and the journal of every change."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Base, Kept


class Note(Kept):
    """Free text beside a box, brood, female, tree, night or pot."""

    __tablename__ = "note"
    __table_args__ = (Index(None, "subject", "subject_id"),)

    subject: Mapped[str]
    subject_id: Mapped[int]
    on: Mapped[dt.date]
    text: Mapped[str]


class Photo(Kept):
    """A picture beside something; the file lies beside the book by its content."""

    __tablename__ = "photo"
    __table_args__ = (Index(None, "subject", "subject_id"),)

    subject: Mapped[str]
    subject_id: Mapped[int]
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    content: Mapped[str] = mapped_column(index=True)
    suffix: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    size: Mapped[int]
    caption: Mapped[str | None]


class Away(Kept):
    """Days on which the keeper will not be there, the first and the last of them."""

    __tablename__ = "away"

    first_on: Mapped[dt.date]
    last_on: Mapped[dt.date]
    note: Mapped[str | None]


class Fact(Kept):
    """A fact about the book itself: the home's name, its zone, the keeper."""

    __tablename__ = "fact"

    name: Mapped[str] = mapped_column(unique=True)
    value: Mapped[str]


class Change(Base):
    """One line of the journal: what was written, when, by whom."""

    __tablename__ = "change"

    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[dt.datetime]
    on: Mapped[dt.date]
    who: Mapped[str]
    kind: Mapped[str]
    sentence: Mapped[str]
    undone: Mapped[bool] = mapped_column(index=True)
    about_id: Mapped[int | None] = mapped_column(ForeignKey("change.id"))


class ChangeRow(Base):
    """One row before and after a change, as JSON; enough to take it back."""

    __tablename__ = "change_row"

    id: Mapped[int] = mapped_column(primary_key=True)
    change_id: Mapped[int] = mapped_column(ForeignKey("change.id"), index=True)
    table_name: Mapped[str]
    row_id: Mapped[int]
    before: Mapped[str | None]
    after: Mapped[str | None]
