"""What the Heat page says in sentences, and how its lists are written."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, State
from rearing.desk.widgets.marks import Mark
from rearing.keeping.forecasts import typed_words
from rearing.keeping.moments import counted, day_words, short_day
from rearing.science.weather import How

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.pages.heat_span import Span
    from rearing.desk.pages.heat_thresholds import Thresholds
    from rearing.keeping.forecasts import Forecast
    from rearing.keeping.heat_page import DayHeat, PlaceLine, Series
    from rearing.records.rows import ReadingImportRow

PLACE_COLUMNS = (
    Column("Place", Ink.CODE),
    Column("Last day", Ink.NUMBER),
    Column("Rests on", Ink.TEXT, stretch=True),
    Column("Set point", Ink.KNOWN),
    Column("Readings", Ink.KNOWN),
)
IMPORT_COLUMNS = (
    Column("File", Ink.CODE),
    Column("Column", Ink.TEXT),
    Column("What came of it", Ink.TEXT, stretch=True),
    Column("Number", Ink.NUMBER),
    Column("Kind", Ink.KNOWN),
)
SPAN_CAPS = {"W": 7, "M": 30, "Q": 90, "Y": 365}
SIZES = {"+": 1, "=": 1, "-": -1, "−": -1, "_": -1}
PLACE_KEYS = (
    KeyOffer("I", "import"),
    KeyOffer("T", "thresholds"),
    KeyOffer("R", "rates"),
    KeyOffer("F", "forecast"),
    KeyOffer("L", "follow", quiet=True),
    KeyOffer("←", "earlier", quiet=True),
    KeyOffer("→", "later", quiet=True),
    KeyOffer("+", "more", quiet=True, answers="+="),
    KeyOffer("−", "less", quiet=True, answers="-−_"),
    KeyOffer("W", "week", quiet=True),
    KeyOffer("M", "month", quiet=True, answers="MQ"),
    KeyOffer("Y", "year", quiet=True),
    KeyOffer("P", "place", quiet=True),
    KeyOffer("E", "change", quiet=True),
)
NO_PLACE = (
    "No place is entered yet.",
    "P enters a shelf, a shed or a porch where boxes stand. Then I takes in what its "
    "logger wrote, and forecasts count its heat.",
)
KEY_HELP = (
    (
        "Heat",
        "↑ ↓   another place\n← →   earlier or later by half a span\n"
        "+ −   a longer or shorter span\nW M Q Y   a week, month, quarter, year\n"
        "PgUp PgDn   up and down the page\nTab   on to the charts and the imports\n"
        "I   import a logger's or weather file\nT   thresholds of the degree-days\n"
        "R   rates, from durations on record\n"
        "F   a weather forecast, typed or pasted\n"
        "L   which place this one follows\n"
        "P   a new place\nE   change this place\n"
        "Enter   on an import: the lines that were set aside",
    ),
    (
        "Import",
        "Enter   look at the file, then take it in\nF3   look for the file\n"
        "1 2 3   answer a question\nTab   on to the next field\n"
        "Esc   stop what is going on, then leave",
    ),
)
_ODD_TOLD = 6


def degrees(celsius: float) -> str:
    """Return a temperature with one decimal and a true minus sign."""
    return f"{celsius:.1f}°".replace("-", "−")


def place_line(line: PlaceLine, now_c: float | None) -> Line:
    """Return a place as a ruled line: what its temperature rests on, in words."""
    row = line.row
    read = [counted_far(line.readings, "reading")] if line.readings else []
    read += [counted_far(line.days, "day")] if line.days else []
    warmth = "" if now_c is None else degrees(now_c)
    words, point = read_words(line), point_words(line)
    return Line(
        key=row.id,
        cells=(row.name, warmth, words, point, ", ".join(read)),
        sentence=". ".join(p for p in (row.name, warmth, words, point, *read) if p),
        mark=Mark.SQUARE if not line.last and row.set_point_c is None else Mark.NONE,
        state=State.PLAIN,
        keys=PLACE_KEYS,
    )


def rests_on(line: PlaceLine) -> str:
    """Say what the temperature of a place rests on."""
    told = [read_words(line), point_words(line)]
    return ", ".join(part for part in told if part)


def read_words(line: PlaceLine) -> str:
    """Say from when to when a place was read."""
    if line.first and line.last:
        if line.first.year == line.last.year:
            return f"Read {short_day(line.first)} to {_far_day(line.last)}"
        return f"Read {_far_day(line.first)} to {_far_day(line.last)}"
    if line.row.set_point_c is not None:
        return "Not read"
    return "Nothing: not read, no set point"


def point_words(line: PlaceLine) -> str:
    """Return the set point in words, empty without one."""
    point = line.row.set_point_c
    return "" if point is None else f"set point {point:g}°".replace("-", "−")


def counted_far(number: int, thing: str) -> str:
    """Return a large number with its thing: 12,345 readings."""
    return f"{number:,} {thing}{'' if number == 1 else 's'}"


def _far_day(day: dt.date) -> str:
    return f"{short_day(day)} {day.year}"


def temperature_sentence(read: Series, span: Span) -> str:
    """Say the coldest, the warmest and the mean of a span, before its chart."""
    # What was filled is a mean of other days: it makes no record of its own.
    seen = np.where(read.how == How.FILLED, np.nan, read.celsius)
    if not np.isfinite(seen).any():
        return f"Nothing was read at {read.place.name} from {span.words}."
    warm = _moment_of(read, int(np.nanargmax(seen)))
    cold = _moment_of(read, int(np.nanargmin(seen)))
    mean = float(np.nanmean(seen))
    return (
        f"{read.place.name} was at {degrees(mean)} on the mean, coldest {cold}, "
        f"warmest {warm}."
    )


def _moment_of(read: Series, at: int) -> str:
    day = day_words(read.moment(at).date())
    return f"{degrees(float(read.celsius[at]))} on {day}"


def holes_sentence(read: Series) -> str:
    """Say what is filled, what nobody knows and what is odd."""
    told = []
    if read.filled_hours:
        told.append(
            f"{hours_words(read.filled_hours)} filled from the days around, in pencil"
        )
    if read.hole_hours:
        told.append(f"{hours_words(read.hole_hours)} nobody knows, hatched")
    if read.odd_at:
        told.append(f"{counted(len(read.odd_at), 'odd reading')} left out, ringed")
    return ("; ".join(told) + ".").capitalize() if told else "Read without a hole."


def hours_words(hours: int) -> str:
    """Return a number of hours as hours, or as days when they are many."""
    return counted(hours, "hour") if hours < 72 else f"{hours / 24:.0f} days"


def odd_words(read: Series) -> str:
    """List the odd readings, the latest first."""
    pairs = list(zip(read.odd_at, read.odd_c, strict=True))[::-1]
    told = [
        f"{day_words(at.date())} {at:%H:%M} {degrees(value)}"
        for at, value in pairs[:_ODD_TOLD]
    ]
    if len(pairs) > _ODD_TOLD:
        told.append(f"and {len(pairs) - _ODD_TOLD} earlier")
    return ";  ".join(told)


def heat_sentence(days: Sequence[DayHeat], span: Span, count: Thresholds) -> str:
    """Say the sum of a span and what a day of it brings."""
    known = [day for day in days if np.isfinite(day.degree_days)]
    if not known:
        return f"No day of {span.words} is known well enough to count its heat."
    total = known[-1].total
    each = total / len(known)
    return f"{sum_words(days)} {count.words} from {span.words}, {each:.1f} a day."


def sum_words(days: Sequence[DayHeat]) -> str:
    """Return the sum of a span; days nobody knows make it a least."""
    whole = all(np.isfinite(day.degree_days) for day in days)
    least = "" if whole else "At least "
    return f"{least}{days[-1].total:,.0f} degree-days"


def heat_note(days: Sequence[DayHeat], filled: Sequence[bool], whose: str) -> str:
    """Say whose thresholds these are, and which days do not count fully."""
    told = [f"Thresholds of the {whose}" if whose else "Thresholds as typed"]
    holes = sum(not np.isfinite(day.degree_days) for day in days)
    if holes:
        told.append(f"{counted(holes, 'day')} not known and not in the sum")
    if some := sum(filled):
        told.append(f"{counted(some, 'day')} with filled hours, hatched")
    return "; ".join(told) + "."


def import_line(row: ReadingImportRow, zone: dt.tzinfo) -> Line:
    """Return an import as a ruled line; Enter shows what was set aside."""
    first, last = (_day_of(at, row, zone) for at in (row.first_s, row.last_s))
    aside = f"{row.set_aside:,} set aside" if row.set_aside else "nothing set aside"
    words = f"{_far_day(first)} to {_far_day(last)}, {aside}"
    kind = "days" if row.daily else "readings"
    offers = (KeyOffer("Enter", "what was set aside"),) if row.set_aside else ()
    return Line(
        key=row.id,
        cells=(row.file_name, row.column, words, f"{row.number:,}", kind),
        sentence=f"{row.file_name}, {row.column}: {row.number:,} {kind}, {words}",
        keys=offers,
    )


def _day_of(at_s: int, row: ReadingImportRow, zone: dt.tzinfo) -> dt.date:
    # Days are kept as their midnight in UTC, whatever the zone.
    return dt.datetime.fromtimestamp(at_s, dt.UTC if row.daily else zone).date()


def forecast_lead(found: Forecast, on: dt.date) -> str:
    """Say the days still to come of a forecast, each with its lowest and highest."""
    days = [row for row in found.days if row.day >= on]
    told = [
        f"{short_day(row.day)} {_whole(row.low_c)} to {_whole(row.high_c)}"
        for row in days
    ]
    return f"Forecast: {', '.join(told)}." if told else ""


def forecast_more(found: Forecast, on: dt.date) -> str:
    """Say when it was typed, and what was said of the same days before."""
    told = [f"{typed_words(row for row in found.days if row.day >= on)}, in pencil"]
    before = [
        f"{short_day(row.day)} {_whole(row.low_c)} to {_whole(row.high_c)} "
        f"(of {short_day(row.given_on)})"
        for row in found.earlier
        if row.day >= on
    ]
    if before:
        told.append(f"before that {', '.join(before[:_ODD_TOLD])}")
    words = "; ".join(told)
    return f"{words[0].upper()}{words[1:]}."


def _whole(celsius: float) -> str:
    return f"{celsius:.3g}°".replace("-", "−")
