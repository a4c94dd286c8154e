"""What the Heat page reads of a place: at once, or off the window's thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.desk.pages.heat_span import BAND_FROM_DAYS
from rearing.keeping.following import Following, following_of
from rearing.keeping.forecasts import Forecast, forecast_of
from rearing.keeping.heat_page import (
    DayHeat,
    PlaceLine,
    Series,
    earlier_years,
    filled_hours,
    heat_by_day,
    series,
)
from rearing.records.book import Book

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from rearing.desk.pages.heat_span import Span
    from rearing.desk.pages.heat_thresholds import Thresholds

FILLED_FROM_H = 7
"""A day is said to lean on filled hours from so many on; six are bridged by a line."""

YEARS_MOST_DAYS = 366
AT_ONCE_READINGS = 60_000
"""More than so many take longer to read than a page may stand still (about 50 ms)."""


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A place's temperatures and heat through a span, and the same days of other years.

    `filled` tells of each day whether it leans on filled hours; `by_day` whether days
    are to be shown as a band.
    """

    line: PlaceLine
    span: Span
    count: Thresholds
    read: Series
    days: tuple[DayHeat, ...]
    filled: tuple[bool, ...]
    years: tuple[tuple[str, tuple[DayHeat, ...]], ...]
    by_day: bool
    on: dt.date
    forecast: Forecast
    following: Following | None

    @property
    def is_known(self) -> bool:
        """Whether any hour of the span is known."""
        return bool(np.isfinite(self.read.celsius).any())

    @property
    def total(self) -> float:
        """The degree-days of the span."""
        return self.days[-1].total


def read_course(
    book: Book, line: PlaceLine, span: Span, count: Thresholds, on: dt.date
) -> Course:
    """Read a place through a span, as on a day."""
    read = series(book, line.row, span.first, span.last)
    lower_c, upper_c = count.lower_c, count.upper_c
    known = np.isfinite(read.celsius).any()
    years: tuple[tuple[str, tuple[DayHeat, ...]], ...] = ()
    if known and span.length <= YEARS_MOST_DAYS:
        ends = (span.first, span.last)
        years = earlier_years(book, line.row, ends, lower_c=lower_c, upper_c=upper_c)
    return Course(
        line=line,
        span=span,
        count=count,
        read=read,
        days=heat_by_day(read, lower_c=lower_c, upper_c=upper_c),
        filled=tuple(hours >= FILLED_FROM_H for hours in filled_hours(read)),
        years=years,
        by_day=span.length >= BAND_FROM_DAYS or not line.readings,
        on=on,
        forecast=forecast_of(book, line.row.id, on),
        following=following_of(book, line.row, on),
    )


def is_much(line: PlaceLine, span: Span) -> bool:
    """Tell whether reading this span would hold the page up."""
    if line.first is None or line.last is None or not line.readings:
        return False
    read_days = (line.last - line.first).days + 1
    years = min(3, 1 + read_days // 366)
    return line.readings / read_days * span.length * years > AT_ONCE_READINGS


@dataclass(frozen=True, slots=True)
class CourseJob:
    """Reads a course by a door of its own, for the lane of science."""

    path: Path
    line: PlaceLine
    span: Span
    count: Thresholds
    on: dt.date

    def run(self) -> Course:
        """Read it."""
        with Book.open(self.path) as book:
            return read_course(book, self.line, self.span, self.count, self.on)
