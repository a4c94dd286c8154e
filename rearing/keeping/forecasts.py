"""Typed weather forecasts: entered as given on a day, read back as on a day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from rearing.keeping.moments import refuse_future, short_day, span_words
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import ForecastDayRow, PlaceRow
from rearing.science.futures import TypedDay

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched

MOST_DAYS = 20
"""What goes further is no short forecast (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """The days that hold on a day, and the earlier word on some of them."""

    days: tuple[ForecastDayRow, ...]
    """The latest word on each day, in order of days."""
    earlier: tuple[ForecastDayRow, ...]
    """What a later forecast took over, the latest first."""

    @property
    def words(self) -> str:
        """Say what was typed when: forecast typed 12 June for 13–17 June."""
        return typed_words(self.days)


def take_forecast(
    book: Book,
    entry: Entry,
    *,
    place_id: int,
    text: str,
    given_on: dt.date | None = None,
    sure: bool = False,
) -> Touched:
    """Take in a short forecast for a place outdoors, a day on each line.

    It holds from the day it was given, and takes over what was said of the same days
    before. What was read at the place goes before any forecast.
    """
    # Not needed by those who only read: its patterns cost start-up time.
    from rearing.keeping.forecast_lines import FIELD, forecast_lines

    place = book.one(PlaceRow, place_id)
    given = entry.on if given_on is None else given_on
    _refuse_place(place)
    refuse_future(given, entry.on, sure=sure, field="given_on")
    lines = forecast_lines(text, given)
    for one in lines:
        if not 0 <= (one.day - given).days <= MOST_DAYS:
            raise Refusal(
                f"Line {one.line}: {short_day(one.day)} {one.day.year} is no day of a "
                f"short forecast given on {short_day(given)} {given.year}.",
                field=FIELD,
            )
    with book.change(entry) as pen:
        for one in lines:
            pen.new_id = pen.add(
                t.ForecastDay,
                place_id=place.id,
                day=one.day,
                low_c=one.low_c,
                high_c=one.high_c,
                given_on=given,
            )
        pen.subjects.add(("place", place.id))
        days = days_words([one.day for one in lines])
        pen.say(f"Forecast of {short_day(given)} for {place.name}: {days}")
    return pen.touched


def _refuse_place(place: PlaceRow) -> None:
    if not place.outdoors:
        raise Refusal(
            f"{place.name} is not outdoors, and a weather forecast is of the air "
            "outside. Enter it for a place outdoors; what follows that place has it "
            "from there.",
            field="place_id",
        )
    if place.set_point_c is not None:
        raise Refusal(
            f"{place.name} has a set point, and its windows count with that.",
            field="place_id",
        )


def forecast_of(book: Book, place_id: int, on: dt.date) -> Forecast:
    """Return what had been forecast for a place up to a day."""
    rows = book.all(
        ForecastDayRow,
        t.ForecastDay.place_id == place_id,
        t.ForecastDay.given_on <= on,
        order=(t.ForecastDay.given_on, t.ForecastDay.id),
    )
    return _standing(rows)


def forecasts_on(book: Book, on: dt.date) -> dict[int, Forecast]:
    """Return the forecasts of all places that reach that day or later."""
    rows = book.all(
        ForecastDayRow,
        t.ForecastDay.given_on <= on,
        t.ForecastDay.day >= on - dt.timedelta(days=MOST_DAYS),
        order=(t.ForecastDay.given_on, t.ForecastDay.id),
    )
    by_place: dict[int, list[ForecastDayRow]] = {}
    for row in rows:
        by_place.setdefault(row.place_id, []).append(row)
    return {place_id: _standing(found) for place_id, found in by_place.items()}


def _standing(rows: Iterable[ForecastDayRow]) -> Forecast:
    latest: dict[dt.date, ForecastDayRow] = {}
    earlier: list[ForecastDayRow] = []
    for row in rows:
        if row.day in latest:
            earlier.append(latest[row.day])
        latest[row.day] = row
    return Forecast(tuple(latest[day] for day in sorted(latest)), tuple(earlier[::-1]))


def typed_days(rows: Iterable[ForecastDayRow], zone: dt.tzinfo) -> list[TypedDay]:
    """Return the days as the futures take them."""
    return [
        TypedDay(
            dt.datetime.combine(row.day, dt.time(), zone).timestamp(),
            row.low_c,
            row.high_c,
        )
        for row in rows
    ]


def typed_words(rows: Iterable[ForecastDayRow]) -> str:
    """Say what was typed when: forecast typed 12 June for 13–17 June."""
    given: dict[dt.date, list[dt.date]] = {}
    for row in rows:
        given.setdefault(row.given_on, []).append(row.day)
    return ", ".join(
        f"forecast typed {short_day(on)} for {days_words(days)}"
        for on, days in sorted(given.items())
    )


def days_words(days: list[dt.date]) -> str:
    """Return days in words, days in a row as one span: 13–17 June, 20 June."""
    ordered = sorted(days)
    breaks = [
        n
        for n, (day, after) in enumerate(pairwise(ordered), start=1)
        if (after - day).days > 1
    ]
    ends = list(pairwise([0, *breaks, len(ordered)]))
    return ", ".join(_run_words(ordered[a], ordered[b - 1]) for a, b in ends)


def _run_words(first: dt.date, last: dt.date) -> str:
    if first != last and (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{short_day(last)}"  # a span of days
    return span_words(first, last)
