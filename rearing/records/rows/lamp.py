"""Rows of the night book."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt

    from rearing.terms import CountingMode, Known, Quality, Sex, Sure


@dataclass(frozen=True, slots=True)
class SiteRow(Row):
    """Where a lamp stands, or a line comes from."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Site

    name: str
    latitude: float
    longitude: float
    elevation_m: float | None
    zone: str
    grid: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class LampNightRow(Row):
    """One lamp through one night, dated by the evening it was lit."""

    TABLE: ClassVar[type[tables.Kept]] = tables.LampNight

    site_id: int
    station: str
    evening: dt.date
    lamp: str
    lamp_on: dt.datetime | None
    lamp_off: dt.datetime | None
    mode: CountingMode
    start_c: float | None
    end_c: float | None
    weather: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class OutageRow(Row):
    """A time in the night when the lamp was dark."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Outage

    night_id: int
    from_at: dt.datetime
    to_at: dt.datetime
    why: str | None


@dataclass(frozen=True, slots=True)
class CheckRow(Row):
    """One look at the sheet."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Check

    night_id: int
    at: dt.datetime | None
    known: Known
    temperature_c: float | None
    note: str | None


@dataclass(frozen=True, slots=True)
class ArrivalRow(Row):
    """So many of a kind at one check, as first called."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Arrival

    check_id: int
    taxon: str
    sex: Sex
    number: int
    quality: Quality
    note: str | None


@dataclass(frozen=True, slots=True)
class DeterminationRow(Row):
    """A later call on some of an arrival, or on one moth; the latest counts."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Determination

    arrival_id: int | None
    moth_id: int | None
    number: int
    taxon: str
    sex: Sex
    who: str | None
    on: dt.date
    sure: Sure
    note: str | None
