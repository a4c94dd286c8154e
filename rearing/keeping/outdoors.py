"""The last temperature read out of doors, for the corner of the window."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.places import places
from rearing.records.readings import readings_between

if TYPE_CHECKING:
    from rearing.records.book import Book

_DAYS_BACK = 30


@dataclass(frozen=True, slots=True)
class Reading:
    """A temperature with its place and its moment."""

    place: str
    at: dt.datetime
    celsius: float


def last_outdoors(book: Book, now: dt.datetime) -> Reading | None:
    """Return the latest reading of the first outdoor place that has one."""
    end_s = int(now.timestamp())
    begin_s = end_s - _DAYS_BACK * 86_400
    for place in places(book):
        if not place.outdoors:
            continue
        at_s, celsius = readings_between(book, place.id, begin_s, end_s)
        if len(at_s):
            at = dt.datetime.fromtimestamp(float(at_s[-1]), dt.UTC)
            return Reading(place.name, at, float(celsius[-1]))
    return None
