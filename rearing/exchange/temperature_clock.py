"""From a wall clock to UTC: zones, fixed offsets, skipped and repeated hours."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone, tzinfo
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from rearing.exchange.temperature_hours import DAY_S, NO_OFFSET, offset_of
from rearing.problems import Refusal

if TYPE_CHECKING:
    from numpy.typing import NDArray

_QUARTER_S = 900
_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001 # a wall clock's own zero


class Converted(NamedTuple):
    """Seconds since 1970 UTC, which the clock skipped, and which were guessed."""

    at_s: NDArray[np.int64]
    skipped: NDArray[np.bool_]
    guessed: NDArray[np.bool_]


def fixed_offset(name: str) -> int | None:
    """Return the seconds of a zone that is one offset all year, None for others.

    Letters such as CET name a zone with summer time here, not an offset.
    """
    is_offset = name.lower() in {"utc", "gmt", "z"} or any(map(str.isdigit, name))
    return offset_of(name) if is_offset else None


def zone_named(name: str) -> tzinfo:
    """Return a time zone by its IANA name or a fixed offset such as UTC+01:00."""
    if (offset := fixed_offset(name)) is not None:
        return timezone(timedelta(seconds=offset)) if offset else UTC
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as trouble:
        raise Refusal(
            f"There is no time zone called “{name}”. Write one such as"
            " Europe/Ljubljana, or a fixed offset such as UTC+01:00.",
            field="zone",
        ) from trouble


def to_utc(
    local_s: NDArray[np.int64], offset_s: NDArray[np.int64], zone: tzinfo
) -> Converted:
    """Convert the readings of one logger, in the order of the file's rows.

    Parameters
    ----------
    local_s : NDArray[np.int64], shape (n,)
        Wall clock as seconds since 1970-01-01 00:00 on that same clock [s].
    offset_s : NDArray[np.int64], shape (n,)
        Offsets written beside the time [s], NO_OFFSET where there are none.
    zone : tzinfo
        The clock's zone where nothing is written.
    """
    early, late = _offsets(local_s, zone)
    written = offset_s != NO_OFFSET
    skipped = (early < late) & ~written
    twice = (early > late) & ~written
    second, guessed = _second_round(local_s, twice, early - late)
    chosen = np.where(second, late, early)
    chosen = np.where(written, offset_s, chosen)
    return Converted(local_s - chosen, skipped, guessed)


def _offsets(
    local_s: NDArray[np.int64], zone: tzinfo
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the offsets of each wall-clock time, read as the first and the second.

    Zones change on whole quarters of an hour, so a day with one offset at both ends
    is asked once, and only days of a change are asked by the quarter.
    """
    days, where = np.unique(local_s // DAY_S, return_inverse=True)
    starts = np.array([_offset_at(day * DAY_S, zone, 0) for day in days.tolist()])
    ends = np.array([_offset_at((day + 1) * DAY_S, zone, 0) for day in days.tolist()])
    early = starts.astype(np.int64)[where]
    late = early.copy()
    changing = (starts != ends)[where]
    if changing.any():
        quarters, place = np.unique(
            local_s[changing] // _QUARTER_S, return_inverse=True
        )
        asked = [
            (_offset_at(q * _QUARTER_S, zone, 0), _offset_at(q * _QUARTER_S, zone, 1))
            for q in quarters.tolist()
        ]
        table = np.array(asked, dtype=np.int64)
        early[changing], late[changing] = table[place, 0], table[place, 1]
    return early, late


def _offset_at(local_s: int, zone: tzinfo, fold: int) -> int:
    wall = (_EPOCH + timedelta(seconds=local_s)).replace(tzinfo=zone, fold=fold)
    offset = wall.utcoffset()
    return 0 if offset is None else round(offset.total_seconds())


def _second_round(
    local_s: NDArray[np.int64], twice: NDArray[np.bool_], width_s: NDArray[np.int64]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Tell which readings of a repeated hour are its second round."""
    second = np.zeros(len(local_s), dtype=np.bool_)
    guessed = np.zeros(len(local_s), dtype=np.bool_)
    if not twice.any():
        return second, guessed
    # A file with its newest row first is told apart by reading it backwards.
    steps = np.diff(local_s)
    forward = np.count_nonzero(steps > 0) >= np.count_nonzero(steps < 0)
    order = slice(None) if forward else slice(None, None, -1)
    clock, marked, width = local_s[order], twice[order], width_s[order]
    found, unsure = second[order], guessed[order]
    edges = np.flatnonzero(np.diff(np.concatenate(([False], marked, [False]))))
    for start, stop in edges.reshape(-1, 2).tolist():
        for part in _one_night_each(clock, start, stop):
            found[part], unsure[part] = _tell_rounds(clock, part, int(width[start]))
    return second, guessed


def _one_night_each(clock: NDArray[np.int64], start: int, stop: int) -> list[slice]:
    """Part a run of repeated times where it jumps from one autumn to another."""
    cuts = np.flatnonzero(np.abs(np.diff(clock[start:stop])) > DAY_S) + start + 1
    bounds = [start, *cuts.tolist(), stop]
    return [slice(a, b) for a, b in pairwise(bounds)]


def _tell_rounds(
    clock: NDArray[np.int64], part: slice, width_s: int
) -> tuple[NDArray[np.bool_], bool]:
    """Say which rows of one repeated hour are the second round, and if that is a guess.

    The clock stepping back shows it. Where rows were sorted by the wall clock the
    second of two equal times is the second round, unless rows are doubled before the
    hour too. Otherwise the first round is taken, or the second if that fits the
    logger's step better.
    """
    times = clock[part]
    back = np.flatnonzero(np.diff(times) < 0)
    if len(back):
        return np.arange(len(times)) > back[0], False
    again = np.concatenate(([False], np.diff(times) == 0))
    doubled = part.start > 1 and clock[part.start - 1] == clock[part.start - 2]
    if again.any() and not doubled:
        return again, False
    first, late = (
        _misfit(clock, part, 0, width_s),
        _misfit(clock, part, width_s, width_s),
    )
    return np.full(len(times), late < first), late == first


def _misfit(clock: NDArray[np.int64], part: slice, shift_s: int, width_s: int) -> int:
    """Return how far the steps into and out of the hour stray from the usual [s]."""
    if part.start == 0 or part.stop >= len(clock):
        return 0
    times = clock[part] + shift_s
    around = clock[max(part.start - 20, 0) : part.start]
    usual = int(np.median(np.diff(around))) if len(around) > 1 else 3600
    into = int(times[0] - clock[part.start - 1])
    # The row after the hour is on the later offset: its clock is behind by the width.
    out = int(clock[part.stop] + width_s - times[-1])
    return abs(into - usual) + abs(out - usual)
