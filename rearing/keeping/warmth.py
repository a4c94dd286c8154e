"""The temperatures of the places, hour by hour, past and assumed, on one axis."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.moments import day_words
from rearing.keeping.way_back import WaysBack
from rearing.records import tables as t
from rearing.records.readings import daily_between, readings_between
from rearing.records.rows import ReadingImportRow
from rearing.science.stages import Track
from rearing.science.weather import (
    After,
    How,
    extend,
    fill,
    from_daily,
    hourly_means,
    join,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from rearing.keeping.holding import Holding
    from rearing.records.book import Book
    from rearing.records.rows import PlaceRow, StayRow
    from rearing.sheets.shelf import SheetShelf

HOUR_S = 3600
AHEAD_DAYS = 240
"""How far windows are looked for; what lies beyond is said to be beyond."""

LAST_DAYS = 7


@dataclass(frozen=True, slots=True)
class PlaceHours:
    """One place's temperatures on the common axis, and what they rest on."""

    celsius: NDArray[np.float64]
    seen_until_s: float
    logged: str
    then: str
    filled: NDArray[np.bool_]
    """Which of the hours before the last reading were filled from the days around."""


class Warmth:
    """The temperatures of every place as on a day; read when first asked for.

    What was read after that day is not looked at, so that a forecast can be had as
    it would have been.
    """

    def __init__(self, book: Book, shelf: SheetShelf, held: Holding) -> None:
        self._book = book
        self._held = held
        self._assumed_c = shelf.defaults.figures.assumed_c.middle
        zone = held.home.zone
        midnight = dt.datetime.combine(held.on + dt.timedelta(days=1), dt.time(), zone)
        self.now_s = _hour(midnight.timestamp())
        stays = [stay for pot in held.pots for stay in pot.stays[:1]]
        stays += [stay for box in held.boxes for stay in box.stays[:1]]
        ways = WaysBack((*held.ever_boxes, *held.boxes))
        known = [ways.of(box) for box in held.boxes]
        stays += [way.stays[0] for way in known if way is not None]
        earliest = min((s.from_at.timestamp() for s in stays), default=self.now_s)
        self.start_s = min(_hour(earliest), self.now_s - 14 * 24 * HOUR_S)
        self.end_s = self.now_s + AHEAD_DAYS * 24 * HOUR_S
        # Most places of a large collection have no logger: they need not be asked.
        self._logged_places = {
            taken.place_id
            for taken in book.all(
                ReadingImportRow, t.ReadingImport.withdrawn.is_(False)
            )
        }
        self._places: dict[int, PlaceHours] = {}
        self._now: dict[int, float] = {}

    def hours(self, place_id: int) -> PlaceHours:
        """Return a place's temperatures from the start of the axis to its end."""
        if place_id not in self._places:
            self._places[place_id] = self._read(place_id)
        return self._places[place_id]

    def now_c(self, place_id: int) -> float:
        """Return a place's mean temperature over its last day [°C]."""
        if place_id not in self._now:
            self._now[place_id] = self._read_now(place_id)
        return self._now[place_id]

    def track(self, stays: Sequence[StayRow]) -> Track:
        """Join the temperatures along the stays of a box or a pot."""
        known = self._until_now(stays)
        if len(known) == 1:
            return self._at_one_place(known[0])
        ids = list(dict.fromkeys(stay.place_id for stay in stays))
        hours = [self.hours(place_id) for place_id in ids]
        spans = [
            (
                max(stay.from_at.timestamp(), self.start_s),
                stay.to_at.timestamp() if stay.to_at else self.end_s,
                ids.index(stay.place_id),
            )
            for stay in known
        ]
        return join(
            spans,
            [place.celsius for place in hours],
            start_s=self.start_s,
            seen_until_s=[place.seen_until_s for place in hours],
        )

    def _at_one_place(self, stay: StayRow) -> Track:
        """Return the place's own array: what stands there shares its sums of heat."""
        place = self.hours(stay.place_id)
        begin_s = max(stay.from_at.timestamp(), self.start_s)
        seen_s = min(max(place.seen_until_s, begin_s), self.end_s)
        return Track(self.start_s, place.celsius, seen_s)

    def words(self, stays: Sequence[StayRow]) -> str:
        """Say what the temperatures along these stays rest on."""
        known = self._until_now(stays)
        names = [self._held.places[stay.place_id].name for stay in known]
        walked = " → ".join(dict.fromkeys(names))
        if not known:
            return "No place is entered."
        hours = self.hours(known[-1].place_id)
        since = int((known[-1].from_at.timestamp() - self.start_s) // HOUR_S)
        filled = int(np.count_nonzero(hours.filled[max(since, 0) :]))
        holes = f"{filled} h of it filled" if filled else ""
        told = ", ".join(part for part in (hours.logged, holes, hours.then) if part)
        return f"{walked}: {told}"

    def _until_now(self, stays: Iterable[StayRow]) -> list[StayRow]:
        # A move that was entered for later is not known yet on this day.
        begun = [s for s in stays if s.from_at.timestamp() < self.now_s]
        return begun or list(stays)[:1]

    def _read(self, place_id: int) -> PlaceHours:
        place = self._held.places[place_id]
        hours = self._logged(place_id)
        filled = fill(hours)
        seen = np.flatnonzero(np.isfinite(hours))
        last = int(seen[-1]) + 1 if len(seen) else 0
        horizon = (self.end_s - self.start_s) // HOUR_S
        set_point = place.set_point_c
        if set_point is None and not len(seen):
            set_point = self._assumed_c
        celsius, after = extend(
            filled.celsius, last, horizon, set_point_c=set_point, last_days=LAST_DAYS
        )
        logged, then = self._told(place, last, after)
        return PlaceHours(
            celsius=celsius,
            seen_until_s=self.start_s + last * HOUR_S,
            logged=logged,
            then=then,
            filled=filled.how[:last] == How.FILLED,
        )

    def _logged(self, place_id: int) -> NDArray[np.float64]:
        if place_id not in self._logged_places:
            return np.full((self.now_s - self.start_s) // HOUR_S, np.nan)
        at_s, celsius = readings_between(self._book, place_id, self.start_s, self.now_s)
        hours = hourly_means(at_s, celsius, self.start_s, self.now_s)
        zone = self._held.home.zone
        first_day = dt.datetime.fromtimestamp(self.start_s, zone).date()
        days, low, high = daily_between(
            self._book, place_id, first_day, self._held.on + dt.timedelta(days=1)
        )
        if len(days):
            midnights = [
                dt.datetime.combine(day, dt.time(), zone).timestamp()
                for day in days.tolist()
            ]
            daily = from_daily(midnights, low, high, self.start_s, self.now_s)
            hours = np.where(np.isfinite(hours), hours, daily)
        return hours

    def _told(self, place: PlaceRow, last: int, after: After) -> tuple[str, str]:
        """Say how far a place was logged, and what is taken after that."""
        if not last:
            if place.set_point_c is not None:
                return "no readings", f"its set point {place.set_point_c:g}°"
            return "no readings and no set point", f"{self._assumed_c:g}° assumed"
        zone = self._held.home.zone
        until = dt.datetime.fromtimestamp(self.start_s + last * HOUR_S, zone)
        then = {
            After.SET_POINT: f"then its set point {place.set_point_c or 0:g}°",
            After.LAST_DAYS: f"then as in its last {LAST_DAYS} days with readings",
            After.LAST_HOURS: "then as in its last hours",
        }[after]
        return f"logged to {_until_words(until)}", then

    def _read_now(self, place_id: int) -> float:
        place = self._held.places.get(place_id)
        if place is None:
            return self._assumed_c
        if place_id in self._logged_places:
            begin = self.now_s - 3 * 24 * HOUR_S
            at_s, celsius = readings_between(self._book, place_id, begin, self.now_s)
            if len(at_s):
                return float(celsius[at_s > at_s[-1] - 24 * HOUR_S].mean())
        if place.set_point_c is not None:
            return place.set_point_c
        hours = self.hours(place_id)
        day = (self.now_s - self.start_s) // HOUR_S
        return float(hours.celsius[day : day + 24].mean())


def _hour(moment_s: float) -> int:
    return int(moment_s // HOUR_S) * HOUR_S


def _until_words(until: dt.datetime) -> str:
    if until.time() == dt.time():
        return f"the end of {day_words(until.date() - dt.timedelta(days=1))}"
    return f"{day_words(until.date())} {until:%H:%M}"
