"""One axis of days shared by all that is drawn above each other."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

_STEPS = (1, 2, 7, 14, 28, 56, 91, 182, 365)
_MONTHS = (
    *("Jan", "Feb", "March", "April", "May", "June"),
    *("July", "Aug", "Sept", "Oct", "Nov", "Dec"),
)
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def days_from_start(when: date) -> float:
    """Return a day or local moment as days, midday for a bare day."""
    if isinstance(when, datetime):
        into = when.hour / 24 + when.minute / 1440 + when.second / 86400
        return when.toordinal() + into
    return when.toordinal() + 0.5


def short_day(when: date, *, weekday: bool = False) -> str:
    """Return 8 July, or Thu 8 July."""
    text = f"{when.day} {_MONTHS[when.month - 1]}"
    return f"{_WEEKDAYS[when.weekday()]} {text}" if weekday else text


def span_words(low: date, middle: date, high: date, *, weekday: bool = False) -> str:
    """Return a window in words: 8 July (5–11), 31 July (27–6 Aug)."""
    if low == high:
        return f"{short_day(middle, weekday=weekday)} (that day)"
    first = str(low.day) if low.month == middle.month else short_day(low)
    last = str(high.day) if high.month == low.month == middle.month else short_day(high)
    if low.month == middle.month != high.month:
        first = str(low.day)
    return f"{short_day(middle, weekday=weekday)} ({first}–{last})"


@dataclass(frozen=True, slots=True)
class DateScale:
    """Days from `first` to `last` laid between two x."""

    first: date
    last: date
    left: float
    right: float

    def x(self, when: date) -> float:
        """Return where a day or moment stands."""
        start = float(self.first.toordinal())
        whole = max(self.last.toordinal() + 1 - start, 1.0)
        into = (days_from_start(when) - start) / whole
        return self.left + into * (self.right - self.left)

    def edge(self, day: date) -> float:
        """Return where a day begins."""
        return self.x(datetime.combine(day, time.min))

    def ticks(self, apart: float) -> tuple[date, ...]:
        """Return evenly stepped days at least `apart` pixels from each other."""
        days = max((self.last - self.first).days + 1, 1)
        for_one = (self.right - self.left) / days
        step = next((s for s in _STEPS if s * for_one >= apart), _STEPS[-1])
        return tuple(self.first + timedelta(days=at) for at in range(0, days, step))
