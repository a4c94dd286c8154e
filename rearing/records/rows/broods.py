"""Rows of broods, eggs, boxes and exits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt

    from rearing.terms import BoxKind, EggFate, ExitKind, Known, Quality


@dataclass(frozen=True, slots=True)
class BroodRow(Row):
    """The offspring of one mother, or of one pairing."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Brood

    code: str
    taxon: str
    mother_id: int | None
    pairing_id: int | None
    opened_on: dt.date
    note: str | None


@dataclass(frozen=True, slots=True)
class EggPotRow(Row):
    """Where the eggs of a female-night, or of several, wait."""

    TABLE: ClassVar[type[tables.Kept]] = tables.EggPot

    brood_id: int
    label: str
    opened_on: dt.date
    closed_on: dt.date | None
    note: str | None


@dataclass(frozen=True, slots=True)
class LayingRow(Row):
    """The eggs one female gave in one night: the unit in which eggs are counted."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Laying

    brood_id: int
    mother_id: int | None
    pot_id: int
    evening: dt.date
    number: int
    quality: Quality
    note: str | None


@dataclass(frozen=True, slots=True)
class EggOutcomeRow(Row):
    """What became of some eggs of a pot; the rest are waiting."""

    TABLE: ClassVar[type[tables.Kept]] = tables.EggOutcome

    pot_id: int
    fate: EggFate
    number: int
    on: dt.date
    known: Known
    note: str | None


@dataclass(frozen=True, slots=True)
class BoxRow(Row):
    """What part of a brood lives in: box, bottle, cage, sleeve, tub."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Box

    brood_id: int
    label: str
    kind: BoxKind
    host: str | None
    tree_id: int | None
    opened_on: dt.date
    closed_on: dt.date | None
    closed_why: str | None
    note: str | None
    tools: str | None


@dataclass(frozen=True, slots=True)
class ExitRow(Row):
    """Animals that left a box alive, or for the cabinet."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Exit

    box_id: int
    kind: ExitKind
    number: int
    stage: str | None
    to_whom: str | None
    where: str | None
    on: dt.date
    at: dt.datetime | None
    note: str | None


@dataclass(frozen=True, slots=True)
class MixedFromRow(Row):
    """A brood that a mixed line was made of: its animals are *one of* them."""

    TABLE: ClassVar[type[tables.Kept]] = tables.MixedFrom

    brood_id: int
    source_id: int
    on: dt.date


@dataclass(frozen=True, slots=True)
class SleeveMoveRow(Row):
    """A sleeve put on another branch: of its tree, or of another one."""

    TABLE: ClassVar[type[tables.Kept]] = tables.SleeveMove

    box_id: int
    tree_id: int | None
    on: dt.date
    at: dt.datetime | None
    note: str | None


@dataclass(frozen=True, slots=True)
class SetApartRow(Row):
    """A box kept apart by the keeper's own judgement, besides what deaths ask for."""

    TABLE: ClassVar[type[tables.Kept]] = tables.SetApart

    box_id: int
    since: dt.date
    until: dt.date | None
    ended_on: dt.date | None
    why: str | None
