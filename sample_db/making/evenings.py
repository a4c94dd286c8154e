"""The evening rounds of the sample season, written out from how a box was served."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rearing.terms import Visit
from sample_db.making.scribe import only

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

STEP = dt.timedelta(minutes=2)
"""From one box to the next."""


@dataclass(frozen=True, slots=True)
class Absences:
    """Evenings without a round: she was away, or it is still to be walked."""

    days: frozenset[dt.date]


def visits_of(
    care: Sequence[Mapping[str, Any]], absences: Absences
) -> Iterator[dict[str, Any]]:
    """Return the visits that some boxes had, day by day."""
    for line in care:
        only(
            line,
            *("box", "from", "to", "at", "feed", "clean", "look", "host", "grams"),
            "turn",
        )
        for number, box in enumerate(line["box"]):
            yield from _of_box(line, box, number, absences)


def _of_box(
    line: Mapping[str, Any], box: str, number: int, absences: Absences
) -> Iterator[dict[str, Any]]:
    days = (line["to"] - line["from"]).days + 1
    for since in range(days):
        day = line["from"] + dt.timedelta(days=since)
        if day in absences.days:
            continue
        # Boxes take turns: not all of them are served on the same evening.
        turn = since + number * line.get("turn", 0)
        what = _what(line, turn, first=since == 0)
        if what is None:
            continue
        visit = {"on": day, "at": _clock(line, day, number), "box": box, "what": what}
        if Visit(what).feeds:
            visit["host"] = line["host"]
            if "grams" in line:
                visit["grams"] = _grams(line["grams"], since, days)
        yield visit


def _what(line: Mapping[str, Any], turn: int, *, first: bool) -> str | None:
    fed = first or ("feed" in line and turn % line["feed"] == 0)
    fed = fed and "host" in line
    cleaned = "clean" in line and turn % line["clean"] == 0
    if fed and cleaned:
        return Visit.FED_AND_CLEANED.value
    if fed:
        return Visit.FED.value
    if cleaned:
        return Visit.CLEANED.value
    return Visit.ALL_WELL.value if turn % line.get("look", 1) == 0 else None


def _clock(line: Mapping[str, Any], day: dt.date, number: int) -> dt.time:
    begins = dt.datetime.combine(day, line["at"])
    # She does not begin on the minute.
    late = dt.timedelta(minutes=(day.toordinal() * 7) % 13)
    return (begins + late + number * STEP).time()


def _grams(grams: Sequence[float], since: int, days: int) -> float:
    first, last = grams
    return round(first + (last - first) * since / max(days - 1, 1))
