"""Broods, the eggs they began as, and the boxes they live in."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Kept
from rearing.terms import BoxKind, EggFate, ExitKind, Known, Quality


class Brood(Kept):
    """The offspring of one mother, or of one pairing."""

    __tablename__ = "brood"

    code: Mapped[str] = mapped_column(unique=True)
    taxon: Mapped[str]
    mother_id: Mapped[int | None] = mapped_column(ForeignKey("moth.id"), index=True)
    pairing_id: Mapped[int | None] = mapped_column(ForeignKey("pairing.id"), index=True)
    opened_on: Mapped[dt.date]
    note: Mapped[str | None]


class EggPot(Kept):
    """Where the eggs of a female-night, or of several, wait."""

    __tablename__ = "egg_pot"

    brood_id: Mapped[int] = mapped_column(ForeignKey("brood.id"), index=True)
    label: Mapped[str]
    opened_on: Mapped[dt.date]
    closed_on: Mapped[dt.date | None]
    note: Mapped[str | None]


class Laying(Kept):
    """The eggs one female gave in one night: the unit in which eggs are counted."""

    __tablename__ = "laying"

    brood_id: Mapped[int] = mapped_column(ForeignKey("brood.id"), index=True)
    mother_id: Mapped[int | None] = mapped_column(ForeignKey("moth.id"), index=True)
    pot_id: Mapped[int] = mapped_column(ForeignKey("egg_pot.id"), index=True)
    evening: Mapped[dt.date]
    number: Mapped[int]
    quality: Mapped[Quality]
    note: Mapped[str | None]


class EggOutcome(Kept):
    """What became of some eggs of a pot; the rest are waiting."""

    __tablename__ = "egg_outcome"

    pot_id: Mapped[int] = mapped_column(ForeignKey("egg_pot.id"), index=True)
    fate: Mapped[EggFate]
    number: Mapped[int]
    on: Mapped[dt.date]
    known: Mapped[Known]
    note: Mapped[str | None]


class Box(Kept):
    """What part of a brood lives in: box, bottle, cage, sleeve, tub."""

    __tablename__ = "box"

    brood_id: Mapped[int] = mapped_column(ForeignKey("brood.id"), index=True)
    label: Mapped[str]
    kind: Mapped[BoxKind]
    host: Mapped[str | None]
    tree_id: Mapped[int | None] = mapped_column(ForeignKey("tree.id"))
    opened_on: Mapped[dt.date]
    closed_on: Mapped[dt.date | None]
    closed_why: Mapped[str | None]
    note: Mapped[str | None]
    tools: Mapped[str | None]


class MixedFrom(Kept):
    """A brood that a mixed line was made of: its animals are *one of* them."""

    __tablename__ = "mixed_from"

    brood_id: Mapped[int] = mapped_column(ForeignKey("brood.id"), index=True)
    source_id: Mapped[int] = mapped_column(ForeignKey("brood.id"), index=True)
    on: Mapped[dt.date]


class SleeveMove(Kept):
    """A sleeve put on another branch: of its tree, or of another one."""

    __tablename__ = "sleeve_move"

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"), index=True)
    tree_id: Mapped[int | None] = mapped_column(ForeignKey("tree.id"), index=True)
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    note: Mapped[str | None]


class SetApart(Kept):
    """A box kept apart by the keeper's own judgement, besides what deaths ask for."""

    __tablename__ = "set_apart"

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"), index=True)
    since: Mapped[dt.date]
    until: Mapped[dt.date | None]
    ended_on: Mapped[dt.date | None]
    why: Mapped[str | None]


class Exit(Kept):
    """Animals that left a box alive, or for the cabinet."""

    __tablename__ = "exit"

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"), index=True)
    kind: Mapped[ExitKind]
    number: Mapped[int]
    stage: Mapped[str | None]
    to_whom: Mapped[str | None]
    where: Mapped[str | None]
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    note: Mapped[str | None]
