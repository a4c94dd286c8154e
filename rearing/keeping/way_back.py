"""Where the animals of a box came from: box by box, back to their hatching."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rearing.keeping.holding import BoxNow, Holding
    from rearing.records.rows import MoveRow, StayRow

_EVER = dt.date.max


@dataclass(frozen=True, slots=True)
class WayBack:
    """How the animals of a box came to it.

    `began` are the moves they are dated by, with how many each stands for: out of the
    pots they hatched in, or down into a tub. `boxes` are all they were in, itself the
    last, each with the day they were taken out of it; `stays` where these stood, one
    after the other.
    """

    began: tuple[tuple[MoveRow, float], ...]
    boxes: tuple[tuple[BoxNow, dt.date], ...]
    stays: tuple[StayRow, ...]


class WaysBack:
    """Follows animals back through the boxes of a book."""

    def __init__(self, boxes: Iterable[BoxNow]) -> None:
        self._boxes = {box.row.id: box for box in boxes}
        self._known: dict[int, WayBack | None] = {}
        self._out: dict[int, list[tuple[MoveRow, BoxNow]]] = defaultdict(list)
        for box in self._boxes.values():
            for move in box.moves_in:
                if move.from_box_id is not None and move.number > 0:
                    self._out[move.from_box_id].append((move, box))

    def of(self, box: BoxNow) -> WayBack | None:
        """Return the way back; None where the records do not hold together.

        They do not where animals came from elsewhere, were sorted by stage, or stood
        in different places before they were put together.
        """
        if not self.knows(box):
            return self._of(box, frozenset())
        if box.row.id not in self._known:
            self._known[box.row.id] = self._of(box, frozenset())
        return self._known[box.row.id]

    def knows(self, box: BoxNow) -> bool:
        """Tell whether a box is one of them as it is, not as it is supposed to be."""
        return self._boxes.get(box.row.id) is box

    def gone_down(self, box: BoxNow) -> list[MoveRow]:
        """Return the moves of wanderers from a box into tubs."""
        return [
            move
            for move, into in self._out[box.row.id]
            if move.stage is Stage.WANDERING and into.row.kind.is_for_pupae
        ]

    def went_on(self, box: BoxNow) -> bool:
        """Tell whether any went from a box into others as larvae, or yet in its tub."""
        return any(
            box.row.kind.is_for_pupae or not into.row.kind.is_for_pupae
            for _, into in self._out[box.row.id]
        )

    def _of(self, box: BoxNow, passed: frozenset[int]) -> WayBack | None:
        moves = [move for move in box.moves_in if move.number > 0]
        if not moves or not box.stays or box.row.id in passed:
            return None
        if box.row.kind.is_for_pupae:
            if any(move.stage is not Stage.WANDERING for move in moves):
                return None
            began = tuple((move, float(move.number)) for move in moves)
            return WayBack(began, ((box, _EVER),), box.stays)
        hatched = [(m, float(m.number)) for m in moves if m.from_pot_id is not None]
        if any((move.stage or Stage.L1) is not Stage.L1 for move, _ in hatched):
            return None
        sources = self._sources(box, moves, passed | {box.row.id})
        if sources is None:
            return None
        return _put_together(box, hatched, sources)

    def _sources(
        self, box: BoxNow, moves: Sequence[MoveRow], passed: frozenset[int]
    ) -> list[tuple[WayBack, int]] | None:
        """Return the boxes it was filled from, with how many from each."""
        found = []
        numbers: dict[int | None, int] = defaultdict(int)
        until: dict[int | None, dt.date] = {}
        for move in moves:
            if move.from_pot_id is None:
                numbers[move.from_box_id] += move.number
                until[move.from_box_id] = move.on
        for source, number in numbers.items():
            before = self._boxes.get(source or 0)
            if before is None or before.brood.id != box.brood.id:
                return None
            if before.row.kind.is_for_pupae or self._was_sorted(before):
                return None
            way = self._of(before, passed)
            if way is None:
                return None
            # What was seen in a box after they left it was seen of others.
            boxes = tuple((one, min(day, until[source])) for one, day in way.boxes)
            found.append((replace(way, boxes=boxes), number))
        return found

    def _was_sorted(self, box: BoxNow) -> bool:
        """Tell whether its larvae were parted by how far they were."""
        stages = {
            move.stage
            for move, into in self._out[box.row.id]
            if not into.row.kind.is_for_pupae
        }
        return len(stages) > 1


class WaysOfHeld:
    """The ways back of all that is held, followed once, and of parts of it."""

    def __init__(self, held: Holding) -> None:
        self._held = held
        self.whole = WaysBack((*held.ever_boxes, *held.boxes))

    def of_part(self, held: Holding) -> WaysBack:
        """Return the ways of a part; they are the whole's where it is as it was."""
        own = self._held
        is_part = held.ever_boxes and held.ever_boxes is own.ever_boxes
        if held is own or (is_part and all(map(self.whole.knows, held.boxes))):
            return self.whole
        return WaysBack((*held.ever_boxes, *held.boxes))


def _put_together(
    box: BoxNow,
    hatched: Sequence[tuple[MoveRow, float]],
    sources: Sequence[tuple[WayBack, int]],
) -> WayBack | None:
    if not sources:
        return WayBack(tuple(hatched), ((box, _EVER),), box.stays)
    began = list(hatched)
    boxes: dict[int, tuple[BoxNow, dt.date]] = {}
    for way, number in sources:
        whole = sum(part for _, part in way.began)
        began += [(move, part * number / whole) for move, part in way.began]
        boxes |= {one.row.id: (one, day) for one, day in way.boxes}
    ways = {places_of(way.stays) for way, _ in sources}
    if hatched:
        ways.add((box.stays[0].place_id,))
    if len(ways) > 1:
        return None
    main = max(sources, key=lambda source: source[1])[0]
    stays = _spliced(main.stays, box.stays)
    return WayBack(tuple(began), (*boxes.values(), (box, _EVER)), stays)


def places_of(stays: Iterable[StayRow]) -> tuple[int, ...]:
    """Return the places in their order, one after another alike only once."""
    found: list[int] = []
    for stay in stays:
        if not found or found[-1] != stay.place_id:
            found.append(stay.place_id)
    return tuple(found)


def _spliced(
    before: Sequence[StayRow], after: Sequence[StayRow]
) -> tuple[StayRow, ...]:
    """Let the later box's stays follow; what goes on at one place is one stay."""
    moved_at = after[0].from_at
    joined = [stay for stay in before if stay.from_at < moved_at]
    for stay in after:
        if joined and joined[-1].place_id == stay.place_id:
            joined[-1] = replace(joined[-1], to_at=stay.to_at)
        else:
            if joined:
                joined[-1] = replace(joined[-1], to_at=stay.from_at)
            joined.append(stay)
    return tuple(joined)
