"""The temperatures of the places, hour by hour, past and assumed, on one axis."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.ahead import Ahead, Read, ahead
from rearing.keeping.foretold import foretold_of
from rearing.keeping.leads import Leads
from rearing.keeping.lessons import Lessons
from rearing.keeping.moments import day_words
from rearing.keeping.way_back import WaysOfHeld
from rearing.records import tables as t
from rearing.records.readings import daily_between, readings_between
from rearing.records.rows import ReadingImportRow
from rearing.science.futures import SCENARIOS
from rearing.science.heats import HeatStore
from rearing.science.stages import Track
from rearing.science.weather import (
    How,
    extend,
    fill,
    from_daily,
    hourly_means,
    join,
    odd,
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

YEARS_BACK = 10
"""Years on file that may serve as futures."""


@dataclass(frozen=True, slots=True)
class PlaceHours:
    """One place's temperatures on the common axis, and what they rest on."""

    celsius: NDArray[np.float64]
    seen_until_s: float
    logged: str
    filled: NDArray[np.bool_]
    """Which of the hours before the last reading were filled from the days around."""
    sure: NDArray[np.float64]
    """Those of them that no future changes: up to the last reading, or to this day."""
    read: Read


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
        self.ways = WaysOfHeld(held)
        if held.ever_boxes:
            known = [self.ways.whole.of(box) for box in held.boxes]
            stays += [way.stays[0] for way in known if way is not None]
        earliest = min((s.from_at.timestamp() for s in stays), default=self.now_s)
        self.start_s = min(_hour(earliest), self.now_s - 14 * 24 * HOUR_S)
        self.end_s = self.now_s + AHEAD_DAYS * 24 * HOUR_S
        # Most places of a large collection have no logger: they need not be asked.
        self._logged_places: dict[int, int] = {}
        self._of_days: set[int] = set()
        for taken in book.all(ReadingImportRow, t.ReadingImport.withdrawn.is_(False)):
            if taken.place_id is not None:
                known_s = self._logged_places.get(taken.place_id, taken.first_s)
                self._logged_places[taken.place_id] = min(known_s, taken.first_s)
                if taken.daily:
                    self._of_days.add(taken.place_id)
        self._leads = Leads(book, held, self.now_s)
        self._places: dict[int, PlaceHours] = {}
        self._now: dict[int, float] = {}
        self._ahead: dict[int, Ahead] = {}
        self.heats = HeatStore()
        self.foretold = foretold_of(book)
        self.lessons = Lessons(book, shelf, held)

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

    def track_ahead(self, stays: Sequence[StayRow]) -> Track:
        """Join them as `track`, and let what is still to come be many futures."""
        begun = self._until_now(stays)
        known = [s for s in begun if s.from_at.timestamp() < self.end_s] or begun[:1]
        sure = self.track(stays)
        if len(known) == 1:
            place = self.hours(known[0].place_id)
            ahead = self.ahead(known[0].place_id).scenarios.celsius
            return Track(self.start_s, place.sure, sure.seen_until_s, ahead)
        first = round((sure.start_s - self.start_s) / HOUR_S)
        where = self._where(known, first, len(sure.celsius))
        ends = {i: len(self.hours(i).sure) for i in set(where.tolist())}
        hours = first + np.arange(len(where))
        open_at = np.flatnonzero(hours >= np.vectorize(ends.__getitem__)(where))
        begin = max(int(open_at[0]), 1) if len(open_at) else len(where) - 1
        ahead = self._joined_ahead(where[begin:], first + begin)
        return Track(sure.start_s, sure.celsius[:begin], sure.seen_until_s, ahead)

    def _where(
        self, known: Sequence[StayRow], first: int, number: int
    ) -> NDArray[np.int_]:
        """Return the place of every hour, as `join` has it."""
        ordered = sorted(known, key=lambda stay: stay.from_at)
        begins = [max(s.from_at.timestamp(), self.start_s) for s in ordered]
        middle = self.start_s + HOUR_S * (first + np.arange(number) + 0.5)
        stay = np.maximum(np.searchsorted(begins, middle, side="right") - 1, 0)
        return np.array([s.place_id for s in ordered])[stay]

    def _joined_ahead(self, where: NDArray[np.int_], begin: int) -> NDArray[np.float64]:
        """Put the futures of the places in a row; of one place, its own array."""
        places = dict.fromkeys(where.tolist())
        only = next(iter(places))
        if len(places) == 1 and len(self.hours(only).sure) == begin:
            return self.ahead(only).scenarios.celsius
        joined = np.empty((SCENARIOS, len(where)))
        for place_id in places:
            sure = self.hours(place_id).sure
            futures = self.ahead(place_id).scenarios.celsius
            column = np.flatnonzero(where == place_id)
            hour = begin + column
            late = hour >= len(sure)
            joined[:, column[~late]] = sure[hour[~late]]
            rows = np.resize(np.arange(len(futures)), SCENARIOS)
            joined[:, column[late]] = futures[rows][:, hour[late] - len(sure)]
        return joined

    def ahead(self, place_id: int) -> Ahead:
        """Return what a place may be after its last reading; worked out when asked."""
        if place_id not in self._ahead:
            read = self.hours(place_id).read
            other = self._leads.followed(read, self._read_of)
            self._ahead[place_id] = ahead(
                read,
                self.now_s,
                self.end_s,
                assumed_c=self._assumed_c,
                followed=None if other is None else (other, self.ahead(other.place.id)),
                typed=self._leads.typed(read),
            )
        return self._ahead[place_id]

    def _read_of(self, place_id: int) -> Read:
        return self.hours(place_id).read

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
        then = self.ahead(known[-1].place_id).words
        told = ", ".join(part for part in (hours.logged, holes, then) if part)
        return f"{walked}: {told}"

    def futures_kind(self, stays: Sequence[StayRow]) -> str:
        """Return what the futures of the place they stand at rest on."""
        return str(self.ahead(self._until_now(stays)[-1].place_id).kind)

    def _until_now(self, stays: Iterable[StayRow]) -> list[StayRow]:
        # A move that was entered for later is not known yet on this day.
        begun = [s for s in stays if s.from_at.timestamp() < self.now_s]
        return begun or list(stays)[:1]

    def _read(self, place_id: int) -> PlaceHours:
        place = self._held.places[place_id]
        hours = self._logged(place_id, self.start_s)
        filled = fill(hours)
        seen = np.flatnonzero(np.isfinite(hours))
        last = int(seen[-1]) + 1 if len(seen) else 0
        horizon = (self.end_s - self.start_s) // HOUR_S
        set_point = place.set_point_c
        if set_point is None and not len(seen):
            set_point = self._assumed_c
        celsius, _ = extend(
            filled.celsius, last, horizon, set_point_c=set_point, last_days=LAST_DAYS
        )
        now = (self.now_s - self.start_s) // HOUR_S
        return PlaceHours(
            celsius=celsius,
            seen_until_s=self.start_s + last * HOUR_S,
            logged=self._told(place, last),
            filled=filled.how[:last] == How.FILLED,
            sure=celsius[: last or now],
            read=self._of_years(place, hours[:last]),
        )

    def _of_years(self, place: PlaceRow, hours: NDArray[np.float64]) -> Read:
        """Return a place's readings, of years where futures are made of them."""
        first_s = self._logged_places.get(place.id, self.start_s)
        first_s = max(_hour(first_s), self.start_s - YEARS_BACK * 366 * 24 * HOUR_S)
        if place.set_point_c is not None or not len(hours) or first_s >= self.start_s:
            return Read(place, self.start_s, hours)
        before = self._logged(place.id, first_s)
        past = (self.start_s - first_s) // HOUR_S
        return Read(place, first_s, np.concatenate((before[:past], hours)))

    def _logged(self, place_id: int, start_s: int) -> NDArray[np.float64]:
        if place_id not in self._logged_places:
            return np.full((self.now_s - start_s) // HOUR_S, np.nan)
        at_s, celsius = readings_between(self._book, place_id, start_s, self.now_s)
        # What is too odd for the Heat page is too odd for a forecast.
        celsius = np.where(odd(at_s, celsius), np.nan, celsius)
        hours = hourly_means(at_s, celsius, start_s, self.now_s)
        if place_id not in self._of_days:
            return hours
        zone = self._held.home.zone
        first_day = dt.datetime.fromtimestamp(start_s, zone).date()
        days, low, high = daily_between(
            self._book, place_id, first_day, self._held.on + dt.timedelta(days=1)
        )
        if len(days):
            midnights = [
                dt.datetime.combine(day, dt.time(), zone).timestamp()
                for day in days.tolist()
            ]
            daily = from_daily(midnights, low, high, start_s, self.now_s)
            hours = np.where(np.isfinite(hours), hours, daily)
        return hours

    def _told(self, place: PlaceRow, last: int) -> str:
        """Say how far a place was logged."""
        if not last:
            if place.set_point_c is not None:
                return "no readings"
            return "no readings and no set point"
        zone = self._held.home.zone
        until = dt.datetime.fromtimestamp(self.start_s + last * HOUR_S, zone)
        return f"logged to {_until_words(until)}"

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
