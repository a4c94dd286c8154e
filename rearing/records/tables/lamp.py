"""Sites, lamp nights, the checks of a night, what came, and what it was called."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from rearing.records.tables.base import Kept
from rearing.terms import CountingMode, Known, Quality, Sex, Sure


class Site(Kept):
    """Where a lamp stands, or a line comes from."""

    __tablename__ = "site"

    name: Mapped[str] = mapped_column(unique=True)
    latitude: Mapped[float]
    longitude: Mapped[float]
    elevation_m: Mapped[float | None]
    zone: Mapped[str]
    grid: Mapped[str | None]
    note: Mapped[str | None]


class LampNight(Kept):
    """One lamp through one night, dated by the evening it was lit."""

    __tablename__ = "lamp_night"
    __table_args__ = (UniqueConstraint("site_id", "evening", "station"),)

    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    station: Mapped[str]
    evening: Mapped[dt.date] = mapped_column(index=True)
    lamp: Mapped[str]
    lamp_on: Mapped[dt.datetime | None]
    lamp_off: Mapped[dt.datetime | None]
    mode: Mapped[CountingMode]
    start_c: Mapped[float | None]
    end_c: Mapped[float | None]
    weather: Mapped[str | None]
    note: Mapped[str | None]


class Outage(Kept):
    """A time in the night when the lamp was dark."""

    __tablename__ = "outage"

    night_id: Mapped[int] = mapped_column(ForeignKey("lamp_night.id"), index=True)
    from_at: Mapped[dt.datetime]
    to_at: Mapped[dt.datetime]
    why: Mapped[str | None]


class Check(Kept):
    """One look at the sheet."""

    __tablename__ = "lamp_check"

    night_id: Mapped[int] = mapped_column(ForeignKey("lamp_night.id"), index=True)
    at: Mapped[dt.datetime | None]
    known: Mapped[Known]
    temperature_c: Mapped[float | None]
    note: Mapped[str | None]


class Arrival(Kept):
    """So many of a kind at one check, as first called."""

    __tablename__ = "arrival"

    check_id: Mapped[int] = mapped_column(ForeignKey("lamp_check.id"), index=True)
    taxon: Mapped[str] = mapped_column(index=True)
    sex: Mapped[Sex]
    number: Mapped[int]
    quality: Mapped[Quality]
    note: Mapped[str | None]


class Determination(Kept):
    """A later call on some of an arrival, or on one moth; the latest counts."""

    __tablename__ = "determination"

    arrival_id: Mapped[int | None] = mapped_column(ForeignKey("arrival.id"), index=True)
    moth_id: Mapped[int | None] = mapped_column(ForeignKey("moth.id"), index=True)
    number: Mapped[int]
    taxon: Mapped[str]
    sex: Mapped[Sex]
    who: Mapped[str | None]
    on: Mapped[dt.date]
    sure: Mapped[Sure]
    note: Mapped[str | None]
