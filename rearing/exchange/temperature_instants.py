"""From the fields of rows to wall-clock seconds, whatever columns the date is in."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.exchange.temperature_days import NO_DAY, day_number
from rearing.exchange.temperature_hours import (
    DAY_S,
    NO_OFFSET,
    DayTexts,
    TimeTexts,
    halves_of,
    separator_of,
    time_of,
)
from rearing.exchange.temperature_numbers import decimal_of, number_of
from rearing.exchange.temperature_preview import DateForm, DateOrder, Role

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.exchange.temperature_preview import Understanding

_SERIAL_OF_1970 = 25_569
_DATE_ROLES = (Role.INSTANT, Role.DAY, Role.YEAR, Role.MONTH, Role.DAY_OF_MONTH)
_TIME_ROLES = (Role.TIME, Role.HOUR, Role.MINUTE, Role.AFTER_TIME)


def date_columns(how: Understanding) -> tuple[int, ...]:
    """Return the columns without which a row has no date."""
    return tuple(column.index for column in how.of_role(*_DATE_ROLES))


def clock_columns(how: Understanding) -> tuple[int, ...]:
    """Return every column that says when."""
    return tuple(column.index for column in how.of_role(*_DATE_ROLES, *_TIME_ROLES))


class InstantFields:
    """Reads when each row was, remembering every distinct text."""

    def __init__(self, how: Understanding) -> None:
        self.how = how
        self.days = DayTexts(how.date_order)
        self.times = TimeTexts()
        self.separator: str | None = None
        whole = how.of_role(Role.INSTANT)
        self.whole = whole[0].index if whole else None
        if whole and how.date_form is DateForm.WRITTEN:
            self.separator = separator_of(whole[0].samples, how.date_order)
        if self.whole is None and how.of_role(Role.YEAR):
            self.days.order = DateOrder.YEAR_FIRST

    def day_texts(self, rows: Sequence[Sequence[str]]) -> list[str]:
        """Return the day part of each row as it is written."""
        return self._halves(rows)[0]

    def read(
        self, rows: Sequence[Sequence[str]]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Return wall-clock seconds (NO_DAY if unreadable) and written offsets [s]."""
        if self.how.date_form is not DateForm.WRITTEN:
            return self._counted(rows)
        days, times = self._halves(rows)
        day = np.fromiter(map(self.days.__getitem__, days), np.int64, len(days))
        second, offset = self.times.look_up(times)
        good = (day != NO_DAY) & (second != NO_DAY)
        local = np.where(good, day * DAY_S + second, NO_DAY)
        if self.whole is not None:
            for at in np.flatnonzero(~good).tolist():
                local[at], offset[at] = self._patiently(rows[at][self.whole])
        return local, offset

    def _halves(self, rows: Sequence[Sequence[str]]) -> tuple[list[str], list[str]]:
        if self.whole is None:
            return self._from_columns(rows)
        texts = [row[self.whole] for row in rows]
        sign = self.separator
        if sign is None:
            cut = [halves_of(text) for text in texts]
            return [day for day, _ in cut], [time for _, time in cut]
        parts = [text.partition(sign) for text in texts]
        return [part[0] for part in parts], [part[2] for part in parts]

    def _from_columns(
        self, rows: Sequence[Sequence[str]]
    ) -> tuple[list[str], list[str]]:
        if day := self._place(Role.DAY):
            days = [row[day - 1].strip() for row in rows]
        else:
            y, m, d = (
                self._place(r) - 1 for r in (Role.YEAR, Role.MONTH, Role.DAY_OF_MONTH)
            )
            days = [f"{r[y].strip()}-{r[m].strip()}-{r[d].strip()}" for r in rows]
        return days, self._time_texts(rows)

    def _time_texts(self, rows: Sequence[Sequence[str]]) -> list[str]:
        if (time := self._place(Role.TIME)) or (time := self._place(Role.HOUR)):
            times = [row[time - 1].strip() for row in rows]
        else:
            return [""] * len(rows)
        if minute := self._place(Role.MINUTE):
            times = [
                f"{t}:{row[minute - 1].strip():0>2}"
                for t, row in zip(times, rows, strict=True)
            ]
        if after := self._place(Role.AFTER_TIME):
            times = [
                f"{t} {row[after - 1].strip()}".rstrip()
                for t, row in zip(times, rows, strict=True)
            ]
        # An empty time beside a date is a missing time, not midnight.
        return [text or "?" for text in times]

    def _place(self, role: Role) -> int:
        """Return the column of a role counted from 1, or 0 if there is none."""
        found = self.how.of_role(role)
        return found[0].index + 1 if found else 0

    def _patiently(self, text: str) -> tuple[int, int]:
        """Read one instant that the quick way could not."""
        day_text, time_text = halves_of(text.strip())
        day, time = day_number(day_text, self.how.date_order), time_of(time_text)
        if day == NO_DAY or time is None:
            return NO_DAY, NO_OFFSET
        return day * DAY_S + time[0], time[1]

    def _counted(
        self, rows: Sequence[Sequence[str]]
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        where = 0 if self.whole is None else self.whole
        local = np.fromiter(
            (self._count(row[where]) for row in rows), np.int64, len(rows)
        )
        is_utc = self.how.date_form is not DateForm.SERIAL
        return local, np.full(len(rows), 0 if is_utc else NO_OFFSET)

    def _count(self, text: str) -> int:
        figure = number_of(text, decimal_of([text]))
        if figure is None:
            return NO_DAY
        if self.how.date_form is DateForm.EPOCH_S:
            seconds = figure
        elif self.how.date_form is DateForm.EPOCH_MS:
            seconds = figure / 1000
        else:
            seconds = (figure - _SERIAL_OF_1970) * DAY_S
        return round(seconds) if -4e9 < seconds < 7e9 else NO_DAY
