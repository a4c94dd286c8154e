"""Lamp nights as one plain table: a row for animals of one check that are called alike.

A night that was looked at without a moth has a row with the number 0; one that was
never looked at has a row without a number.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

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


def table_rows(handing: Handing) -> Iterator[dict[str, object]]:
    """Yield the table's rows, the nights in order."""
    for night in handing.recording.nights:
        own = _night(handing, night)
        for record in night.records:
            yield own | _record(night, record)
        if not night.records:
            yield own | {"number": 0 if night.counts.was_looked_at else ""}


def _night(handing: Handing, night: RecordedNight) -> dict[str, object]:
    row, here = night.counts.row, handing.where(night)
    hours = night.counts.lamp_hours
    return {
        "evening": row.evening.isoformat(),
        "site": night.counts.site.name,
        "station": row.station,
        "latitude": here.latitude,
        "longitude": here.longitude,
        "lamp": row.lamp,
        "counting": row.mode,
        "lamp_on": row.lamp_on.astimezone(night.zone).isoformat()
        if row.lamp_on
        else "",
        "lamp_off": (
            row.lamp_off.astimezone(night.zone).isoformat() if row.lamp_off else ""
        ),
        "lamp_hours": "" if hours is None else round(hours, 2),
        "start_c": "" if row.start_c is None else row.start_c,
        "end_c": "" if row.end_c is None else row.end_c,
        "weather": row.weather or "",
    }


def _record(night: RecordedNight, record: Record) -> dict[str, object]:
    at = record.check.at if record.check else None
    return {
        "check": at.astimezone(night.zone).isoformat() if at else "",
        "taxon": record.now.taxon,
        "sex": record.now.sex,
        # A kept moth that stands in no count must not be added up.
        "number": record.number if record.counts else "",
        "quality": record.quality,
        "first_taxon": record.first.taxon,
        "first_sex": record.first.sex,
        "called_by": record.now.who or "",
        "called_on": record.now.on.isoformat(),
        "how_sure": record.now.sure or "",
        "kept_as": record.moth.code if record.moth else "",
    }
