"""Lamp nights as one plain table: a row for animals of one check that are called alike.

A night that was looked at without a moth has a row with the number 0; one that was
never looked at has a row without a number.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, Value, table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rearing.exchange.archive_rows import Handing
    from rearing.keeping.recording import Record, RecordedNight

HEADINGS = (
    "evening",
    "site",
    "station",
    "latitude",
    "longitude",
    "lamp",
    "counting",
    "lamp_on",
    "lamp_off",
    "lamp_hours",
    "start_c",
    "end_c",
    "weather",
    "check",
    "taxon",
    "sex",
    "number",
    "quality",
    "first_taxon",
    "first_sex",
    "called_by",
    "called_on",
    "how_sure",
    "kept_as",
)


def night_table(handing: Handing) -> Table:
    """Return the nights as a table, in order."""
    rows = ([row.get(name) for name in HEADINGS] for row in _rows(handing))
    return table("Lamp nights", HEADINGS, rows)


def _rows(handing: Handing) -> Iterator[dict[str, Value]]:
    for night in handing.recording.nights:
        own = _night(handing, night)
        for record in night.records:
            yield own | _record(night, record)
        if not night.records:
            yield own | {"number": 0 if night.counts.was_looked_at else None}


def _night(handing: Handing, night: RecordedNight) -> dict[str, Value]:
    row, here = night.counts.row, handing.where(night)
    hours = night.counts.lamp_hours
    return {
        "evening": row.evening,
        "site": night.counts.site.name,
        "station": row.station,
        "latitude": here.latitude,
        "longitude": here.longitude,
        "lamp": row.lamp,
        "counting": row.mode,
        "lamp_on": row.lamp_on.astimezone(night.zone) if row.lamp_on else None,
        "lamp_off": row.lamp_off.astimezone(night.zone) if row.lamp_off else None,
        "lamp_hours": hours,
        "start_c": row.start_c,
        "end_c": row.end_c,
        "weather": row.weather,
    }


def _record(night: RecordedNight, record: Record) -> dict[str, Value]:
    at = record.check.at if record.check else None
    return {
        "check": at.astimezone(night.zone) if at else None,
        "taxon": record.now.taxon,
        "sex": record.now.sex,
        # A kept moth that stands in no count must not be added up.
        "number": record.number if record.counts else None,
        "quality": record.quality,
        "first_taxon": record.first.taxon,
        "first_sex": record.first.sex,
        "called_by": record.now.who,
        "called_on": record.now.on,
        "how_sure": record.now.sure,
        "kept_as": record.moth.code if record.moth else None,
    }
