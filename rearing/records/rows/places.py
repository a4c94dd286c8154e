"""Rows of places, stays and imports of temperatures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from rearing.records import tables
from rearing.records.rows.base import Row

if TYPE_CHECKING:
    import datetime as dt


@dataclass(frozen=True, slots=True)
class PlaceRow(Row):
    """A room, shelf, fridge, shed or tree where stock stands; in walking order."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Place

    name: str
    walking_order: int
    set_point_c: float | None
    spread_c: float | None
    outdoors: bool
    leaf_life_days: float | None
    note: str | None


@dataclass(frozen=True, slots=True)
class StayRow(Row):
    """A box or a pot at a place, from one moment to another or until now."""

    TABLE: ClassVar[type[tables.Kept]] = tables.Stay

    box_id: int | None
    pot_id: int | None
    place_id: int
    from_at: dt.datetime
    to_at: dt.datetime | None


@dataclass(frozen=True, slots=True)
class ReadingImportRow(Row):
    """One column of one file of temperatures; a withdrawn one is not counted."""

    TABLE: ClassVar[type[tables.Kept]] = tables.ReadingImport

    place_id: int | None
    file_name: str
    column: str
    daily: bool
    first_s: int
    last_s: int
    number: int
    set_aside: int
    words: str
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class ReadingSetAsideRow(Row):
    """A line of an imported file that was not taken, kept with its reason."""

    TABLE: ClassVar[type[tables.Kept]] = tables.ReadingSetAside

    import_id: int
    line: int
    text: str
    reason: str


@dataclass(frozen=True, slots=True)
class ForecastDayRow(Row):
    """A day of a short weather forecast as it was given; a later one takes over."""

    TABLE: ClassVar[type[tables.Kept]] = tables.ForecastDay

    place_id: int
    day: dt.date
    low_c: float
    high_c: float
    given_on: dt.date


@dataclass(frozen=True, slots=True)
class PlaceFollowRow(Row):
    """The keeper's word on which place another follows; the latest one holds."""

    TABLE: ClassVar[type[tables.Kept]] = tables.PlaceFollow

    place_id: int
    other_id: int | None
    chosen_on: dt.date
