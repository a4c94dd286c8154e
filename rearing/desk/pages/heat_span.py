"""The stretch of days the Heat page shows, and how the keys move it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from rearing.keeping.moments import short_day

LENGTHS = (7, 14, 30, 60, 90, 180, 365, 730)
FIRST_LENGTH = 30
BAND_FROM_DAYS = 46
"""From so many days on, days are shown as a band: an hourly line would be a blur."""


@dataclass(frozen=True, slots=True)
class Span:
    """So many days up to and with the last one."""

    last: dt.date
    length: int = FIRST_LENGTH

    @property
    def first(self) -> dt.date:
        """The first day."""
        return self.last - dt.timedelta(days=self.length - 1)

    @property
    def words(self) -> str:
        """The days in words, the year named once where it is one."""
        if self.first.year == self.last.year:
            return f"{short_day(self.first)} to {short_day(self.last)} {self.last.year}"
        return (
            f"{short_day(self.first)} {self.first.year} to "
            f"{short_day(self.last)} {self.last.year}"
        )

    def moved(self, way: int, today: dt.date) -> Span:
        """Return the span half its length earlier (-1) or later (1), not past today."""
        step = dt.timedelta(days=max(self.length // 2, 1) * way)
        return replace(self, last=min(self.last + step, today))

    def resized(self, way: int) -> Span:
        """Return the next longer (1) or shorter (-1) span that ends on the same day."""
        longer = [days for days in LENGTHS if days > self.length]
        shorter = [days for days in LENGTHS if days < self.length]
        if way > 0:
            return replace(self, length=longer[0] if longer else self.length)
        return replace(self, length=shorter[-1] if shorter else self.length)
