"""Rows of visits, counts, stages, losses and moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt

    from rearing.terms import Cause, Known, Measured, Quality, Stage, Visit


@dataclass(frozen=True, slots=True)
class BoxVisitRow(Row):
    """One visit to a box or a pot: the commonest record of all."""

    TABLE: ClassVar[type[tables.Kept]] = tables.BoxVisit

    box_id: int | None
    pot_id: int | None
    on: dt.date
    at: dt.datetime | None
    what: Visit
    host: str | None
    cut_id: int | None
    grams: float | None
    note: str | None


@dataclass(frozen=True, slots=True)
class HeadcountRow(Row):
    """A count of all that live in a box, and what the book said before it."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Headcount

    box_id: int
    on: dt.date
    at: dt.datetime | None
    number: int
    quality: Quality
    note: str | None


@dataclass(frozen=True, slots=True)
class StageLookRow(Row):
    """A look at how far the animals of a box have come."""

    TABLE: ClassVar[type[tables.Kept]] = tables.StageLook

    box_id: int
    on: dt.date
    at: dt.datetime | None
    quality: Quality
    note: str | None


@dataclass(frozen=True, slots=True)
class StageCountRow(Row):
    """How many stood in one stage at a look, and how many of them at moulting rest."""

    TABLE: ClassVar[type[tables.Kept]] = tables.StageCount

    look_id: int
    stage: Stage
    number: int
    resting: int


@dataclass(frozen=True, slots=True)
class LossRow(Row):
    """Animals lost from a box, with the cause as it was judged."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Loss

    box_id: int
    on: dt.date
    at: dt.datetime | None
    number: int
    stage: Stage | None
    cause: Cause
    known: Known
    note: str | None


@dataclass(frozen=True, slots=True)
class MoveRow(Row):
    """Animals moved into a box, from another box or from the pot they hatched in."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Move

    from_box_id: int | None
    from_pot_id: int | None
    to_box_id: int
    on: dt.date
    at: dt.datetime | None
    number: int
    stage: Stage | None
    note: str | None


@dataclass(frozen=True, slots=True)
class MeasurementRow(Row):
    """One figure of one animal of a box: a head's width, a length, a mass."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Measurement

    box_id: int
    on: dt.date
    what: Measured
    value: float
    stage: Stage | None
    animal: str | None
    note: str | None
