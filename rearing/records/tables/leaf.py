"""Host trees and the branches cut from them."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Kept


class Tree(Kept):
    """A host plant that is cut or sleeved, and until when it is closed."""

    __tablename__ = "tree"

    name: Mapped[str] = mapped_column(unique=True)
    host: Mapped[str]
    where: Mapped[str | None]
    owner: Mapped[str | None]
    closed_from: Mapped[dt.date | None]
    closed_until: Mapped[dt.date | None]
    closed_why: Mapped[str | None]
    note: Mapped[str | None]


class Cut(Kept):
    """Leaf cut on a day, from a tree or from somewhere nearby."""

    __tablename__ = "cut"

    tree_id: Mapped[int | None] = mapped_column(ForeignKey("tree.id"), index=True)
    host: Mapped[str]
    on: Mapped[dt.date]
    grams: Mapped[float | None]
    storage: Mapped[str | None]
    note: Mapped[str | None]
