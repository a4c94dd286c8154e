"""What became of a brood's animals: when each came, ended or left, and at which stage.

Every animal ends once: lost to a cause, unaccounted, gone alive, or still here.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from rearing.keeping.holding import holding
from rearing.keeping.stage_known import most_at
from rearing.keeping.starts import shared_out
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.rows import ExitRow, LossRow, MoveRow
from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Mapping, Sequence

    from rearing.keeping.holding import BoxNow, Holding, PotNow
    from rearing.records.book import Book
    from rearing.records.rows import BroodRow

UNACCOUNTED = "unaccounted"
INTO_ANOTHER_BROOD = "put into another brood"


class End(StrEnum):
    """How an animal was seen last."""

    LOST = "lost"
    UNACCOUNTED = "unaccounted"
    LEFT = "left"


@dataclass(frozen=True, slots=True)
class Came:
    """Animals that hatched, or came from elsewhere, on a day.

    `by_count` are those that only a count knows of: it found more than had come.
    """

    on: dt.date
    number: int
    stage: Stage
    hatched: bool
    by_count: bool = False


@dataclass(frozen=True, slots=True)
class Ended:
    """Animals that were lost, went missing or left alive on a day, of one box."""

    on: dt.date
    number: int
    end: End
    why: str
    stage: Stage
    box_id: int | None


@dataclass(frozen=True, slots=True)
class Fates:
    """All that became of the eggs and animals of a brood, as on a day."""

    brood: BroodRow
    taxon: str
    on: dt.date
    eggs: int
    egg_fates: Mapping[EggFate, int]
    waiting: int
    came: tuple[Came, ...]
    ended: tuple[Ended, ...]
    alive: Mapping[Stage, int]
    boxes: tuple[BoxNow, ...]
    pots: tuple[PotNow, ...] = ()

    @property
    def hatched(self) -> int:
        """How many hatched from its own eggs."""
        return self.egg_fates.get(EggFate.HATCHED, 0)

    @property
    def all_alive(self) -> int:
        """How many live, in boxes and in pots."""
        return sum(self.alive.values())

    def number(self, end: End) -> int:
        """Return how many ended in one way."""
        return sum(one.number for one in self.ended if one.end is end)


def fates(book: Book, brood: BroodRow, on: dt.date) -> Fates:
    """Read what became of a brood up to and including a day."""
    held = holding(book, on, brood_id=brood.id, all_ever=True)
    gathered = _Gathered(book, held)
    eggs = sum(pot.eggs for pot in held.pots)
    outcomes: Counter[EggFate] = Counter()
    for pot in held.pots:
        for outcome in pot.outcomes:
            outcomes[outcome.fate] += outcome.number
    return Fates(
        brood=brood,
        taxon=held.taxon(brood),
        on=on,
        eggs=eggs,
        egg_fates=dict(outcomes),
        waiting=sum(pot.waiting for pot in held.pots),
        came=tuple(gathered.came()),
        ended=tuple(sorted(gathered.ended(), key=lambda one: one.on)),
        alive=gathered.alive(),
        boxes=held.boxes,
        pots=held.pots,
    )


def missing(box: BoxNow) -> tuple[list[tuple[dt.date, int]], int]:
    """Return on which days animals went missing, and how many more than came.

    What a later count finds again was missing last.
    """
    gone: list[tuple[dt.date, int]] = []
    more = 0
    for count in box.standing.counts:
        if count.missing > 0:
            gone.append((count.on, count.missing))
        found = max(-count.missing, 0)
        while found and gone:
            day, number = gone.pop()
            if number > found:
                gone.append((day, number - found))
            found -= min(number, found)
        more += found
    # Lost and left beyond what the book had: they must have come.
    return gone, more + max(-box.standing.number, 0)


def stage_on(box: BoxNow, on: dt.date) -> Stage:
    """Return the stage most of a box were at: by the last look, or as they came."""
    for look in reversed(box.looks):
        if look.on <= on and look.total:
            return most_at(look.numbers)
    stages = [move.stage for move in box.moves_in if move.on <= on and move.stage]
    return stages[-1] if stages else Stage.L1


def alive_in(box: BoxNow, on: dt.date) -> dict[Stage, int]:
    """Return the living of a box by stage, shared out as they were seen last."""
    number, look = max(box.standing.number, 0), box.last_look
    if look is None or not look.total:
        return {stage_on(box, on): number}
    parts = shared_out(number, list(look.numbers.values()))
    return dict(zip(look.numbers, parts, strict=True))


class _Gathered:
    """Reads a brood's rows once, and tells them one by one."""

    def __init__(self, book: Book, held: Holding) -> None:
        self._held = held
        self._boxes = {box.row.id: box for box in held.boxes}
        self._pots = {pot.row.id: pot for pot in held.pots}
        ids = list(self._boxes)
        self._losses = book.all(
            LossRow, among(t.Loss.box_id, ids), t.Loss.on <= held.on
        )
        self._exits = book.all(ExitRow, among(t.Exit.box_id, ids), t.Exit.on <= held.on)
        out = [
            *book.all(MoveRow, among(t.Move.from_box_id, ids), t.Move.on <= held.on),
            *book.all(
                MoveRow,
                among(t.Move.from_pot_id, list(self._pots)),
                t.Move.on <= held.on,
            ),
        ]
        self._out: Sequence[MoveRow] = [
            m for m in out if m.to_box_id not in self._boxes
        ]

    def came(self) -> Iterator[Came]:
        """Yield the hatched, those from elsewhere, and those no count had seen come."""
        for pot in self._pots.values():
            for outcome in pot.outcomes:
                if outcome.fate is EggFate.HATCHED:
                    yield Came(outcome.on, outcome.number, Stage.L1, hatched=True)
            if pot.unhoused < 0:
                first = _first_hatch(pot)
                yield Came(first, -pot.unhoused, Stage.L1, hatched=False, by_count=True)
        for box in self._boxes.values():
            for move in box.moves_in:
                own = move.from_box_id in self._boxes or move.from_pot_id in self._pots
                if not own:
                    stage = move.stage or Stage.L1
                    yield Came(move.on, move.number, stage, hatched=False)
            _, more = missing(box)
            if more:
                first = min((m.on for m in box.moves_in), default=box.row.opened_on)
                stage = stage_on(box, first)
                yield Came(first, more, stage, hatched=False, by_count=True)

    def ended(self) -> Iterator[Ended]:
        """Yield what was lost, went missing or left."""
        for loss in self._losses:
            stage = loss.stage or stage_on(self._boxes[loss.box_id], loss.on)
            yield Ended(loss.on, loss.number, End.LOST, loss.cause, stage, loss.box_id)
        for leaving in self._exits:
            box = self._boxes[leaving.box_id]
            stage = _stage(leaving.stage) or stage_on(box, leaving.on)
            yield Ended(
                leaving.on, leaving.number, End.LEFT, leaving.kind, stage, box.row.id
            )
        for box in self._boxes.values():
            for day, number in missing(box)[0]:
                stage = stage_on(box, day)
                yield Ended(
                    day, number, End.UNACCOUNTED, UNACCOUNTED, stage, box.row.id
                )
        for move in self._out:
            origin = self._boxes.get(move.from_box_id or 0)
            stage = move.stage or (stage_on(origin, move.on) if origin else Stage.L1)
            yield Ended(
                *(move.on, move.number, End.LEFT, INTO_ANOTHER_BROOD, stage),
                move.from_box_id,
            )

    def alive(self) -> dict[Stage, int]:
        """Return the living by stage, shared out as they were seen last."""
        alive: Counter[Stage] = Counter()
        for pot in self._pots.values():
            alive[Stage.L1] += max(pot.unhoused, 0)
        for box in self._boxes.values():
            alive.update(alive_in(box, self._held.on))
        return {stage: alive[stage] for stage in Stage if alive[stage]}


def _first_hatch(pot: PotNow) -> dt.date:
    return min((outcome.on for outcome in pot.outcomes), default=pot.row.opened_on)


def _stage(word: str | None) -> Stage | None:
    return Stage(word) if word in set(Stage) else None
