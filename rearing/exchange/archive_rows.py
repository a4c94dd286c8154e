"""The rows of a Darwin Core Archive of lamp nights, as dictionaries by term."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.exchange.coordinates import Spot, spot
from rearing.keeping.moments import day_words
from rearing.terms import CountingMode, Known, Quality, Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Mapping

    from rearing.keeping.night_counts import CheckCounts
    from rearing.keeping.recording import (
        Naming,
        Record,
        RecordedNight,
        Recording,
    )

RowOf = dict[str, object]

_WAYS = {
    CountingMode.NEW: "moths new since the last check were counted; checks add up",
    CountingMode.PRESENT: (
        "moths present at each check were counted; checks do not add up, the night's "
        "count is that of the largest"
    ),
}
_INSECT = {
    "kingdom": "Animalia",
    "phylum": "Arthropoda",
    "class": "Insecta",
    "order": "Lepidoptera",
}
_NAMED = re.compile(r"^[A-Z][a-z-]+( |$)")


@dataclass(frozen=True, slots=True)
class Handing:
    """What is handed on, and to what step coordinates are rounded [°], if at all."""

    recording: Recording
    step: float | None = None

    @property
    def prefix(self) -> str:
        """What every id begins with: the home's name in plain letters."""
        plain = unicodedata.normalize("NFKD", self.recording.home.name)
        words = re.findall(
            r"[a-z0-9]+", plain.encode("ascii", "ignore").decode().lower()
        )
        return "-".join(words) or "rearing-book"

    @property
    def name(self) -> str:
        """What the whole is called."""
        home = self.recording.home.name
        return f"Lamp nights of {home}" if home else "Lamp nights of a moth keeper"

    def id(self, *parts: object) -> str:
        """Return an id that stays the same each time the book is handed on."""
        return ":".join([self.prefix, *map(str, parts)])

    def where(self, night: RecordedNight) -> Spot:
        """Return a night's place as it is handed on."""
        site = night.counts.site
        return spot(site.latitude, site.longitude, self.step)


def event_rows(handing: Handing) -> Iterator[RowOf]:
    """Yield one event for each night, and one below it for each check."""
    for night in handing.recording.nights:
        own = _night_event(handing, night)
        yield own
        for check in night.counts.checks:
            yield _check_event(handing, night, check, own)


def occurrence_rows(handing: Handing) -> Iterator[RowOf]:
    """Yield one occurrence for animals of one check that are called alike."""
    for record, event in _records(handing):
        counts = record.counts
        now, before = record.now, record.namings[:-1]
        yield {
            "eventID": event,
            "occurrenceID": handing.id(record.key),
            "basisOfRecord": "HumanObservation",
            "occurrenceStatus": "present",
            **_names(now, handing.recording.families),
            "individualCount": record.number if counts else "",
            "organismQuantity": record.number if counts else "",
            "organismQuantityType": "individuals" if counts else "",
            "lifeStage": "adult",
            "recordedBy": handing.recording.home.keeper,
            "organismID": handing.id(record.moth.code) if record.moth else "",
            "verbatimIdentification": record.first.taxon,
            "identifiedBy": _who(handing, now),
            "dateIdentified": now.on.isoformat(),
            "identificationVerificationStatus": now.sure or "",
            "previousIdentifications": " | ".join(map(_naming_words, before)),
            "occurrenceRemarks": _remarks(record, handing),
        }


def identification_rows(handing: Handing) -> Iterator[RowOf]:
    """Yield all that each occurrence was called, the first call first."""
    for record, event in _records(handing):
        last = len(record.namings) - 1
        for i, naming in enumerate(record.namings):
            said = ["first call" if i == 0 else "later call"]
            said += ["stands now"] if i == last else []
            said += [naming.note] if naming.note and not handing.step else []
            yield {
                "eventID": event,
                "identificationID": handing.id(record.key, "naming", naming.key),
                "occurrenceID": handing.id(record.key),
                "verbatimIdentification": naming.taxon,
                "scientificName": _scientific(naming.taxon),
                "sex": _sex(naming.sex),
                "identifiedBy": _who(handing, naming),
                "dateIdentified": naming.on.isoformat(),
                "identificationVerificationStatus": naming.sure or "",
                "identificationRemarks": "; ".join(said),
            }


def measurement_rows(handing: Handing) -> Iterator[RowOf]:
    """Yield what was measured or noted of a night or at a check, and the moon."""
    for night in handing.recording.nights:
        counts, row = night.counts, night.counts.row
        event = handing.id("night", row.id)
        told: list[tuple[str, str, object, str, str]] = [
            (event, "air temperature at start", row.start_c, "°C", "as noted"),
            (event, "air temperature at end", row.end_c, "°C", "as noted"),
            (event, "weather", row.weather, "", "as noted"),
            (event, "lamp-hours", _short(counts.lamp_hours), "h", "less outages"),
            (
                event,
                "lit fraction of the moon",
                round(night.moon_fraction, 2),
                "",
                "computed for midnight, not observed",
            ),
        ]
        for check in counts.checks:
            at = handing.id("check", check.row.id)
            warm = check.row.temperature_c
            told.append((at, "air temperature at check", warm, "°C", "as noted"))
        for of, kind, value, unit, method in told:
            if value is not None:
                yield {
                    "eventID": of,
                    "measurementID": f"{of}:{kind.replace(' ', '-')}",
                    "measurementType": kind,
                    "measurementValue": value,
                    "measurementUnit": unit,
                    "measurementDeterminedDate": row.evening.isoformat(),
                    "measurementMethod": method,
                }


