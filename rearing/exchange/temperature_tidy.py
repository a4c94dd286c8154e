"""Gathered rows into series: sorted, without repeats, in UTC or by the day."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from rearing.exchange.temperature_clock import to_utc, zone_named
from rearing.exchange.temperature_hours import DAY_S
from rearing.exchange.temperature_preview import MEASURES, Role
from rearing.exchange.temperature_roles import series_name
from rearing.exchange.temperature_series import (
    DailySeries,
    InstantSeries,
    Temperatures,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from rearing.exchange.temperature_preview import Column, Understanding
    from rearing.exchange.temperature_rows import AsideLog, Gathered

OTHER_VALUE = "another value for a time that already has one; the first was kept"
LOW_OVER_HIGH = "the lowest is above the highest"
HALF_A_DAY = "only one of the day's lowest and highest"


class _Kept(NamedTuple):
    """Places of the rows kept, in rising order of key, and repeats left out."""

    places: NDArray[np.int64]
    repeats: int


def tidied(
    gathered: Gathered, how: Understanding, aside: AsideLog, path: Path
) -> Temperatures:
    """Return the temperatures of a file from its gathered rows."""
    series: list[InstantSeries] = []
    daily: list[DailySeries] = []
    repeats = guessed = 0
    for logger, rows in _by_logger(gathered):
        if how.daily:
            some_days, left_out = _days_of(gathered, how, aside, logger, rows)
            daily.extend(some_days)
        else:
            some, left_out, unsure = _instants_of(gathered, how, aside, logger, rows)
            series.extend(some)
            guessed += unsure
        repeats += left_out
    return Temperatures(
        tuple(series),
        tuple(daily),
        aside.told(path, how.encoding),
        dict(aside.counts),
        gathered.rows_read,
        repeats,
        gathered.blanks,
        guessed,
    )


def _by_logger(gathered: Gathered) -> Iterator[tuple[str, NDArray[np.int64]]]:
    if len(gathered.logger_names) < 2:
        name = gathered.logger_names[0] if gathered.logger_names else ""
        yield name, np.arange(len(gathered.line))
        return
    for code, name in enumerate(gathered.logger_names):
        yield name, np.flatnonzero(gathered.logger == code)


def _instants_of(
    gathered: Gathered,
    how: Understanding,
    aside: AsideLog,
    logger: str,
    rows: NDArray[np.int64],
) -> tuple[list[InstantSeries], int, int]:
    told = to_utc(gathered.local_s[rows], gathered.offset_s[rows], zone_named(how.zone))
    filled = np.zeros(len(rows), dtype=np.bool_)
    for celsius in gathered.celsius:
        filled |= ~np.isnan(celsius[rows])
    # A row without a figure is accounted for already.
    aside.add(_skipped(how.zone), gathered.line[rows[told.skipped & filled]])
    found: list[InstantSeries] = []
    repeats = 0
    measures = how.of_role(*MEASURES)
    for column, celsius in zip(measures, gathered.celsius, strict=True):
        usable = np.flatnonzero(~told.skipped & ~np.isnan(celsius[rows]))
        at_s, value = told.at_s[usable], celsius[rows[usable]]
        kept = _without_repeats(at_s, (value,), gathered.line[rows[usable]], aside)
        repeats += kept.repeats
        if len(kept.places):
            name = _name(column, logger, alone=len(measures) == 1)
            found.append(InstantSeries(name, at_s[kept.places], value[kept.places]))
    return found, repeats, int(np.count_nonzero(told.guessed))


def _skipped(zone: str) -> str:
    return (
        f"a time that did not exist in {zone}: the clocks went forward. A logger"
        " that keeps one time all year needs a fixed offset instead"
    )


def _days_of(
    gathered: Gathered,
    how: Understanding,
    aside: AsideLog,
    logger: str,
    rows: NDArray[np.int64],
) -> tuple[list[DailySeries], int]:
    day = gathered.local_s[rows] // DAY_S
    line = gathered.line[rows]
    found: list[DailySeries] = []
    repeats = 0
    pairs = _pairs(how.of_role(*MEASURES))
    for name, low_at, high_at in pairs:
        low, high = gathered.celsius[low_at][rows], gathered.celsius[high_at][rows]
        half = np.isnan(low) != np.isnan(high)
        crossed = low > high
        aside.add(HALF_A_DAY, line[half])
        aside.add(LOW_OVER_HIGH, line[crossed])
        usable = np.flatnonzero(~(np.isnan(low) | np.isnan(high) | crossed))
        values = (low[usable], high[usable])
        kept = _without_repeats(day[usable], values, line[usable], aside)
        repeats += kept.repeats
        chosen = usable[kept.places]
        if len(chosen):
            title = _joined_name(name, logger, alone=len(pairs) == 1)
            days = day[chosen].astype("datetime64[D]")
            found.append(
                DailySeries(title, days, low[chosen], high[chosen], low_at == high_at)
            )
    return found, repeats


def _without_repeats(
    key: NDArray[np.int64],
    values: tuple[NDArray[np.float64], ...],
    line: NDArray[np.int64],
    aside: AsideLog,
) -> _Kept:
    """Sort by key; keep the first row of each; set aside those that contradict it."""
    places = np.arange(len(key))
    if len(key) < 2 or (np.diff(key) > 0).all():
        return _Kept(places, 0)
    places = np.argsort(key, kind="stable")
    ordered = key[places]
    is_first = np.concatenate(([True], np.diff(ordered) != 0))
    first = places[np.maximum.accumulate(np.where(is_first, np.arange(len(key)), 0))]
    same = np.ones(len(key), dtype=np.bool_)
    for value in values:
        same &= value[places] == value[first]
    contrary = ~is_first & ~same
    aside.add(OTHER_VALUE, np.sort(line[places[contrary]]))
    return _Kept(places[is_first], int(np.count_nonzero(~is_first & same)))


def _pairs(measures: tuple[Column, ...]) -> list[tuple[str, int, int]]:
    """Pair lowest with highest by name, then by order; a lone mean is both."""
    lows = [(n, c) for n, c in enumerate(measures) if c.role is Role.LOW]
    highs = [(n, c) for n, c in enumerate(measures) if c.role is Role.HIGH]
    pairs = []
    for at, low in lows:
        same = [pair for pair in highs if pair[1].name == low.name]
        if other := (same or highs)[:1]:
            highs.remove(other[0])
            pairs.append((low.name or series_name(low), at, other[0][0]))
    pairs += [
        (c.name or series_name(c), n, n)
        for n, c in enumerate(measures)
        if c.role is Role.TEMPERATURE
    ]
    return pairs


def _name(column: Column, logger: str, *, alone: bool) -> str:
    return _joined_name(column.name or series_name(column), logger, alone=alone)


def _joined_name(name: str, logger: str, *, alone: bool) -> str:
    if not logger:
        return name
    return logger if alone else f"{logger} {name}"
