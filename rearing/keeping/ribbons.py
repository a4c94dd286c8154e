"""One ribbon a brood: its stages over the days, seen so far and expected from then on.

A ribbon is drawn along the heat of a life: what was seen (laying, hatching, looks, the
way down) and the middles of what is expected are fixed points on it, and between two
of them a stage takes its share of the time by its need of heat.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from typing import TYPE_CHECKING

import numpy as np

from rearing.sheets.belief import beliefs
from rearing.terms import Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from rearing.keeping.season import Forecast
    from rearing.keeping.season_facts import BroodFacts
    from rearing.sheets.belief import Belief
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

_ENTERED = {"hatch": Stage.L1, "wander": Stage.WANDERING, "pupate": Stage.PUPA}
_HALFWAY, _AT_REST = 0.5, 0.95
_HAIR = 1e-6
_MOMENT = 0.01  # days


@dataclass(frozen=True, slots=True)
class Piece:
    """One stage of a ribbon, in days (date ordinals with their part of the day)."""

    stage: Stage
    begin: float
    end: float
    open_end: bool = False
    """It goes on beyond all that is known."""


def in_days(moment: dt.datetime) -> float:
    """Return a local moment in days."""
    midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    return moment.toordinal() + (moment - midnight).total_seconds() / 86_400


def entered_by(event: str) -> Stage:
    """Return the stage that an event leads into."""
    if event == "emerge":
        return Stage.ADULT
    return _ENTERED.get(event) or Stage(event)


class Life:
    """The stages of a species laid one after another by their need of heat."""

    def __init__(self, believed: Sequence[Belief]) -> None:
        self.stages = tuple(one.stage for one in believed)
        lengths = [exp(one.ln_k) for one in believed]
        self._begin = dict(
            zip(self.stages, np.cumsum([0.0, *lengths[:-1]]), strict=True)
        )
        self._length = dict(zip(self.stages, lengths, strict=True))
        self.end = float(sum(lengths))

    def begin(self, stage: Stage) -> float:
        """Return where a stage begins; a moth's, where the pupa ends."""
        return float(self._begin.get(stage, self.end))

    def within(self, stage: Stage, part: float) -> float:
        """Return a place within a stage; an instar beyond the usual is the last."""
        if stage not in self._begin and stage.is_larva:
            stage = next(s for s in reversed(self.stages) if s.is_larva)
        return self.begin(stage) + part * float(self._length.get(stage, 0.0))


class Lives:
    """The life of each species, worked out once."""

    def __init__(self, shelf: SheetShelf) -> None:
        self._shelf = shelf
        self._of: dict[str, Life] = {}

    def of(self, sheet: SpeciesSheet) -> Life:
        """Return the life of a species."""
        if sheet.name not in self._of:
            self._of[sheet.name] = Life(beliefs(sheet, self._shelf))
        return self._of[sheet.name]


def pieces(
    facts: BroodFacts, life: Life, leading: Forecast | None, on: dt.date
) -> tuple[Piece, ...]:
    """Return the stages of a brood in order, up to where they are seen or expected."""
    seen = _rising(sorted(_seen(facts, life, on)))
    if leading is not None and leading.window("hatch") is not None:
        # most of it waits as eggs, whatever the few have come to that hatched
        seen = [knot for knot in seen if knot[1] < life.begin(Stage.L1)]
    known = [*seen, *_gone_through(seen, leading, life, on)]
    rising = _rising([*known, *_expected(leading, life, on)])
    if not rising:
        return ()
    times = [time for time, _ in rising]
    places = [place for _, place in rising]
    last = places[-1]
    ended = on.toordinal() + 1.0 if facts.is_open else facts.ended_on.toordinal() + 1.0
    found: list[Piece] = []
    for stage, after in zip(life.stages, (*life.stages[1:], Stage.ADULT), strict=True):
        begin, end = life.begin(stage), life.begin(after)
        if end <= places[0] + _HAIR or begin > last + _HAIR:
            continue
        since = float(np.interp(begin, places, times))
        if end <= last + _HAIR:
            found.append(Piece(stage, since, float(np.interp(end, places, times))))
        else:
            # Until its windows are worked out nothing is said of what is to come.
            goes_on = facts.is_open and leading is not None
            found.append(Piece(stage, since, max(ended, since), open_end=goes_on))
    return tuple(found)


