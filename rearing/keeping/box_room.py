"""Room: how many larvae a box takes, now and when they have moulted once more.

A box holds more than one instar: each animal takes its share of the room that its
instar is given in the table (handbook 4.4), and the shares are added up.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.box_age import ORDER, in_stage_since, rest_ends, stages_now
from rearing.keeping.moments import stages_words
from rearing.sheets.advice import room_for
from rearing.terms import INSTARS, Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.box_age import InstarDays
    from rearing.keeping.holding import BoxNow
    from rearing.sheets.sheet import Density, SpeciesSheet
    from rearing.terms import BoxKind

AHEAD = dt.timedelta(days=2)
"""Room for the next instar is asked for so long before the moult (common practice)."""

SIZES = (
    "The numbers are for a box of 2 litres, a bottle of 1.5, a cage of 60 cm and a "
    "sleeve of a metre, or as the species sheet has them."
)


@dataclass(frozen=True, slots=True)
class Room:
    """A box that is over-full, or will be at its next moult.

    `low` to `high` larvae of `instar` are what its kind takes; nought where it is no
    container for them any more.
    """

    number: int
    instar: Stage
    low: float
    high: float
    is_now: bool
    is_near: bool
    words: str


class Rooms:
    """Looks which boxes are too full; the table is looked up once for each species."""

    def __init__(self, days: InstarDays) -> None:
        self._days = days
        self._tables: dict[tuple[str, BoxKind], Mapping[Stage, Density]] = {}

    def of(
        self,
        box: BoxNow,
        sheet: SpeciesSheet,
        at_c: float,
        on: dt.date,
        zone: dt.tzinfo,
    ) -> Room | None:
        """Return what is too full in a box, None where there is room enough."""
        table = self._table(sheet, box.row.kind)
        number = box.standing.number
        if not table or number <= 0:
            return None
        seen = stages_now(box)
        total = sum(seen.values())
        larvae = {stage: n for stage, n in seen.items() if stage.is_larva and n}
        if not larvae:
            return None
        # a count after the look sets the number; the stages keep their shares
        part = number / total
        if _fullness(larvae, table) * part > 1:
            return _room(box, larvae, table, part, is_now=True, is_near=True)
        last = sheet.larval_stages[-1]
        moulted: dict[Stage, int] = {}
        for stage, many in larvae.items():
            after = _next(stage, last)
            moulted[after] = moulted.get(after, 0) + many
        if _fullness(moulted, table) * part <= 1:
            return None
        near = self._is_near(box, sheet, larvae, at_c, on, zone)
        return _room(box, moulted, table, part, is_now=False, is_near=near)

    def _table(self, sheet: SpeciesSheet, kind: BoxKind) -> Mapping[Stage, Density]:
        key = (sheet.name, kind)
        if key not in self._tables:
            found = {one: room_for(sheet, one, kind) for one in INSTARS}
            self._tables[key] = {k: v for k, v in found.items() if v is not None}
        return self._tables[key]

    def _is_near(
        self,
        box: BoxNow,
        sheet: SpeciesSheet,
        larvae: Mapping[Stage, int],
        at_c: float,
        on: dt.date,
        zone: dt.tzinfo,
    ) -> bool:
        """Tell whether the oldest that still moult rest, or soon will."""
        look = box.last_look
        rests = look is not None and look.resting
        if look and rests and on <= rest_ends(sheet, look, zone).date() + AHEAD:
            return True
        last = sheet.larval_stages[-1]
        oldest = max(
            (one for one in larvae if one is not last),
            key=ORDER.__getitem__,
            default=None,
        )
        since = None if oldest is None else in_stage_since(box, oldest)
        if oldest is None or since is None:
            return False
        days = self._days.days(sheet, oldest, at_c)
        return on + AHEAD >= since + dt.timedelta(days=days)


def _next(stage: Stage, last: Stage) -> Stage:
    if ORDER[stage] >= ORDER[last]:
        return stage
    return INSTARS[INSTARS.index(stage) + 1]


def _fullness(numbers: Mapping[Stage, int], table: Mapping[Stage, Density]) -> float:
    """Return the part of a container that is taken; above one it is over-full."""
    taken = 0.0
    for stage, many in numbers.items():
        row = table.get(stage)
        if row is not None:
            taken += many / row.high
        elif any(ORDER[known] < ORDER[stage] for known in table):
            # it has no number for so old an instar: it is no container for it
            return float("inf")
    return taken


def _room(
    box: BoxNow,
    numbers: Mapping[Stage, int],
    table: Mapping[Stage, Density],
    part: float,
    *,
    is_now: bool,
    is_near: bool,
) -> Room:
    number = max(round(part * sum(numbers.values())), 1)
    # what most of them need is told; an instar it is no container for comes first
    oldest = max(numbers, key=ORDER.__getitem__)
    if oldest in table:
        oldest = max(numbers, key=lambda one: (one in table, numbers[one]))
    row = table.get(oldest)
    low, high = (row.low, row.high) if row is not None else (0.0, 0.0)
    said = stages_words(numbers) if part == 1 else f"{number} larvae, up to {oldest}"
    if len(numbers) == 1:
        said = f"{number} {oldest}"
    takes = f"room for {_span(low, high)}"
    if len(numbers) > 1:
        takes += f" {oldest}"
    if row is None:
        takes = f"too big for a {box.row.kind}"
    told = f"{said}, {takes}; split them."
    if not is_now:
        told = f"At the next moult {said}, {takes}; split them then."
    return Room(number, oldest, low, high, is_now, is_near, told)


def _span(low: float, high: float) -> str:
    return f"{high:g}" if low == high else f"{low:g} to {high:g}"
