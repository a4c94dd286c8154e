"""The files of two invented loggers, and how they are taken into the book.

The files are written as loggers write them, faults and all, and go through the same
import as a keeper's own.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.exchange import temperatures as files
from rearing.keeping.temperatures_in import Origin, take_readings_in
from sample_db.making.scribe import Act

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from numpy.typing import NDArray

    from rearing.records.journal import Entry
    from sample_db.making.scribe import Scribe
    from sample_db.making.weather import Clock

INSIDE = ("Kitchen shelf", "Hall shelf", "Porch", "Attic", "Cellar", "Fridge")
OUTSIDE = ("North shed", "Terrace trees", "Beech hollow trees")

READ_OUT = (
    dt.datetime(2020, 10, 31, 17),
    dt.datetime(2021, 3, 27, 17),
    dt.datetime(2021, 6, 12, 18),
    dt.datetime(2021, 8, 31, 23),
)
"""When the loggers were read out, local time."""

HOLES = {
    "Attic": (dt.datetime(2021, 5, 18, 9), dt.datetime(2021, 5, 22, 19)),
    "Terrace trees": (dt.datetime(2021, 2, 8, 0), dt.datetime(2021, 2, 10, 7)),
}
"""Flat batteries."""

ODD = {
    "Fridge": {dt.datetime(2021, 1, 14, 12): 21.5, dt.datetime(2021, 4, 2, 18): 19.0},
    "North shed": {dt.datetime(2020, 8, 3, 14): 85.0},
    "Porch": {dt.datetime(2021, 5, 2, 13): 61.5},
}
"""A probe left on the table, a fault, the sun through the glass."""

FAULTS = {
    "Cellar": (dt.datetime(2020, 9, 12, 4), dt.datetime(2021, 2, 1, 3)),
    "Beech hollow trees": (dt.datetime(2021, 1, 12, 6),),
}
"""Hours in which a probe wrote no number."""


@dataclass(frozen=True, slots=True)
class Loggers:
    """What the loggers read, and the folder their files are written to."""

    clock: Clock
    celsius: Mapping[str, NDArray[np.float64]]
    folder: Path

    def acts(self, scribe: Scribe) -> Iterator[Act]:
        """Write the file of each reading-out, and take it in at that moment."""
        since = self.clock.at_s[0]
        for out in READ_OUT:
            until = int(scribe.local(out).timestamp())
            hours = (self.clock.at_s >= since) & (self.clock.at_s < until)
            for name, places, write in (
                ("inside", INSIDE, self._inside),
                ("outside", OUTSIDE, self._outside),
            ):
                path = self.folder / f"{name} {out:%Y-%m-%d}.csv"
                path.write_text(write(np.flatnonzero(hours), places), encoding="utf-8")
                yield Act(scribe.local(out), 0, _Taking(scribe, path))
            since = until

    def _inside(self, hours: NDArray[np.intp], places: tuple[str, ...]) -> str:
        """Write as a logger that keeps world time and decimal points."""
        lines = ["Time (UTC)," + ",".join(f"{place} (°C)" for place in places)]
        for i in hours:
            at = dt.datetime.fromtimestamp(int(self.clock.at_s[i]), dt.UTC)
            cells = [self._cell(place, int(i)) for place in places]
            lines.append(",".join([f"{at:%Y-%m-%dT%H:%M:%SZ}", *cells]))
        return "\n".join(lines) + "\n"

    def _outside(self, hours: NDArray[np.intp], places: tuple[str, ...]) -> str:
        """Write as a weather station: winter time all year, decimal commas."""
        winter = dt.timezone(dt.timedelta(hours=1))
        lines = ["Datum;Ura (UTC+01:00);" + ";".join(f"{p} °C" for p in places)]
        for i in hours:
            at = dt.datetime.fromtimestamp(int(self.clock.at_s[i]), winter)
            cells = [self._cell(place, int(i)).replace(".", ",") for place in places]
            lines.append(";".join([f"{at:%d.%m.%Y}", f"{at:%H:%M}", *cells]))
        return "\n".join(lines) + "\n"

    def _cell(self, place: str, i: int) -> str:
        if place in HOLES:
            first, last = (self.clock.index(moment) for moment in HOLES[place])
            if first <= i < last:
                return ""
        if any(self.clock.index(moment) == i for moment in FAULTS.get(place, ())):
            return "ERR"
        for moment, wrong in ODD.get(place, {}).items():
            if self.clock.index(moment) == i:
                return f"{wrong:.1f}"
        return f"{self.celsius[place][i]:.1f}"


class _Taking:
    """Takes one file in, column by column."""

    def __init__(self, scribe: Scribe, path: Path) -> None:
        self._scribe = scribe
        self._path = path

    def __call__(self, entry: Entry) -> None:
        zone = str(self._scribe.zone)
        understood = files.understand(self._path, zone=zone)
        found = files.read(self._path, understood)
        for series in found.series:
            place = next(p for p in (*INSIDE, *OUTSIDE) if series.name.startswith(p))
            mine = [x for x in found.set_aside if place in x.reason or place in x.text]
            take_readings_in(
                self._scribe.book,
                entry,
                origin=Origin(
                    place_id=self._scribe.id_of("place", place),
                    file_name=self._path.name,
                    column=series.name,
                    words="Synthetic, for the sample season.",
                    set_aside=mine,
                ),
                at_s=series.at_s,
                celsius=series.celsius,
            )
