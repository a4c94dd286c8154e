"""What a keeper types, understood: days, times and counts as they come to the pen."""

from __future__ import annotations

import re
from datetime import date, time, timedelta

from rearing.problems import Refusal
from rearing.terms import Quality

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_WEEKDAYS = (
    *("Monday", "Tuesday", "Wednesday", "Thursday"),
    *("Friday", "Saturday", "Sunday"),
)
_AHEAD = timedelta(days=183)
_ABOUT = re.compile(r"^(?:~|about |abt |c\.? ?)\s*", re.IGNORECASE)
_AT_LEAST = re.compile(r"^(?:≥|>=|>|at least )\s*", re.IGNORECASE)


def day_words(day: date, *, year: bool = True) -> str:
    """Return a day as it is written on a page: Sat 12 June 2021."""
    text = f"{_WEEKDAYS[day.weekday()][:3]} {day.day} {_MONTHS[day.month - 1]}"
    return f"{text} {day.year}" if year else text


def near_words(day: date, today: date) -> str:
    """Return a day without its year where that is this year's: Sat 12 June."""
    return day_words(day, year=day.year != today.year)


def parse_day(text: str, today: date) -> date | None:
    """Understand a typed day; empty is None.

    Takes 2021-06-12, 12.6.2021, 12/6, 12 jun, 12 (the nearest such day that is not
    half a year ahead), today, yesterday, -3 (days ago), Sat (the last one).
    Raises Refusal for anything else.
    """
    said = text.strip().casefold().rstrip(".")
    if not said:
        return None
    for understand in (_spoken_day, _iso_day, _numbered_day):
        day = understand(said, today)
        if day is not None:
            return day
    raise Refusal(
        f"“{text.strip()}” is not a day. Write it as 12 June, 12.6. or 2021-06-12."
    )


def _spoken_day(said: str, today: date) -> date | None:
    near = {"today": 0, "yesterday": -1, "tomorrow": 1}
    if said in near:
        return today + timedelta(days=near[said])
    if re.fullmatch(r"[-−+]\d{1,3}", said):
        return today + timedelta(days=int(said.replace("−", "-")))
    for number, name in enumerate(_WEEKDAYS):
        if len(said) >= 3 and name.casefold().startswith(said):
            return today - timedelta(days=(today.weekday() - number) % 7)
    return None


def _iso_day(said: str, _today: date) -> date | None:
    if re.fullmatch(r"\d{4}-\d{1,2}-\d{1,2}", said):
        return _day(*(int(part) for part in said.split("-")))
    return None


def _numbered_day(said: str, today: date) -> date | None:
    # a written day may carry its weekday in front, as day_words writes it
    said = re.sub(r"^(mon|tue|wed|thu|fri|sat|sun)[a-z]*,? +", "", said)
    parts = [part for part in re.split(r"[\s./]+", said) if part]
    if not 1 <= len(parts) <= 3 or not parts[0].isdecimal():
        return None
    month = _month(parts[1]) if len(parts) > 1 else today.month
    if month is None:
        return None
    number = int(parts[0])
    if len(parts) == 3:
        return _day(_year(parts[2]), month, number)
    year = today.year
    if len(parts) == 1 and _day(year, month, number) is None:
        return None
    day = _day(year, month, number)
    if day is not None and day - today > _AHEAD:
        day = _day(year - 1, month, number)
    return day


def _month(text: str) -> int | None:
    if text.isdecimal():
        return int(text)
    for number, name in enumerate(_MONTHS, start=1):
        if len(text) >= 3 and name.casefold().startswith(text):
            return number
    return None


def _year(text: str) -> int:
    if not text.isdecimal():
        return 0
    return int(text) + (2000 if len(text) == 2 else 0)


def _day(year: int, month: int, number: int) -> date | None:
    try:
        return date(year, month, number)
    except ValueError:
        return None


def time_words(at: time) -> str:
    """Return a time of day as 22:40."""
    return at.strftime("%H:%M")


def parse_time(text: str) -> time | None:
    """Understand a typed time of day, 22:40, 22.40, 2240 or 22; empty is None."""
    said = text.strip().casefold().removesuffix("h").strip()
    if not said:
        return None
    match = re.fullmatch(r"(\d{1,2})(?:[:. h]?(\d{2}))?", said)
    if match is not None:
        hour, minute = int(match[1]), int(match[2] or 0)
        if hour < 24 and minute < 60:
            return time(hour, minute)
    raise Refusal(f"“{text.strip()}” is not a time. Write it as 22:40.")


def parse_count(text: str) -> tuple[int, Quality] | None:
    """Understand a typed count: 34, ~40 (about), 34+ (at least); empty is None."""
    said, quality = text.strip(), Quality.EXACT
    if not said:
        return None
    if _ABOUT.match(said):
        said, quality = _ABOUT.sub("", said), Quality.ABOUT
    elif _AT_LEAST.match(said) or said.endswith("+"):
        said, quality = _AT_LEAST.sub("", said).rstrip("+"), Quality.AT_LEAST
    if not said.strip().isdecimal():
        raise Refusal(f"“{text.strip()}” is not a whole number.")
    return int(said), quality


def parse_amount(text: str) -> float | None:
    """Understand a typed amount with point or comma; empty is None."""
    said = text.strip().replace(",", ".").replace("−", "-")
    if not said:
        return None
    if not re.fullmatch(r"-?(\d+(\.\d*)?|\.\d+)", said):
        raise Refusal(f"“{text.strip()}” is not a number.")
    return float(said)
