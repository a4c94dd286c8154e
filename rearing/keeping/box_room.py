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
from rearing.records.of_boxes import last_looked_well
from rearing.sheets.advice import room_for
from rearing.terms import INSTARS, Stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.box_age import InstarDays
    from rearing.keeping.holding import BoxNow, Holding
    from rearing.records.book import Book
    from rearing.sheets.sheet import Density, SpeciesSheet
    from rearing.terms import BoxKind

AHEAD = dt.timedelta(days=2)
"""Room for the next instar is asked for so long before the moult (common practice)."""

ANSWERED = dt.timedelta(days=7)
"""So long *all well* answers the asking for room."""

_DAY = dt.timedelta(days=1)

OVER = 1.25
"""The round speaks of room from this part of the table's upper figure on: a box or two
too many is nobody's task of the evening (common practice, no source)."""

SIZES = (
    "The numbers are for a box of 2 litres, a bottle of 1.5, a cage of 60 cm and a "
    "sleeve of a metre, or as the species sheet has them."
)


@dataclass(frozen=True, slots=True)
class Room:
    """A box that is over-full, or will be at its next moult.

    `low` to `high` larvae of `instar`, that most of them are, is what its kind takes;
    nought where it is no container for them any more. `is_clear` where it is over by a
    quarter or more: only then the round asks for room.
    """

    number: int
    instar: Stage
    low: float
    high: float
    is_now: bool
    is_near: bool
    is_clear: bool
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
        now = None
        if _fullness(larvae, table) * part > 1:
            now = _room(box, larvae, table, number, is_now=True, is_near=True)
            if now.is_clear:
                return now
        last = sheet.larval_stages[-1]
        moulted: dict[Stage, int] = {}
        for stage, many in larvae.items():
            after = _next(stage, last)
            moulted[after] = moulted.get(after, 0) + many
        # of a box a little too full a moult that is near is told: it makes it worse
        if _fullness(moulted, table) * part <= 1:
            return now
        near = self._is_near(box, sheet, larvae, at_c, on, zone)
        if now is not None and not near:
            return now
        return _room(box, moulted, table, number, is_now=False, is_near=near)

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
    held: int,
    *,
    is_now: bool,
    is_near: bool,
) -> Room:
    seen = sum(numbers.values())
    # what most of them need is told; an instar it is no container for comes first
    instar = max(numbers, key=ORDER.__getitem__)
    if instar in table:
        instar = max(numbers, key=lambda one: (one in table, numbers[one]))
    row = table.get(instar)
    low, high = (row.low, row.high) if row is not None else (0.0, 0.0)
    full = _fullness(numbers, table) * held / seen
    said = stages_words(numbers) if held == seen else f"{held}, up to {instar}"
    takes = f"room for {_span(low, high)}"
    if len(numbers) == 1:
        said = f"{held} {instar}"
    elif row is not None:
        # of these ages together, the older taking more of it
        takes = f"room for about {int(held / full)} of these ages"
    if row is None:
        takes = f"too big for a {box.row.kind}"
    told = f"{said}, {takes}."
    return Room(
        number=held,
        instar=instar,
        low=low,
        high=high,
        is_now=is_now,
        is_near=is_near,
        is_clear=full >= OVER,
        words=told if is_now else f"Next moult: {told}",
    )


def _span(low: float, high: float) -> str:
    return f"{high:g}" if low == high else f"{low:g} to {high:g}"


def said_well(book: Book, held: Holding, rooms: Mapping[int, Room]) -> frozenset[int]:
    """Return the boxes that were looked at all well in the last days, as they are.

    That answers the asking for room for a week; another count, look or move asks again.
    """
    asked = [key for key, room in rooms.items() if room.is_clear]
    if not asked:
        return frozenset()
    looked = last_looked_well(book, asked, held.on - ANSWERED, held.on - _DAY)
    return frozenset(
        box.row.id
        for box in held.boxes
        if box.row.id in looked and looked[box.row.id] >= _changed_on(box)
    )


def _changed_on(box: BoxNow) -> dt.date:
    days = [count.on for count in box.standing.counts]
    days += [look.on for look in box.looks]
    days += [move.on for move in box.moves_in]
    return max(days, default=dt.date.min)