def _records(handing: Handing) -> Iterator[tuple[Record, str]]:
    for night in handing.recording.nights:
        for record in night.records:
            of = ("check", record.check.id) if record.check else _own(night)
            yield record, handing.id(*of)


def _own(night: RecordedNight) -> tuple[str, int]:
    return ("night", night.counts.row.id)


def _night_event(handing: Handing, night: RecordedNight) -> RowOf:
    counts, row = night.counts, night.counts.row
    hours = _short(counts.lamp_hours)
    return {
        "eventID": handing.id(*_own(night)),
        "parentEventID": "",
        "eventType": "lamp night",
        "eventDate": _span(night),
        **_evening(row.evening),
        "verbatimEventDate": f"night of {day_words(row.evening, year=True)}",
        "samplingProtocol": f"moths at light, {row.lamp}: {_WAYS[row.mode]}",
        "sampleSizeValue": "" if hours is None else hours,
        "sampleSizeUnit": "" if hours is None else "hour",
        "samplingEffort": "" if hours is None else f"{hours} lamp-hours",
        "eventRemarks": _night_remarks(handing, night),
        **_place(handing, night),
    }


def _check_event(
    handing: Handing, night: RecordedNight, check: CheckCounts, own: RowOf
) -> RowOf:
    row = check.row
    remarks = [] if row.known is Known.SEEN else [f"time {row.known}"]
    remarks += ["time not noted"] if row.at is None else []
    remarks += [] if check.came else ["nothing counted"]
    remarks += [row.note] if row.note and not handing.step else []
    date = own["eventDate"] if row.at is None else _iso(row.at, night.zone)
    return own | {
        "eventID": handing.id("check", row.id),
        "parentEventID": own["eventID"],
        "eventType": "check of the sheet",
        "eventDate": date,
        "sampleSizeValue": "",
        "sampleSizeUnit": "",
        "samplingEffort": "",
        "eventRemarks": "; ".join(remarks),
    }


def _evening(evening: dt.date) -> RowOf:
    """Return the date of the evening: by it a night is known, whatever the clock."""
    return {"year": evening.year, "month": evening.month, "day": evening.day}


def _span(night: RecordedNight) -> str:
    row = night.counts.row
    if row.lamp_on is None or row.lamp_off is None:
        return row.evening.isoformat()
    return f"{_iso(row.lamp_on, night.zone)}/{_iso(row.lamp_off, night.zone)}"


def _night_remarks(handing: Handing, night: RecordedNight) -> str:
    counts, remarks = night.counts, []
    if counts.row.station:
        remarks.append(f"station {counts.row.station}")
    if counts.outages:
        remarks.append(f"lamp dark {len(counts.outages)} time(s), taken off the effort")
    if not counts.was_looked_at:
        remarks.append("no check was made")
    elif not counts.totals:
        remarks.append("looked at, nothing came")
    if counts.row.note and not handing.step:
        remarks.append(counts.row.note)
    return "; ".join(remarks)


def _place(handing: Handing, night: RecordedNight) -> RowOf:
    site, here = night.counts.site, handing.where(night)
    high = "" if site.elevation_m is None or here.step else f"{site.elevation_m:g}"
    held = "exact coordinates, elevation and notes: ask the keeper"
    return {
        "locationID": handing.id("site", site.id),
        "locality": site.name,
        "minimumElevationInMeters": high,
        "maximumElevationInMeters": high,
        "decimalLatitude": here.latitude,
        "decimalLongitude": here.longitude,
        "geodeticDatum": "EPSG:4326",
        "coordinateUncertaintyInMeters": here.uncertainty_m or "",
        "coordinatePrecision": here.step or "",
        "dataGeneralizations": (
            f"coordinates rounded to {here.step:g} degrees" if here.step else ""
        ),
        "informationWithheld": held if here.step else "",
        "datasetName": handing.name,
        "language": "en",
    }


def _names(naming: Naming, families: Mapping[str, str]) -> RowOf:
    return {
        "scientificName": _scientific(naming.taxon),
        **_INSECT,
        "family": families.get(naming.taxon, ""),
        "sex": _sex(naming.sex),
    }


def _scientific(taxon: str) -> str:
    """Return the name as it is, or the order's where it is no scientific name."""
    return taxon if _NAMED.match(taxon) else "Lepidoptera"


def _sex(sex: Sex) -> str:
    # Nothing, not "undetermined": nobody looked.
    return "" if sex is Sex.NOT_LOOKED else sex.value


def _who(handing: Handing, naming: Naming) -> str:
    return naming.who or handing.recording.home.keeper


def _naming_words(naming: Naming) -> str:
    sex = "sex not looked at" if naming.sex is Sex.NOT_LOOKED else naming.sex
    return f"{naming.taxon}, {sex} ({naming.on.isoformat()})"


def _remarks(record: Record, handing: Handing) -> str:
    said = []
    if record.quality is not Quality.EXACT:
        said.append(f"{record.quality} {record.number}")
    if record.now.sex is Sex.NOT_LOOKED:
        said.append("sex not looked at")
    if record.moth:
        said.append(f"kept as {record.moth.code}")
    if not record.counts:
        said.append("not in the count of the night")
    if record.note and not handing.step:
        said.append(record.note)
    return "; ".join(said)


def _iso(moment: dt.datetime, zone: dt.tzinfo) -> str:
    return moment.astimezone(zone).isoformat()


def _short(hours: float | None) -> float | None:
    return None if hours is None else round(hours, 2)
