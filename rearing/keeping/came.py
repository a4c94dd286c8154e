"""When the events of a brood came, as closely as its checks tell."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from rearing.keeping.holding import Holding
    from rearing.science.honesty import Piece

NOON = dt.time(12)
DAY = dt.timedelta(days=1)
MOST_OF_THEM = 0.6
"""Share of the animals that looks of one day must cover to date a moult by."""

ALL_OF_THEM = 0.9
"""Share that must have gone down into tubs for the tubs to date their wandering."""

_BEFORE = ("egg", "L1", "L2", "L3", "L4", "L5", "L6", "L7", "wandering", "pupa")


@dataclass(frozen=True, slots=True)
class Came:
    """Between which moments the first, half or last of a brood reached an event."""

    event: str
    piece: Piece
    after_s: float
    by_s: float


def what_came(ever: Holding) -> tuple[Came, ...]:
    """Return what is known of one finished brood, by event."""
    found = [*_dated("hatch", _hatched(ever), ever)]
    found += _moults(ever)
    down, in_tubs = _down(ever)
    if down and sum(down.values()) >= ALL_OF_THEM * in_tubs:
        found += _dated("wander", down, ever)
    if not any(box.standing.number > 0 for box in ever.boxes):
        out: Counter[dt.date] = Counter()
        for box in ever.boxes:
            for day, number in box.emerged:
                out[day] += number
        found += _dated("emerge", out, ever)
    return tuple(found)


def turning_days(
    ever: Holding, came: tuple[Came, ...]
) -> tuple[tuple[str, dt.date], ...]:
    """Return the days a brood came to each age: laid, in each instar, gone down."""
    nights = [laying.evening for pot in ever.pots for laying in pot.layings]
    found = [("egg", max(nights) + DAY)] if nights else []
    zone = ever.home.zone
    ages = {"hatch": "L1", "wander": "pupation", "pupate": "pupation"}
    for one in came:
        age = ages.get(one.event, one.event)
        if one.piece == "half" and one.event != "emerge":
            day = dt.datetime.fromtimestamp(one.by_s, zone).date()
            if age not in {known for known, _ in found}:
                found.append((age, day))
    return tuple(found)


def begun_s(ever: Holding) -> float | None:
    """Return when the first of its eggs were laid."""
    nights = [laying.evening for pot in ever.pots for laying in pot.layings]
    return _at_s(min(nights), ever) if nights else None


def _dated(event: str, by_day: Mapping[dt.date, int], ever: Holding) -> Iterator[Came]:
    """Yield first, half and last of numbers found at daily checks."""
    whole = sum(by_day.values())
    if whole <= 0:
        return
    days = sorted(day for day, number in by_day.items() if number > 0)
    total, half = 0, days[-1]
    for day in days:
        total += by_day[day]
        if 2 * total >= whole:
            half = day
            break
    pieces: tuple[tuple[Piece, dt.date], ...] = (
        ("first", days[0]),
        ("half", half),
        ("last", days[-1]),
    )
    for piece, day in pieces:
        yield Came(event, piece, _at_s(day - DAY, ever), _at_s(day, ever))


def _hatched(ever: Holding) -> Counter[dt.date]:
    found: Counter[dt.date] = Counter()
    for pot in ever.pots:
        for outcome in pot.outcomes:
            if outcome.fate is EggFate.HATCHED:
                found[outcome.on] += outcome.number
    return found


def _down(ever: Holding) -> tuple[Counter[dt.date], int]:
    """Return wanderers by day, and how many animals came into tubs in all."""
    found: Counter[dt.date] = Counter()
    tubs = {box.row.id for box in ever.boxes if box.row.kind.is_for_pupae}
    whole = 0
    for box in ever.boxes:
        for move in box.moves_in if box.row.id in tubs else ():
            if move.from_box_id not in tubs:
                whole += move.number
                if move.stage is Stage.WANDERING:
                    found[move.on] += move.number
    return found, whole


def _moults(ever: Holding) -> Iterator[Came]:
    """Yield between which looks half were in each instar, or had pupated."""
    looks: dict[dt.date, Counter[str]] = defaultdict(Counter)
    for box in ever.boxes:
        if not box.row.kind.is_for_pupae:
            for look in {look.on: look for look in box.looks}.values():
                looks[look.on].update({str(k): n for k, n in look.numbers.items()})
    days = sorted(looks)
    told = [
        day
        for i, day in enumerate(days)
        if looks[day].total()
        >= MOST_OF_THEM * max(looks[later].total() for later in days[i:])
    ]
    for event, stage in (
        *((f"L{i}", f"L{i}") for i in range(2, 8)),
        ("pupate", "pupa"),
    ):
        reached = [
            sum(looks[day][one] for one in _BEFORE[_BEFORE.index(stage) :])
            / looks[day].total()
            for day in told
        ]
        yes = next((i for i, share in enumerate(reached) if share >= 0.5), None)
        if yes:  # not on the first look: then nobody knows since when
            after, by = told[yes - 1], told[yes]
            yield Came(event, "half", _at_s(after, ever), _at_s(by, ever))


def _at_s(day: dt.date, ever: Holding) -> float:
    return dt.datetime.combine(day, NOON, ever.home.zone).timestamp()
