"""The heat of the places: readings, holes, oddities, degree-days through the season."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.facts import home
from rearing.keeping.moments import day_words
from rearing.keeping.places import places
from rearing.records import tables as t
from rearing.records.readings import daily_between, readings_between, span
from rearing.records.rows import ReadingSetAsideRow
from rearing.science.weather import How, fill, from_daily, hourly_means, odd

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.records.book import Book
    from rearing.records.rows import PlaceRow, ReadingImportRow

HOUR_S = 3600
DAY_H = 24


@dataclass(frozen=True, slots=True)
class PlaceLine:
    """A place in the list: what its temperature rests on."""

    row: PlaceRow
    readings: int
    days: int
    first: dt.date | None
    last: dt.date | None
    words: str


@dataclass(frozen=True, slots=True)
class Series:
    """One place's temperatures by the hour, with what was filled and what is odd."""

    place: PlaceRow
    start: dt.datetime
    celsius: NDArray[np.float64]
    how: NDArray[np.int8]
    odd_at: tuple[dt.datetime, ...]
    odd_c: tuple[float, ...]
    hole_hours: int
    filled_hours: int

    @property
    def hours(self) -> list[dt.datetime]:
        """The moment each value holds from."""
        return [self.moment(i) for i in range(len(self.celsius))]

    def moment(self, hour: int) -> dt.datetime:
        """Return the moment an hour of the series begins, by the home's clock."""
        # Added to the clock's reading, hours would slip where the clocks change.
        at_s = self.start.timestamp() + hour * HOUR_S
        return dt.datetime.fromtimestamp(at_s, self.start.tzinfo)


@dataclass(frozen=True, slots=True)
class DayHeat:
    """Degree-days of one day and their sum so far."""

    on: dt.date
    low_c: float
    high_c: float
    degree_days: float
    total: float


def place_lines(book: Book, on: dt.date) -> tuple[PlaceLine, ...]:
    """Return the places in walking order with what was read at each."""
    return tuple(place_line(book, place, on) for place in places(book))


def series(book: Book, place: PlaceRow, first: dt.date, last: dt.date) -> Series:
    """Return a place's temperatures by the hour from one day to another, inclusive."""
    zone = home(book).zone
    start = dt.datetime.combine(first, dt.time(), zone)
    end = dt.datetime.combine(last + dt.timedelta(days=1), dt.time(), zone)
    start_s = int(start.timestamp() // HOUR_S) * HOUR_S
    end_s = int(end.timestamp() // HOUR_S) * HOUR_S
    at_s, celsius = readings_between(book, place.id, start_s, end_s)
    doubtful = odd(at_s, celsius)
    hours = hourly_means(at_s, np.where(doubtful, np.nan, celsius), start_s, end_s)
    hours = _with_daily(book, place, hours, (first, last), (start_s, end_s))
    filled = fill(hours)
    return Series(
        place=place,
        start=dt.datetime.fromtimestamp(start_s, zone),
        celsius=filled.celsius,
        how=filled.how,
        odd_at=tuple(
            dt.datetime.fromtimestamp(at, zone) for at in at_s[doubtful].tolist()
        ),
        odd_c=tuple(float(value) for value in celsius[doubtful]),
        hole_hours=int(np.count_nonzero(~np.isfinite(filled.celsius))),
        filled_hours=int(np.count_nonzero(filled.how == How.FILLED)),
    )


def heat_by_day(
    read: Series, *, lower_c: float, upper_c: float | None
) -> tuple[DayHeat, ...]:
    """Return degree-days by hourly summation, day by day, and their running sum.

    A day with hours that nobody knows is left out of the sum and shown as NaN.
    """
    top = np.inf if upper_c is None else upper_c
    heat = np.clip(read.celsius, lower_c, top) - lower_c
    total = 0.0
    days = []
    for day, (begin, end) in day_hours(read).items():
        hours = read.celsius[begin:end]
        gained = float(heat[begin:end].sum() / DAY_H)
        total += gained if np.isfinite(gained) else 0.0
        low, high = float(hours.min()), float(hours.max())
        days.append(DayHeat(day, low, high, gained, total))
    return tuple(days)


def day_hours(read: Series) -> dict[dt.date, tuple[int, int]]:
    """Return where each local day begins and ends among the hours of a series."""
    zone = read.start.tzinfo
    start_s, many = read.start.timestamp(), len(read.celsius)
    first = read.start.date()
    last = dt.datetime.fromtimestamp(start_s + (many - 1) * HOUR_S, zone).date()
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 2)]
    edges = [dt.datetime.combine(day, dt.time(), zone).timestamp() for day in days]
    # An hour belongs to the day it begins in: zones may be half an hour off.
    places = np.ceil((np.array(edges) - start_s) / HOUR_S).astype(int)
    ends = np.clip(places, 0, many).tolist()
    return dict(zip(days, pairwise(ends), strict=False))


