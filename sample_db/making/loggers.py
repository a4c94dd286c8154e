"""The files of two invented loggers, and how they are taken into the book.

The files are written as loggers write them, faults and all, and go through the same
import as a keeper's own.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from rearing.exchange import temperatures as files
from rearing.keeping.temperatures_in import Origin, take_readings_in
from sample_db.making.scribe import Act

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    import numpy as np
    from numpy.typing import NDArray

    from rearing.records.journal import Entry
    from sample_db.making.scribe import Scribe
    from sample_db.making.weather import Clock

WINTER = dt.timezone(dt.timedelta(hours=1))


@dataclass(frozen=True, slots=True)
class Loggers:
    """What the loggers read, what is told of them, and where their files go."""

    told: Mapping[str, Any]
    clock: Clock
    celsius: Mapping[str, NDArray[np.float64]]
    folder: Path

    def acts(self, scribe: Scribe) -> Iterator[Act]:
        """Write the files of each reading-out, and take them in at that moment."""
        cells = {place: self._cells(place) for place in self.celsius}
        since = 0
        for out in self.told["read_out"]:
            until = self.clock.index(out)
            for name, write in (("inside", _inside), ("outside", _outside)):
                places = {self._called(place): place for place in self.told[name]}
                path = self.folder / f"{name} {out:%Y-%m-%d}.csv"
                columns = {title: cells[place] for title, place in places.items()}
                text = write(self.clock.at_s, range(since, until), columns)
                path.write_text(text, encoding="utf-8")
                taking = partial(_take_in, scribe, path, places)
                yield Act(scribe.local(out), 0, taking)
            since = until

    def _called(self, place: str) -> str:
        return str(self.told["called"].get(place, place))

    def _cells(self, place: str) -> list[str]:
        """Return what stands in a place's column, with all that went wrong."""
        cells = [f"{value:.1f}" for value in self.celsius[place].tolist()]
        for hole in self.told["holes"]:
            if hole["place"] == place:
                first = self.clock.index(hole["from"])
                last = self.clock.index(hole["to"])
                cells[first:last] = [""] * (last - first)
        for wrong in self.told["wrong"]:
            if wrong["place"] == place:
                cells[self.clock.index(wrong["at"])] = wrong["reads"]
        return cells


def _inside(
    at_s: NDArray[np.int64], hours: range, columns: Mapping[str, Sequence[str]]
) -> str:
    lines = ["Time (UTC)," + ",".join(f"{title} (°C)" for title in columns)]
    for i in hours:
        at = dt.datetime.fromtimestamp(int(at_s[i]), dt.UTC)
        cells = [column[i] for column in columns.values()]
        lines.append(",".join([f"{at:%Y-%m-%dT%H:%M:%SZ}", *cells]))
    return "\n".join(lines) + "\n"


def _outside(
    at_s: NDArray[np.int64], hours: range, columns: Mapping[str, Sequence[str]]
) -> str:
    lines = ["Datum;Ura (UTC+01:00);" + ";".join(f"{title} °C" for title in columns)]
    for i in hours:
        at = dt.datetime.fromtimestamp(int(at_s[i]), WINTER)
        cells = [column[i].replace(".", ",") for column in columns.values()]
        lines.append(";".join([f"{at:%d.%m.%Y}", f"{at:%H:%M}", *cells]))
    return "\n".join(lines) + "\n"


def _take_in(
    scribe: Scribe, path: Path, places: Mapping[str, str], entry: Entry
) -> None:
    """Take one file in, column by column."""
    understood = files.understand(path, zone=str(scribe.zone))
    found = files.read(path, understood)
    if len(found.series) != len(places):
        raise ValueError(f"{path.name}: only {[s.name for s in found.series]} was read")
    for series in found.series:
        title = next(title for title in places if series.name.startswith(title))
        column = next(c.index for c in understood.columns if c.name == series.name)
        aside = [
            line
            for line in found.set_aside
            if not _plausible(line.text.split(understood.delimiter)[column])
        ]
        take_readings_in(
            scribe.book,
            entry,
            origin=Origin(
                place_id=scribe.id_of("place", places[title]),
                file_name=path.name,
                column=series.name,
                words="Synthetic, for the sample season.",
                set_aside=aside,
            ),
            at_s=series.at_s,
            celsius=series.celsius,
        )


def _plausible(cell: str) -> bool:
    try:
        return -40 < float(cell.replace(",", ".")) < 60
    except ValueError:
        return cell == ""
