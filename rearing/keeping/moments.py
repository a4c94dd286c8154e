"""Days and moments as a keeper means them: the evening a night is dated by."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from rearing.problems import AskFirst, Refusal
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

NOON = dt.time(12)


def zone_of(name: str) -> ZoneInfo:
    """Return the time zone, or refuse a name that is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Refusal(
            f"“{name}” is not a time zone; write it like Europe/Ljubljana.",
            field="zone",
        ) from None


def evening_of(moment: dt.datetime) -> dt.date:
    """Return the evening a local moment belongs to: before noon it is yesterday's.

    Common practice, no source: the night is dated by the evening the lamp was lit.
    """
    if moment.time() < NOON:
        return moment.date() - dt.timedelta(days=1)
    return moment.date()


def in_night(
    evening: dt.date, clock: dt.time, zone: dt.tzinfo, *, later: bool | None = None
) -> dt.datetime:
    """Return the moment a clock showed in the night of an evening.

    A time before noon is the morning after. Where the clocks change, a time that did
    not exist is refused with the two it may have been, and one that came twice is
    asked about: `later` False takes the first, True the second.
    """
    day = evening if clock >= NOON else evening + dt.timedelta(days=1)
    moment = dt.datetime.combine(day, clock, zone)
    return _settled(moment, later=later)


def on_day(day: dt.date, clock: dt.time, zone: dt.tzinfo) -> dt.datetime:
    """Return a moment of a calendar day, moved on where the clocks skip it."""
    moment = dt.datetime.combine(day, clock, zone)
    return moment.astimezone(dt.UTC).astimezone(zone)


def _settled(moment: dt.datetime, *, later: bool | None) -> dt.datetime:
    zone = moment.tzinfo
    back_and_forth = moment.astimezone(dt.UTC).astimezone(zone)
    if back_and_forth.replace(tzinfo=None) != moment.replace(tzinfo=None):
        step = abs(back_and_forth.replace(tzinfo=None) - moment.replace(tzinfo=None))
        before, after = moment - step, moment + step
        raise Refusal(
            f"{moment:%H:%M} does not exist that night: the clocks go forward. Was it "
            f"{before:%H:%M} or {after:%H:%M}?",
            field="at",
        )
    other = moment.replace(fold=1)
    if other.utcoffset() != moment.utcoffset():
        if later is None:
            raise AskFirst(
                f"{moment:%H:%M} comes twice that night: the clocks go back. Was it "
                "the second time?",
                field="at",
            )
        return other if later else moment
    return moment


@lru_cache(maxsize=4096)
def day_words(day: dt.date, *, year: bool = False) -> str:
    """Return a day as it is written in the book: Fri 28 May."""
    words = f"{day:%a} {day.day} {day:%B}"
    return f"{words} {day.year}" if year else words


@lru_cache(maxsize=4096)
def short_day(day: dt.date) -> str:
    """Return a day without its weekday: 28 May."""
    return f"{day.day} {day:%B}"


def span_words(first: dt.date, last: dt.date) -> str:
    """Return a span of days: 18 to 24 April, or 28 May to 2 June."""
    if first == last:
        return short_day(first)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {short_day(last)}"
    return f"{short_day(first)} to {short_day(last)}"


def counted(number: int, thing: str, things: str | None = None) -> str:
    """Return a number with its thing: 1 larva, 2 larvae."""
    return f"{number} {thing if number == 1 else (things or thing + 's')}"


def stages_words(numbers: Mapping[Stage, int]) -> str:
    """Return how many stand in which stage: L4 9, L5 48; or 14 pupae."""
    many = {Stage.PUPA: "pupae", Stage.ADULT: "moths", Stage.EGG: "eggs"}
    said = []
    for stage in Stage:
        number = numbers.get(stage, 0)
        if number and stage.is_larva:
            said.append(f"{stage} {number}")
        elif number:
            said.append(counted(number, stage, many.get(stage, stage)))
    return ", ".join(said)


def refuse_future(day: dt.date, today: dt.date, *, sure: bool, field: str) -> None:
    """Ask about a date after today, which is mostly a slip of the pen."""
    if day > today and not sure:
        raise AskFirst(
            f"{day_words(day, year=True)} is still to come. Is it meant?", field=field
        )


def refuse_negative(number: int, *, field: str = "number") -> None:
    """Refuse a number of animals below nought."""
    if number < 0:
        raise Refusal("A number of animals can't be below nought.", field=field)


def refuse_none(number: int, *, field: str = "number") -> None:
    """Refuse nought where something must have happened."""
    if number < 1:
        raise Refusal("Enter at least one.", field=field)
