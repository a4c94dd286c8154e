"""A short weather forecast as it is typed or pasted: days, lowest and highest."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from rearing.problems import Refusal

FIELD = "text"
COLDEST_C, WARMEST_C = -50.0, 55.0

_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("jan", "january"),
            ("feb", "february"),
            ("mar", "march"),
            ("apr", "april"),
            ("may",),
            ("jun", "june"),
            ("jul", "july"),
            ("aug", "august"),
            ("sep", "sept", "september"),
            ("oct", "october"),
            ("nov", "november"),
            ("dec", "december"),
        ),
        start=1,
    )
    for name in names
}
_WEEKDAY = re.compile(
    r"^\s*(?:mon|tue|tues|wed|thu|thur|thurs|fri|sat|sun)[a-z]*[.,]?\s+", re.IGNORECASE
)
_ISO = re.compile(r"^\s*(\d{4})-(\d{1,2})-(\d{1,2})(?!\d)")
_NAMED = re.compile(
    r"^\s*(\d{1,2})(?:st|nd|rd|th)?\.?\s*([a-z]{3,9})\.?(?:\s+(\d{4}))?(?![\d.])",
    re.IGNORECASE,
)
_NAMED_FIRST = re.compile(
    r"^\s*([a-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?(?:,?\s+(\d{4}))?(?![\d.])",
    re.IGNORECASE,
)
_FIGURES = re.compile(r"^\s*(\d{1,2})\s?[./]\s?(\d{1,2})(?:[./]\s?(\d{4}))?\.?(?!\d)")
_NUMBER = re.compile(r"(?<![\d.,])[-−]?\d+(?:[.,]\d+)?")  # a true minus
_PARTING = re.compile(r"(?<=[\d°CF])[-–](?=\s*[-−]?\d)|\s[-–]\s+(?=[-−]?\d)")
_FAHRENHEIT = re.compile(r"°\s*F|(?<![A-Za-z])F(?![A-Za-z])|fahrenheit", re.IGNORECASE)
_CELSIUS = re.compile(r"°\s*C|(?<![A-Za-z])C(?![A-Za-z])|celsius", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class TypedLine:
    """One day as it was typed: its line's number, lowest and highest [°C]."""

    line: int
    day: dt.date
    low_c: float
    high_c: float


def forecast_lines(text: str, given_on: dt.date) -> tuple[TypedLine, ...]:
    """Read a day on each line, in order of days; a head of words is passed over.

    A day without a year is the one nearest to `given_on`. The lowest and the highest
    may stand the other way about when they do so on every line, and are taken as °F
    where the text says F. Refusal with the line's number where a line can't be meant.
    """
    in_f = _FAHRENHEIT.search(text) is not None
    if in_f and _CELSIUS.search(text):
        raise Refusal("°C and °F both stand here; write one of them.", field=FIELD)
    rows = [
        (number, words)
        for number, words in enumerate(text.splitlines(), start=1)
        if words.strip()
    ]
    if rows and not any(sign.isdigit() for sign in rows[0][1]):
        del rows[0]
    read = [_line(number, words, given_on) for number, words in rows]
    if not read:
        raise Refusal("Write a day on each line: 28 June 9 21.", field=FIELD)
    if all(one.low_c > one.high_c for one in read):
        read = [TypedLine(o.line, o.day, o.high_c, o.low_c) for o in read]
    if in_f:
        read = [
            TypedLine(o.line, o.day, _from_f(o.low_c), _from_f(o.high_c)) for o in read
        ]
    for one in read:
        _refuse_odd(one, in_f=in_f)
    _refuse_twice(read)
    return tuple(sorted(read, key=lambda one: one.day))


def _line(number: int, words: str, given_on: dt.date) -> TypedLine:
    plain = _WEEKDAY.sub("", words)
    day, rest = _day(number, plain, given_on)
    # A dash close behind a figure, or alone, parts two; before one it is its sign.
    parted = _PARTING.sub(" ", rest)
    if parted.lstrip().startswith(","):
        parted = parted.replace(",", " ")
    figures = [_figure(found) for found in _NUMBER.findall(parted)]
    if len(figures) != 2:
        raise Refusal(
            f"Line {number}, “{words.strip()}”: after the day a lowest and a highest "
            f"are needed; {_found(len(figures))}.",
            field=FIELD,
        )
    return TypedLine(number, day, *figures)


def _day(number: int, words: str, given_on: dt.date) -> tuple[dt.date, str]:
    for pattern, order in (
        (_ISO, "ymd"),
        (_NAMED, "dmy"),
        (_NAMED_FIRST, "mdy"),
        (_FIGURES, "dmy"),
        (_FIGURES, "mdy"),
    ):
        found = pattern.match(words)
        if found is None:
            continue
        parts = dict(zip(order, found.groups(), strict=True))
        day = _of(parts["d"], parts["m"], parts["y"], given_on)
        if day is not None:
            return day, words[found.end() :]
    raise Refusal(
        f"Line {number}, “{words.strip()}”: it begins with no day. Write it like "
        "28 June 9 21, 28.6. 9/21 or 2021-06-28 9 21.",
        field=FIELD,
    )


def _of(day: str, month: str, year: str | None, given_on: dt.date) -> dt.date | None:
    number = int(month) if month.isdigit() else _MONTHS.get(month.lower(), 0)
    years = [int(year)] if year else [given_on.year + n for n in (-1, 0, 1)]
    made = []
    for one in years:
        try:
            made.append(dt.date(one, number, int(day)))
        except ValueError:
            continue
    return min(made, key=lambda one: abs(one - given_on), default=None)


def _figure(found: str) -> float:
    return float(found.replace("−", "-").replace(",", "."))


def _from_f(fahrenheit: float) -> float:
    return round((fahrenheit - 32) / 1.8, 2)


def _found(number: int) -> str:
    return "there is none" if not number else f"there {_are(number)}"


def _are(number: int) -> str:
    return "is only one" if number == 1 else f"are {number}"


def _refuse_odd(one: TypedLine, *, in_f: bool) -> None:
    if one.low_c > one.high_c:
        raise Refusal(
            f"Line {one.line}: the lowest, {one.low_c:g}°, is above the highest, "
            f"{one.high_c:g}°.",
            field=FIELD,
        )
    if one.low_c < COLDEST_C or one.high_c > WARMEST_C:
        asked = "" if in_f else "; is it °F? Then write F behind it"
        raise Refusal(
            f"Line {one.line}: {one.low_c:g} to {one.high_c:g} °C is no air{asked}.",
            field=FIELD,
        )


def _refuse_twice(read: list[TypedLine]) -> None:
    first: dict[dt.date, int] = {}
    for one in read:
        if one.day in first:
            raise Refusal(
                f"Line {one.line} has the same day as line {first[one.day]}.",
                field=FIELD,
            )
        first[one.day] = one.line
