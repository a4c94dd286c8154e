"""Broods of known truth forecast at every age, and scored as the program does it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.cohort import SHARPENED, HeatStore, windows
from rearing.science.honesty import Replayed, calendar_average
from rearing.science.learn import learnt, lesson
from rearing.science.stages import Interval
from tests.science.known_broods import (
    AGES,
    EVENTS,
    HOUR_S,
    STAGES,
    Air,
    Known,
    Species,
    as_kept,
    emerged_after_days,
    finished,
    forecast_hour,
    known,
    room,
    species,
    still_to_come,
    track_at,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.science.honesty import Piece
    from rearing.science.stages import EventWindow
    from rearing.science.unknowns import Unknowns

PAST_BROODS = 4
WEATHERS = 40


@dataclass
class Replay:
    """Everything that was forecast: outdoors and indoors, by sheet and learnt."""

    windows: dict[tuple[str, str], list[Replayed]] = field(default_factory=dict)
    broods: int = 0

    def add(self, place: str, prior: str, found: list[Replayed]) -> None:
        self.windows.setdefault((place, prior), []).extend(found)

    def of(
        self, *, place: str | None = None, prior: str | None = None
    ) -> list[Replayed]:
        return [
            one
            for (where, what), some in self.windows.items()
            if place in (None, where) and prior in (None, what)
            for one in some
        ]


def replay(
    broods: int,
    seed: int,
    *,
    ages: Sequence[str] = AGES,
    learns: bool = False,
) -> Replay:
    """Rear and forecast so many broods, every other one outdoors."""
    rng = np.random.default_rng(seed)
    airs = [Air.of(rng) for _ in range(min(WEATHERS, broods))]
    done = Replay()
    while done.broods < broods:
        is_out = bool(done.broods % 2)
        kind = species(rng)
        brood = _reared(rng, kind, airs, is_out=is_out)
        past = [
            _reared(rng, kind, airs, is_out=bool(rng.integers(2)))
            for _ in range(PAST_BROODS)
        ]
        if not all(np.isfinite(one.ends[-1]).all() for one in (brood, *past)):
            continue
        took = [emerged_after_days(one) for one in past]
        place = "outdoors" if is_out else "indoors"
        taught = None
        if learns:
            lessons = [lesson(STAGES, *finished(one, rng), rng) for one in past]
            taught = learnt(STAGES, [one for one in lessons if one]).unknowns
        for age in ages:
            found = _at_age(brood, age, took, rng, taught)
            done.add(place, "learnt" if learns else "sheet", found)
        done.broods += 1
    return done


def _reared(
    rng: np.random.Generator,
    kind: Species,
    airs: Sequence[Air],
    *,
    is_out: bool,
) -> Known:
    air = airs[int(rng.integers(len(airs)))].celsius
    return known(rng, kind, air if is_out else room(rng), is_out=is_out)


def _at_age(
    brood: Known,
    age: str,
    took: Sequence[float],
    rng: np.random.Generator,
    taught: Unknowns | None,
) -> list[Replayed]:
    hour = forecast_hour(brood, age)
    track = track_at(brood, hour, rng)
    starts, seen = as_kept(brood, age, hour, rng)
    found = windows(
        STAGES,
        starts,
        track,
        rng,
        on_s=hour * HOUR_S,
        draws=SHARPENED if seen else 400,
        seen=seen,
        learnt=taught,
        store=HeatStore(),
    )
    by_calendar = calendar_average(brood.laid[0][0] * HOUR_S, took)
    replayed = []
    pieces: tuple[Piece, ...] = ("first", "half", "last")
    for window in found:
        # Once they have hatched, what is left of the eggs is mostly dead.
        if window.event == "hatch" and age != "egg":
            continue
        for piece in pieces:
            if still_to_come(seen, window.event, piece):
                one = _replayed(brood, window, piece, age, (hour, track.end_s))
                if window.event == "emerge" and piece == "half":
                    one = replace(one, calendar_s=by_calendar)
                replayed.append(one)
    return replayed


def _replayed(
    brood: Known,
    window: EventWindow,
    piece: Piece,
    age: str,
    hours: tuple[float, float],
) -> Replayed:
    hour, end_s = hours
    # No window says: beyond what is looked at.
    interval = getattr(window, piece) or Interval(end_s, end_s, end_s, open_end=True)
    ends = brood.ends[EVENTS.index(window.event)]
    truth = {"first": ends.min(), "half": np.median(ends), "last": ends.max()}[piece]
    high_s = np.inf if interval.open_end else interval.high_s
    at_s = float(truth) * HOUR_S
    return Replayed(
        window.event,
        piece,
        age,
        hour * HOUR_S,
        interval.low_s,
        interval.middle_s,
        high_s,
        at_s,
        at_s,
    )