def filled_hours(read: Series) -> tuple[int, ...]:
    """Return how many hours of each day were filled from the days around."""
    filled = read.how == How.FILLED
    return tuple(
        int(filled[begin:end].sum()) for begin, end in day_hours(read).values()
    )


def earlier_years(
    book: Book,
    place: PlaceRow,
    span_days: tuple[dt.date, dt.date],
    *,
    lower_c: float,
    upper_c: float | None,
    most: int = 2,
) -> tuple[tuple[str, tuple[DayHeat, ...]], ...]:
    """Return the same days of earlier years that were read, the latest year first.

    A year of which less than half the days are known is left out.
    """
    read = span(book, place.id)
    zone = home(book).zone
    begins = [read.first_day] if read.first_day else []
    if read.first_s is not None:
        begins.append(dt.datetime.fromtimestamp(read.first_s, zone).date())
    found = []
    for back in range(1, most + 1):
        first, last = (_years_before(day, back) for day in span_days)
        if not begins or last < min(begins):
            break
        hours = series(book, place, first, last)
        days = heat_by_day(hours, lower_c=lower_c, upper_c=upper_c)
        known = sum(np.isfinite(day.degree_days) for day in days)
        if 2 * known >= len(days):
            found.append((_year_name(first, last), days))
    return tuple(found)


def _year_name(first: dt.date, last: dt.date) -> str:
    if first.year == last.year:
        return str(first.year)
    return f"{first.year}–{last.year % 100:02d}"


def _years_before(day: dt.date, years: int) -> dt.date:
    try:
        return day.replace(year=day.year - years)
    except ValueError:  # 29 February
        return day.replace(year=day.year - years, day=28)


def recent_c(book: Book, place: PlaceRow, on: dt.date) -> float | None:
    """Return a place's mean over its last day read before a day ends [°C].

    Readings older than a week say nothing of now: None.
    """
    zone = home(book).zone
    end = dt.datetime.combine(on + dt.timedelta(days=1), dt.time(), zone).timestamp()
    at_s, celsius = readings_between(book, place.id, end - 7 * DAY_H * HOUR_S, end)
    fair = ~odd(at_s, celsius)
    if fair.any():
        latest = at_s[fair][-1] - DAY_H * HOUR_S
        return float(celsius[fair & (at_s > latest)].mean())
    week = dt.timedelta(days=6)
    _, low, high = daily_between(book, place.id, on - week, on + dt.timedelta(days=1))
    return float((low[-1] + high[-1]) / 2) if len(low) else None


def set_aside(book: Book, imported: ReadingImportRow) -> tuple[ReadingSetAsideRow, ...]:
    """Return the lines of a file that were not taken, with their reasons."""
    return book.all(ReadingSetAsideRow, t.ReadingSetAside.import_id == imported.id)


def _with_daily(
    book: Book,
    place: PlaceRow,
    hours: NDArray[np.float64],
    days: tuple[dt.date, dt.date],
    ends_s: tuple[int, int],
) -> NDArray[np.float64]:
    zone = home(book).zone
    named, low, high = daily_between(
        book, place.id, days[0], days[1] + dt.timedelta(days=1)
    )
    if not len(named):
        return hours
    midnights = [
        dt.datetime.combine(day, dt.time(), zone).timestamp() for day in named.tolist()
    ]
    daily = from_daily(midnights, low, high, *ends_s)
    return np.where(np.isfinite(hours), hours, daily)


def place_line(book: Book, place: PlaceRow, on: dt.date) -> PlaceLine:
    """Return one place with what was read there up to a day."""
    read = span(book, place.id)
    zone = home(book).zone
    firsts = [read.first_day] if read.first_day else []
    lasts = [read.last_day] if read.last_day else []
    if read.first_s is not None and read.last_s is not None:
        firsts.append(dt.datetime.fromtimestamp(read.first_s, zone).date())
        lasts.append(dt.datetime.fromtimestamp(read.last_s, zone).date())
    first = min(firsts, default=None)
    last = min(max(lasts), on) if lasts else None
    number = read.number
    if read.last_s is not None and max(lasts) > on:
        # as on a day before the last reading; there are fewer after it than before
        end = dt.datetime.combine(on + dt.timedelta(days=1), dt.time(), zone)
        later = readings_between(book, place.id, end.timestamp(), read.last_s + 1)
        number -= len(later[0])
    point = "" if place.set_point_c is None else f"set point {place.set_point_c:g}°"
    told = f"logged to {day_words(last, year=True)}" if last else "no readings"
    words = ", ".join(part for part in (told, point) if part)
    return PlaceLine(place, number, read.days, first, last, words)
