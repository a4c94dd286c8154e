"""Dates as a keeper types them: ISO 8601, or anything that can mean one day only."""

from __future__ import annotations

import datetime as dt
import warnings
from contextlib import suppress
from itertools import product
from typing import TYPE_CHECKING

from rearing.problems import Refusal

if TYPE_CHECKING:
    from rearing.keeping.facts import Home

EARLIEST, LATEST = 1800, 2200
"""Years a rearing book can speak of; others are slips of the pen."""
_LONGEST = 40
_BLANKS = (dt.datetime(2000, 2, 3), dt.datetime(2004, 5, 6))  # noqa: DTZ001 - a day
_EITHER = (True, False)
_UNREADABLE = (
    ArithmeticError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
    Warning,
)
"""What dateutil raises for texts of many kinds that are no date."""


def day_from(text: str) -> dt.date:
    """Return the day a text means; refuse one that could mean two, or none."""
    day = _iso(text) or _only_reading(text)
    if not EARLIEST <= day.year <= LATEST:
        raise Refusal(
            f"“{_short(text)}” is the year {day.year}; dates here run from "
            f"{EARLIEST} to {LATEST}.",
            field="on",
        )
    return day


def day_of(asked: dt.date | None, home: Home, now: dt.datetime) -> dt.date:
    """Return the day a book is shown on: as asked, its own, or today at home."""
    return asked or home.as_on or today_at(home, now)


def today_at(home: Home, now: dt.datetime) -> dt.date:
    """Return the day it is at home."""
    return now.astimezone(home.zone).date()


def full_day(day: dt.date) -> str:
    """Return a day in full: Saturday 12 June 2021."""
    return f"{day:%A} {day.day} {day:%B} {day.year}"


def _iso(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        return None


def _only_reading(text: str) -> dt.date:
    found = _readings(text) if len(text) <= _LONGEST else set()
    if len(found) == 1:
        return found.pop()
    why = "can mean more than one day" if found else "is no date"
    raise Refusal(f"“{_short(text)}” {why}; write it like 2021-06-12.", field="on")


def _readings(text: str) -> set[dt.date]:
    """Return every day the text could mean; parts it leaves out vary too."""
    # Imported here: only dates that aren't ISO need it.
    from dateutil import parser

    found = set()
    with warnings.catch_warnings():
        # Words taken for an unknown time zone make it no date of ours.
        warnings.simplefilter("error")
        for blank, day_first, year_first in product(_BLANKS, _EITHER, _EITHER):
            with suppress(*_UNREADABLE):
                moment = parser.parse(
                    text, default=blank, dayfirst=day_first, yearfirst=year_first
                )
                found.add(moment.date())
    return found


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "…"
