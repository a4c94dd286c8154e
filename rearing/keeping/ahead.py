"""What a place's temperature may be after its last reading, and on what that rests."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.forecasts import typed_days, typed_words
from rearing.keeping.moments import counted
from rearing.science.futures import Kind
from rearing.science.place_rule import fit_rule
from rearing.science.scenarios import Scenarios, by_rule, indoors, outdoors, with_typed
from rearing.science.weather import fill

if TYPE_CHECKING:
    import datetime as dt

    from numpy.typing import NDArray

    from rearing.records.rows import ForecastDayRow, PlaceRow

ASSUMED_SPREAD_C = 2.0
"""Spread about a temperature that is only assumed (from memory) [°C]."""

ROOM_SPREAD_C = 1.5
"""Spread about the last days of a room without a set point (from memory) [°C]."""

DAY_S = 24 * 3600.0

LATER_H = 24
"""A place is followed by another that was read so many hours longer [h]."""


@dataclass(frozen=True, slots=True)
class Read:
    """A place's hours up to its last reading, NaN for holes; empty without readings."""

    place: PlaceRow
    start_s: float
    hours: NDArray[np.float64]

    @property
    def end_s(self) -> float:
        """Where the last reading's hour ends."""
        return self.start_s + 3600.0 * len(self.hours)

    @property
    def is_read(self) -> bool:
        """Whether there is any reading."""
        return len(self.hours) > 0


@dataclass(frozen=True, slots=True)
class Typed:
    """Days of a typed forecast after the last reading, and their midnights' zone."""

    days: tuple[ForecastDayRow, ...]
    zone: dt.tzinfo


@dataclass(frozen=True, slots=True)
class Ahead:
    """Futures of a place from an instant on, and in words what they are.

    `typed` are the days of a typed forecast that the futures begin with.
    """

    scenarios: Scenarios
    words: str
    typed: tuple[ForecastDayRow, ...] = field(default=())

    @property
    def kind(self) -> Kind:
        """What they rest on."""
        return self.scenarios.kind


def ahead(
    read: Read,
    from_s: float,
    end_s: float,
    *,
    assumed_c: float,
    followed: tuple[Read, Ahead] | None = None,
    typed: Typed | None = None,
) -> Ahead:
    """Return a place's futures from its last reading, or from `from_s` without one.

    `followed` is the place it follows, and that one's futures; `typed` the short
    forecast that overrides the first days of a place outdoors.
    """
    found = _untyped(read, from_s, end_s, assumed_c, followed)
    if typed is None or read.place.set_point_c is not None or found.typed:
        return found
    return _with_typed(read, found, typed)


def _with_typed(read: Read, found: Ahead, typed: Typed) -> Ahead:
    """Let a short forecast override the first days."""
    told = typed_days(typed.days, typed.zone)
    rng = np.random.default_rng([read.place.id, 25])
    made = with_typed(found.scenarios, told, rng)
    if not made.typed_days:
        return found
    return Ahead(made, f"{typed_words(typed.days)}, {found.words}", typed.days)


def _untyped(
    read: Read,
    from_s: float,
    end_s: float,
    assumed_c: float,
    followed: tuple[Read, Ahead] | None,
) -> Ahead:
    """Return the futures without what was typed for this place itself."""
    # Seeded from the record, so that a forecast does not flicker when reopened.
    rng = np.random.default_rng([read.place.id, 24])
    begin_s = read.end_s if read.is_read else from_s
    horizon = round((end_s - begin_s) / 3600)
    point = read.place.set_point_c
    if point is None and followed is not None:
        found = _by_rule(read, *followed, horizon, rng)
        if found is not None:
            return found
    if point is None and read.is_read:
        made = outdoors(read.hours, read.start_s, horizon, rng)
        if made.kind is Kind.LAST_DAYS and not read.place.outdoors:
            return _under_a_roof(read, horizon, rng)
        return Ahead(made, _words(made))
    spread = read.place.spread_c if point is not None else ASSUMED_SPREAD_C
    made = indoors(
        assumed_c if point is None else point,
        begin_s,
        horizon,
        rng,
        spread_c=spread,
        recent=read.hours if read.is_read else None,
    )
    if point is None:
        return Ahead(made, f"{assumed_c:g}° assumed")
    then = "then its" if read.is_read else "its"
    give_or_take = f" ± {spread:g}°" if spread else ""
    return Ahead(made, f"{then} set point {point:g}°{give_or_take}")


def _under_a_roof(read: Read, horizon: int, rng: np.random.Generator) -> Ahead:
    """Let a room without a set point stay about as warm as in its last seven days."""
    last = read.hours[-7 * 24 :]
    mean_c = float(last[np.isfinite(last)].mean())
    spread = read.place.spread_c or ROOM_SPREAD_C
    made = indoors(mean_c, read.end_s, horizon, rng, spread_c=spread, recent=read.hours)
    words = f"then as in its last 7 days with readings, ± {spread:g}°"
    return Ahead(replace(made, kind=Kind.LAST_DAYS), words)


def _words(made: Scenarios) -> str:
    if made.kind is Kind.PAST_YEARS:
        years = counted(made.years, "past year")
        return f"then as {years} went on here from such a day"
    return "then as in its last 7 days with readings, ever less surely"


def _by_rule(
    read: Read, other: Read, of_other: Ahead, horizon: int, rng: np.random.Generator
) -> Ahead | None:
    """Follow another place where both were read for long enough; else None."""
    begin_s = max(read.start_s, other.start_s)
    own, its = (
        read.hours[_hours(read, begin_s) :],
        other.hours[_hours(other, begin_s) :],
    )
    both = min(len(own), len(its))
    filled = fill(its).celsius
    known = np.flatnonzero(np.isfinite(filled[:both]))
    if not len(known) or not np.isfinite(filled[known[0] :]).all():
        return None
    first = int(known[0])
    try:
        rule = fit_rule(filled[first:both], own[first:both])
    except ValueError:
        return None  # too few days on which both were read
    # What the other was since this one's last reading is known, in every future.
    since = filled[both:]
    ahead_c = of_other.scenarios.celsius
    celsius = np.concatenate(
        (np.broadcast_to(since, (len(ahead_c), len(since))), ahead_c), axis=1
    )[:, :horizon]
    told = of_other.scenarios
    joined = Scenarios(read.end_s, celsius, told.kind, told.years, told.memory_days)
    made = by_rule(replace(joined, typed_days=told.typed_days), rule, rng)
    days = counted(rule.days, "day")
    words = f"then as {other.place.name} has it, by a rule from {days} both were read"
    if of_other.typed:
        words += f"; {typed_words(of_other.typed)} there"
    return Ahead(made, words, of_other.typed)


def _hours(read: Read, at_s: float) -> int:
    return max(round((at_s - read.start_s) / 3600), 0)