def _seen(facts: BroodFacts, life: Life, on: dt.date) -> list[tuple[float, float]]:
    knots = []
    if facts.laid:
        knots.append((middle_day(facts.laid) + 0.9, 0.0))
    if facts.hatched:
        knots.append((middle_day(facts.hatched) + 0.3, life.begin(Stage.L1)))
    for day, looks in facts.looks.items():
        places = [
            (life.within(stage, part), number)
            for look in looks
            for stage, number, part in _parts(look.numbers, look.resting)
        ]
        total = sum(number for _, number in places)
        if total:
            mean = sum(place * number for place, number in places) / total
            knots.append((day.toordinal() + 0.8, mean))
    if facts.down and (facts.is_all_down or not facts.is_open):
        knots.append((middle_day(facts.down) + 0.5, life.begin(Stage.WANDERING)))
    flown = {moths.on: moths.number for moths in facts.flown}
    if flown and not facts.is_open:
        knots.append((middle_day(flown) + 0.9, life.end))
    today = on.toordinal() + 1.0
    return [(time, place) for time, place in knots if time <= today]


def _parts(
    numbers: Mapping[Stage, int], resting: Mapping[Stage, int]
) -> list[tuple[Stage, int, float]]:
    parts: list[tuple[Stage, int, float]] = []
    for stage, number in numbers.items():
        if stage is Stage.ADULT:
            continue
        rest = min(resting.get(stage, 0), number)
        parts.append((stage, rest, _AT_REST))
        halfway = 0.1 if stage is Stage.PUPA else _HALFWAY
        parts.append((stage, number - rest, halfway))
    return parts


def _expected(
    leading: Forecast | None, life: Life, on: dt.date
) -> list[tuple[float, float]]:
    knots: list[tuple[float, float]] = []
    for window in leading.windows if leading is not None else ():
        if window.half is None:
            continue
        time = in_days(window.half.middle)
        if window.event in {"hatch", "emerge"}:
            # what waits has not hatched, however overdue it may be; a pupa likewise
            time = max(time, on.toordinal() + 1.0)
        if knots:
            time = max(time, knots[-1][0] + _MOMENT)
        knots.append((time, life.begin(entered_by(window.event))))
    return knots


def _gone_through(
    seen: Sequence[tuple[float, float]],
    leading: Forecast | None,
    life: Life,
    on: dt.date,
) -> list[tuple[float, float]]:
    """Place what nobody looked at but what must be over: at the pace of life so far."""
    if not seen or leading is None or not leading.windows:
        return []
    entered = entered_by(leading.windows[0].event)
    stages = (*life.stages, Stage.ADULT)
    now_in = life.begin(stages[stages.index(entered) - 1])
    (first, begun), (last, place) = seen[0], seen[-1]
    if place >= now_in:
        return []
    today = on.toordinal() + 1.0
    pace = (place - begun) / (last - first) if last > first else 0.0
    due = last + (now_in - place) / pace if pace > 0 else today
    return [(min(due, today), now_in)]


def _rising(knots: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Leave out what would make a brood grow younger: later knots were of laggards."""
    rising: list[tuple[float, float]] = []
    for time, place in knots:
        if not rising or (place > rising[-1][1] + _HAIR and time > rising[-1][0]):
            rising.append((time, place))
    return rising


def middle_day(by_day: Mapping[dt.date, int]) -> float:
    """Return the day by which half were laid, hatched or gone down."""
    total, gone = sum(by_day.values()), 0
    for day in sorted(by_day):
        gone += by_day[day]
        if 2 * gone >= total:
            return float(day.toordinal())
    return float(max(by_day).toordinal())
