"""What leads a place after its last reading: another place, or a typed forecast."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.ahead import DAY_S, LATER_H, Read, Typed
from rearing.keeping.forecasts import forecasts_on, typed_days
from rearing.records import tables as t
from rearing.records.rows import PlaceFollowRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from rearing.keeping.holding import Holding
    from rearing.records.book import Book

HOUR_S = 3600


class Leads:
    """The keeper's word on who follows whom, and the forecasts given, as on a day."""

    def __init__(self, book: Book, held: Holding, now_s: float) -> None:
        self._held = held
        self._now_s = now_s
        self._forecasts = forecasts_on(book, held.on)
        self._choices = choices_on(book, held.on)

    def typed(self, read: Read) -> Typed | None:
        """Return what was forecast for a place for after its last reading."""
        found = self._forecasts.get(read.place.id)
        if found is None:
            return None
        zone = self._held.home.zone
        begin_s = read.end_s if read.is_read else self._now_s
        pairs = zip(found.days, typed_days(found.days, zone), strict=True)
        days = tuple(row for row, day in pairs if day.start_s + DAY_S > begin_s)
        return Typed(days, zone) if days else None

    def followed(self, read: Read, read_of: Callable[[int], Read]) -> Read | None:
        """Return the place that one follows: the keeper's word, else what is likely.

        Likely is the outdoor place that was read longest, if that is for longer, or
        one with a forecast.
        """
        place = read.place
        if place.set_point_c is not None or not read.is_read:
            return None
        if place.id in self._choices:
            other_id = self._choices[place.id]
            if other_id is None or other_id not in self._held.places:
                return None
            return read_of(other_id)
        if self.typed(read):
            return None
        # What follows by the keeper's word may in turn follow this place.
        others = [
            read_of(other.id)
            for other in self._held.places.values()
            if other.outdoors
            and other.set_point_c is None
            and other.id != place.id
            and other.id not in self._choices
        ]
        leading = [other for other in others if self._leads(other, read)]
        return max(leading, key=_end_s) if leading else None

    def _leads(self, other: Read, read: Read) -> bool:
        if other.end_s >= read.end_s + LATER_H * HOUR_S:
            return True
        return (
            other.is_read and not read.place.outdoors and self.typed(other) is not None
        )


def choices_on(book: Book, on: dt.date) -> dict[int, int | None]:
    """Return the keeper's word up to a day: the place each follows, None for none."""
    rows = book.all(
        PlaceFollowRow,
        t.PlaceFollow.chosen_on <= on,
        order=(t.PlaceFollow.chosen_on, t.PlaceFollow.id),
    )
    return {row.place_id: row.other_id for row in rows}


def _end_s(read: Read) -> float:
    return read.end_s
