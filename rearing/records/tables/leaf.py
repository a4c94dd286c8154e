"""Host trees and the branches cut from them."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Kept
from rearing.terms import TreeSign


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
    gone_on: Mapped[dt.date | None]


class TreeDay(Kept):
    """A day of a tree's year: bud burst, leaf-drop and what lies between."""

    __tablename__ = "tree_day"

    tree_id: Mapped[int] = mapped_column(ForeignKey("tree.id"), index=True)
    sign: Mapped[TreeSign]
    on: Mapped[dt.date]
    note: Mapped[str | None]


class LeafTest(Kept):
    """A few larvae put on leaf of a suspect tree, and how many lived."""

    __tablename__ = "leaf_test"

    tree_id: Mapped[int] = mapped_column(ForeignKey("tree.id"), index=True)
    box_id: Mapped[int | None] = mapped_column(ForeignKey("box.id"), index=True)
    begun_on: Mapped[dt.date]
    number: Mapped[int]
    judged_on: Mapped[dt.date | None]
    alive: Mapped[int | None]
    note: Mapped[str | None]
