"""What is done and seen at a box: visits, headcounts, stages, losses, moves."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Kept
from rearing.terms import Cause, Known, Measured, Quality, Stage, Visit


class BoxVisit(Kept):
    """One visit to a box or a pot: the commonest record of all."""

    __tablename__ = "visit"
    __table_args__ = (Index(None, "box_id", "on"),)

    box_id: Mapped[int | None] = mapped_column(ForeignKey("box.id"))
    pot_id: Mapped[int | None] = mapped_column(ForeignKey("egg_pot.id"), index=True)
    on: Mapped[dt.date] = mapped_column(index=True)
    at: Mapped[dt.datetime | None]
    what: Mapped[Visit]
    host: Mapped[str | None]
    cut_id: Mapped[int | None] = mapped_column(ForeignKey("cut.id"))
    grams: Mapped[float | None]
    note: Mapped[str | None]


class Headcount(Kept):
    """A count of all that live in a box, and what the book said before it."""

    __tablename__ = "headcount"
    __table_args__ = (Index(None, "box_id", "on"),)

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"))
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    number: Mapped[int]
    quality: Mapped[Quality]
    note: Mapped[str | None]


class StageLook(Kept):
    """A look at how far the animals of a box have come."""

    __tablename__ = "stage_look"
    __table_args__ = (Index(None, "box_id", "on"),)

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"))
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    quality: Mapped[Quality]
    note: Mapped[str | None]


class StageCount(Kept):
    """How many stood in one stage at a look, and how many of them at moulting rest."""

    __tablename__ = "stage_count"

    look_id: Mapped[int] = mapped_column(ForeignKey("stage_look.id"), index=True)
    stage: Mapped[Stage]
    number: Mapped[int]
    resting: Mapped[int]


class Loss(Kept):
    """Animals lost from a box, with the cause as it was judged."""

    __tablename__ = "loss"
    __table_args__ = (Index(None, "box_id", "on"),)

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"))
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    number: Mapped[int]
    stage: Mapped[Stage | None]
    cause: Mapped[Cause]
    known: Mapped[Known]
    note: Mapped[str | None]


class Move(Kept):
    """Animals moved into a box, from another box or from the pot they hatched in."""

    __tablename__ = "move"

    from_box_id: Mapped[int | None] = mapped_column(ForeignKey("box.id"), index=True)
    from_pot_id: Mapped[int | None] = mapped_column(
        ForeignKey("egg_pot.id"), index=True
    )
    to_box_id: Mapped[int] = mapped_column(ForeignKey("box.id"), index=True)
    on: Mapped[dt.date]
    at: Mapped[dt.datetime | None]
    number: Mapped[int]
    stage: Mapped[Stage | None]
    note: Mapped[str | None]


class Measurement(Kept):
    """One figure of one animal of a box: a head's width, a length, a mass."""

    __tablename__ = "measurement"
    __table_args__ = (Index(None, "box_id", "on"),)

    box_id: Mapped[int] = mapped_column(ForeignKey("box.id"))
    on: Mapped[dt.date]
    what: Mapped[Measured]
    value: Mapped[float]
    stage: Mapped[Stage | None]
    animal: Mapped[str | None]
    note: Mapped[str | None]
