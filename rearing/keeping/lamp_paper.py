"""A night from paper: its checks and counts written into the book in one entry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.lamp import add_arrival
from rearing.keeping.moments import counted, day_words
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import LampNightRow
from rearing.terms import Known, Quality, Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched


@dataclass(frozen=True, slots=True)
class PaperCount:
    """One number of a sheet of paper."""

    taxon: str
    sex: Sex
    number: int
    quality: Quality = Quality.EXACT


@dataclass(frozen=True, slots=True)
class PaperCheck:
    """One line of a sheet of paper; without counts it is a zero."""

    at: dt.datetime | None
    temperature_c: float | None
    counts: tuple[PaperCount, ...]


def record_sheet(
    book: Book, entry: Entry, *, night_id: int, checks: Sequence[PaperCheck]
) -> Touched:
    """Write the checks of a night from paper, all of them or none."""
    night = book.one(LampNightRow, night_id)
    if not checks:
        raise Refusal("There is no check on that sheet yet.", field="at")
    for check in checks:
        if check.at and night.lamp_on and check.at < night.lamp_on:
            raise Refusal("The lamp was not lit yet.", field="at")
    moths = 0
    with book.change(entry) as pen:
        for check in checks:
            check_id = pen.add(
                t.Check,
                night_id=night_id,
                at=check.at,
                known=Known.SEEN if check.at else Known.BETWEEN_CHECKS,
                temperature_c=check.temperature_c,
            )
            for one in check.counts:
                moths += one.number
                add_arrival(
                    pen,
                    night,
                    check_id=check_id,
                    taxon=one.taxon,
                    sex=one.sex,
                    number=one.number,
                    quality=one.quality,
                )
        pen.new_id = night_id
        pen.say(
            f"From paper: {counted(len(checks), 'check')}, {counted(moths, 'moth')}, "
            f"night of {day_words(night.evening)}"
        )
    return pen.touched
