"""Times of day written as text, and parting them from the day before them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np

from rearing.exchange.temperature_days import NO_DAY, day_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from rearing.exchange.temperature_preview import DateOrder

NO_OFFSET = -(2**30)
DAY_S = 86_400

# Offsets that zone letters behind a time stand for [h] (common practice, no source).
_ZONE_LETTERS = {
    **dict.fromkeys(("z", "utc", "gmt", "ut", "wet"), 0.0),
    **dict.fromkeys(("bst", "west", "cet", "mez"), 1.0),
    **dict.fromkeys(("cest", "mesz", "eet"), 2.0),
    **dict.fromkeys(("eest", "msk"), 3.0),
    **dict.fromkeys(("ast", "edt"), -4.0),
    **dict.fromkeys(("est", "cdt"), -5.0),
    **dict.fromkeys(("cst", "mdt"), -6.0),
    **dict.fromkeys(("mst", "pdt"), -7.0),
    "adt": -3.0,
    "pst": -8.0,
    "akst": -9.0,
    "akdt": -8.0,
    "hst": -10.0,
    "aest": 10.0,
    "aedt": 11.0,
    "nzst": 12.0,
    "nzdt": 13.0,
}
_OFFSET = r"(?:(?:UTC|GMT)?\s*[+\-−]\d{1,2}(?::?\d\d)?|[A-Za-z]{1,4})"
_HALF = r"(?:[APap]\.?\s?[Mm]\.?(?![A-Za-z]))"
_TIME = re.compile(
    rf"(?P<h>\d{{1,2}})(?:\s?[:.hH]\s?(?P<m>\d\d)(?:[:.'m](?P<s>\d\d)"
    rf"(?:[.,:](?P<f>\d{{1,9}}))?s?)?|[hH])?\s*(?P<half>{_HALF})?\s*(?P<zone>{_OFFSET})?",
    re.ASCII,
)
_COMPACT = re.compile(rf"(\d\d)(\d\d)(\d\d)?\s*(?P<zone>{_OFFSET})?", re.ASCII)
_WITHIN = re.compile(
    rf"(?<![\d.:])\d{{1,2}}:\d\d(?::\d\d(?:[.,]\d+)?)?(?!\d)(?:\s*{_HALF})?"
    r"(?:\s*(?:(?:UTC|GMT)?[+\-−]\d{1,2}:?\d\d(?!\d)|Z\b|UTC\b|GMT\b|[A-Z]{3,4}$))?",
    re.ASCII,
)
_ALL_FIGURES = re.compile(r"\d{10}(?:\d\d){0,2}", re.ASCII)
_CLOCK_WORD = re.compile(r"\s*(?:Uhr|hrs?\.?|h)$", re.IGNORECASE)


def offset_of(text: str) -> int | None:
    """Return the seconds east of Greenwich of ``+02:00``, ``UTC-5`` or ``CEST``."""
    plain = text.strip().lower().replace("−", "-")
    if plain in _ZONE_LETTERS:
        return round(_ZONE_LETTERS[plain] * 3600)
    found = re.fullmatch(
        r"(?:utc|gmt)?\s*([+-])(\d{1,2})(?::?(\d\d))?", plain, re.ASCII
    )
    if found is None or int(found[2]) > 14 or int(found[3] or 0) > 59:
        return None
    seconds = int(found[2]) * 3600 + int(found[3] or 0) * 60
    return -seconds if found[1] == "-" else seconds


def time_of(text: str) -> tuple[int, int] | None:
    """Return (seconds after midnight, offset or NO_OFFSET) of a written time."""
    plain = _CLOCK_WORD.sub("", text.strip())
    if not plain:
        return 0, NO_OFFSET
    if found := _COMPACT.fullmatch(plain):
        hour, minute, second = int(found[1]), int(found[2]), int(found[3] or 0)
        half, fraction = "", 0.0
    elif found := _TIME.fullmatch(plain):
        hour, minute, second = (int(found[k] or 0) for k in ("h", "m", "s"))
        half, fraction = (found["half"] or "").lower(), float(f"0.{found['f'] or 0}")
    else:
        return None
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half.startswith("p") else 0)
    offset = offset_of(found["zone"]) if found["zone"] else NO_OFFSET
    # 24:00 is the midnight that ends the day (ISO 8601:2004).
    late = (hour, minute, second) == (24, 0, 0)
    if offset is None or minute > 59 or second > 59 or (hour > 23 and not late):
        return None
    return round(hour * 3600 + minute * 60 + second + fraction), offset


def halves_of(text: str) -> tuple[str, str]:
    """Part a written instant into its day and its time of day."""
    if _ALL_FIGURES.fullmatch(text):
        return text[:8], text[8:]
    if (found := _WITHIN.search(text)) is None:
        return _halves_without_colon(text)
    day = f"{text[: found.start()]} {text[found.end() :]}".strip(" \t,;@_-")
    return day.removesuffix("T"), found[0]


def _halves_without_colon(text: str) -> tuple[str, str]:
    for sign in ("T", " "):
        day, _, rest = text.partition(sign)
        if rest and len(day) >= 6 and time_of(rest) is not None:
            return day, rest
    return text, ""


def separator_of(samples: Iterable[str], order: DateOrder) -> str | None:
    """Return the one sign between day and time if cutting there is enough."""
    texts = list(samples)
    for sign in (" ", "T"):
        cut = [text.partition(sign) for text in texts]
        if all(
            day_number(day, order) != NO_DAY and time_of(rest) is not None
            for day, _, rest in cut
        ):
            return sign
    return None


class DayTexts(dict[str, int]):
    """Distinct day texts and their day numbers, each parsed once."""

    def __init__(self, order: DateOrder) -> None:
        super().__init__()
        self.order = order

    def __missing__(self, text: str) -> int:
        self[text] = number = day_number(text, self.order)
        return number


class TimeTexts(dict[str, int]):
    """Distinct time texts as places in a table of seconds and offsets."""

    def __init__(self) -> None:
        super().__init__()
        self.known: list[tuple[int, int]] = [(NO_DAY, NO_OFFSET)]

    def __missing__(self, text: str) -> int:
        if (time := time_of(text)) is None:
            place = 0
        else:
            place = len(self.known)
            self.known.append(time)
        self[text] = place
        return place

    def look_up(
        self, texts: Sequence[str]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Return seconds after midnight and offsets, NO_DAY where unreadable."""
        if len(self.known) > 200_000:
            self.clear()
            del self.known[1:]
        places = np.fromiter(map(self.__getitem__, texts), np.int64, len(texts))
        table = np.array(self.known, dtype=np.int64)
        return table[places, 0], table[places, 1]
