"""Places, who stood where from when to when, and the temperatures that were read."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Base, Kept


class Place(Kept):
    """A room, shelf, fridge, shed or tree where stock stands; in walking order."""

    __tablename__ = "place"

    name: Mapped[str] = mapped_column(unique=True)
    walking_order: Mapped[int]
    set_point_c: Mapped[float | None]
    spread_c: Mapped[float | None]
    outdoors: Mapped[bool]
    leaf_life_days: Mapped[float | None]
    note: Mapped[str | None]


class Stay(Kept):
    """A box or a pot at a place, from one moment to another or until now."""

    __tablename__ = "stay"

    box_id: Mapped[int | None] = mapped_column(ForeignKey("box.id"), index=True)
    pot_id: Mapped[int | None] = mapped_column(ForeignKey("egg_pot.id"), index=True)
    place_id: Mapped[int] = mapped_column(ForeignKey("place.id"), index=True)
    from_at: Mapped[dt.datetime]
    to_at: Mapped[dt.datetime | None]


class ReadingImport(Kept):
    """One column of one file of temperatures; a withdrawn one is not counted."""

    __tablename__ = "reading_import"

    # None while withdrawn: the place's own entry can then be taken back as well.
    place_id: Mapped[int | None] = mapped_column(ForeignKey("place.id"), index=True)
    file_name: Mapped[str]
    column: Mapped[str]
    daily: Mapped[bool]
    first_s: Mapped[int]
    last_s: Mapped[int]
    number: Mapped[int]
    set_aside: Mapped[int]
    words: Mapped[str]
    withdrawn: Mapped[bool]


class Reading(Base):
    """One temperature at one moment, as it was read."""

    __tablename__ = "reading"
    __table_args__ = {"sqlite_with_rowid": False}

    import_id: Mapped[int] = mapped_column(
        ForeignKey("reading_import.id"), primary_key=True
    )
    at_s: Mapped[int] = mapped_column(primary_key=True)
    celsius: Mapped[float]


class DailyReading(Base):
    """The lowest and highest temperature of one day, as they were read."""

    __tablename__ = "daily_reading"
    __table_args__ = {"sqlite_with_rowid": False}

    import_id: Mapped[int] = mapped_column(
        ForeignKey("reading_import.id"), primary_key=True
    )
    at_s: Mapped[int] = mapped_column(primary_key=True)
    low_c: Mapped[float]
    high_c: Mapped[float]


class ReadingSetAside(Kept):
    """A line of an imported file that was not taken, kept with its reason."""

    __tablename__ = "reading_set_aside"
    __table_args__ = (Index(None, "import_id", "line"),)

    import_id: Mapped[int] = mapped_column(ForeignKey("reading_import.id"))
    line: Mapped[int]
    text: Mapped[str]
    reason: Mapped[str]


class ForecastDay(Kept):
    """A day of a short weather forecast as it was given; a later one takes over."""

    __tablename__ = "forecast_day"
    __table_args__ = (Index(None, "place_id", "day"),)

    place_id: Mapped[int] = mapped_column(ForeignKey("place.id"))
    day: Mapped[dt.date]
    low_c: Mapped[float]
    high_c: Mapped[float]
    given_on: Mapped[dt.date]


class PlaceFollow(Kept):
    """The keeper's word on which place another follows; the latest one holds."""

    __tablename__ = "place_follow"

    place_id: Mapped[int] = mapped_column(ForeignKey("place.id"), index=True)
    # None: it follows none.
    other_id: Mapped[int | None] = mapped_column(ForeignKey("place.id"))
    chosen_on: Mapped[dt.date]
