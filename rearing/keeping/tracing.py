"""Who shared mother, leaf, shelf or handling with a box, and who is kept apart.

Tools are not entered one by one: on one day the same hands and forceps go from box to
box in the order of the round, so whoever was handled after the sick one is named; but
for boxes with tools of their own, which are tied to those with the same only.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING

from rearing.keeping.mixing import mother_words, sources_of
from rearing.keeping.moments import counted, short_day
from rearing.keeping.sleeves import trees_hung_on
from rearing.keeping.tools import same_tools
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.latest import last_catching_losses
from rearing.records.rows import BoxRow, BroodRow, MoveRow, PlaceRow, StayRow, TreeRow
from rearing.records.shared import shared_cuts, shared_days, shared_leaf

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from rearing.records.book import Book
    from rearing.records.rows import LossRow
    from rearing.sheets.shelf import SheetShelf

DAYS = 14
"""How far back is looked where the keeper does not say (common practice)."""


class Shared(IntEnum):
    """What two boxes share, the gravest first."""

    ANIMALS = 0
    CUT = 1
    TREE = 2
    MOTHER = 3
    SHELF = 4
    LEAF = 5
    TOOLS = 6
    DAY = 7

    @property
    def words(self) -> str:
        """The word a keeper uses."""
        return _WORDS[self]


_WORDS = {
    Shared.ANIMALS: "animals",
    Shared.CUT: "branch",
    Shared.TREE: "tree",
    Shared.MOTHER: "mother",
    Shared.SHELF: "shelf",
    Shared.LEAF: "leaf",
    Shared.TOOLS: "hands and tools",
    Shared.DAY: "day",
}


@dataclass(frozen=True, slots=True)
class Tie:
    """One thing that a box shared with the one that is asked about."""

    shared: Shared
    words: str
    last: dt.date


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another box with all that it shared, the gravest first."""

    box_id: int
    code: str
    taxon: str
    is_open: bool
    ties: tuple[Tie, ...]

    @property
    def gravest(self) -> Shared:
        """The gravest thing it shared."""
        return self.ties[0].shared


@dataclass(frozen=True, slots=True)
class Apart:
    """A box that is kept apart, and to when: another death moves the end on."""

    box_id: int
    code: str
    cause: str
    died_on: dt.date
    until: dt.date


@dataclass(frozen=True, slots=True)
class Trace:
    """Who shared what with a box since a day."""

    box_id: int
    code: str
    since: dt.date
    on: dt.date
    apart: Apart | None
    neighbours: tuple[Neighbour, ...]


def trace(
    book: Book, shelf: SheetShelf, box: BoxRow, on: dt.date, *, days: int = DAYS
) -> Trace:
    """Return all boxes that shared something with one in the days up to a day."""
    if days < 1:
        raise Refusal("Look back at least one day.", field="days")
    since = on - dt.timedelta(days=days - 1)
    looked = _Looked(book, box, since, on)
    return Trace(
        box_id=box.id,
        code=looked.code(box),
        since=since,
        on=on,
        apart=next(
            (x for x in kept_apart(book, shelf, on) if x.box_id == box.id), None
        ),
        neighbours=looked.neighbours(),
    )


def kept_apart(book: Book, shelf: SheetShelf, on: dt.date) -> tuple[Apart, ...]:
    """Return the boxes in quarantine on a day, by the day on which it ends."""
    days = round(shelf.defaults.figures.quarantine_days.middle)
    last = last_catching_losses(book, on)
    standing = {
        box.id: box
        for box in book.all(
            BoxRow,
            among(t.Box.id, list(last)),
            t.Box.closed_on.is_(None) | (t.Box.closed_on > on),
        )
    }
    broods = {brood.id: brood for brood in book.all(BroodRow)} if standing else {}
    found = []
    for box_id, box in standing.items():
        one = _apart(last[box_id], f"{broods[box.brood_id].code} {box.label}", days)
        if one.until >= on:
            found.append(one)
    return tuple(sorted(found, key=lambda one: (one.until, one.code)))


def box_named(book: Book, name: str, on: dt.date) -> BoxRow:
    """Return the box of a code as on its label: B21-04 S1."""
    code, _, label = name.strip().partition(" ")
    brood = next(
        (b for b in book.all(BroodRow) if b.code.casefold() == code.casefold()), None
    )
    if brood is None:
        raise Refusal(f"There is no brood “{code}” in {book.path.name}.", field="box")
    boxes = book.all(BoxRow, t.Box.brood_id == brood.id, t.Box.opened_on <= on)
    wanted = label.strip().casefold()
    found = [box for box in boxes if box.label.casefold() == wanted]
    if not found:
        known = ", ".join(box.label for box in boxes)
        has = f"It has {known}." if known else "It has no box yet."
        raise Refusal(f"{brood.code} has no box “{label.strip()}”. {has}", field="box")
    return found[-1]


def _apart(loss: LossRow, code: str, days: int) -> Apart:
    until = loss.on + dt.timedelta(days=days)
    return Apart(loss.box_id, code, loss.cause, loss.on, until)


class _Looked:
    """Looks for ties of one box, and gathers them by the other box."""

    def __init__(self, book: Book, box: BoxRow, since: dt.date, on: dt.date) -> None:
        self._book, self._box = book, box
        self._since, self._on = since, on
        self._broods: Mapping[int, BroodRow] = {b.id: b for b in book.all(BroodRow)}
        # What was closed before the days asked for can have shared nothing in them.
        self._boxes = {
            row.id: row
            for row in book.all(
                BoxRow,
                t.Box.opened_on <= on,
                t.Box.closed_on.is_(None) | (t.Box.closed_on >= since),
            )
        }

    def code(self, box: BoxRow) -> str:
        """Return a box's code as on its label."""
        return f"{self._broods[box.brood_id].code} {box.label}"

    def neighbours(self) -> tuple[Neighbour, ...]:
        """Return the other boxes, those with the gravest ties first."""
        ties: dict[int, list[Tie]] = defaultdict(list)
        for look in (
            *(self._moved, self._cuts, self._trees, self._mothers),
            *(self._shelves, self._leaf, self._handled),
        ):
            for box_id, tie in look():
                if box_id in self._boxes and box_id != self._box.id:
                    ties[box_id].append(tie)
        found = [self._neighbour(box_id, own) for box_id, own in ties.items()]
        return tuple(
            sorted(found, key=lambda one: (one.gravest, -len(one.ties), one.code))
        )

    def _neighbour(self, box_id: int, ties: list[Tie]) -> Neighbour:
        box = self._boxes[box_id]
        return Neighbour(
            box_id=box_id,
            code=self.code(box),
            taxon=self._broods[box.brood_id].taxon,
            is_open=box.closed_on is None or box.closed_on > self._on,
            ties=tuple(sorted(ties, key=lambda tie: tie.shared)),
        )

    def _moved(self) -> Iterator[tuple[int, Tie]]:
        for column, other, told in (
            (t.Move.from_box_id, "to_box_id", "went there"),
            (t.Move.to_box_id, "from_box_id", "came from there"),
        ):
            for move in self._book.all(
                MoveRow,
                column == self._box.id,
                t.Move.on.between(self._since, self._on),
            ):
                box_id = getattr(move, other)
                if box_id is not None:
                    words = f"{move.number} {told} {short_day(move.on)}"
                    yield box_id, Tie(Shared.ANIMALS, words, move.on)

    def _cuts(self) -> Iterator[tuple[int, Tie]]:
        for one in shared_cuts(self._book, self._box.id, self._since, self._on):
            words = f"leaf of {counted(one.days, 'same cut')} of {one.name}"
            yield one.box_id, Tie(Shared.CUT, words, one.last)

    def _trees(self) -> Iterator[tuple[int, Tie]]:
        """Yield sleeves on the same tree on the same days."""
        hung = trees_hung_on(self._book, self._boxes.values(), self._since, self._on)
        own = hung.get(self._box.id, ())
        if not own:
            return
        names = {tree.id: tree.name for tree in self._book.all(TreeRow)}
        for box_id, theirs in hung.items():
            last: dict[int, dt.date] = {}
            for one in theirs:
                for mine in own:
                    day = min(one.last, mine.last)
                    if (
                        one.tree_id == mine.tree_id
                        and max(one.first, mine.first) <= day
                    ):
                        last[one.tree_id] = max(last.get(one.tree_id, day), day)
            for tree_id, day in sorted(last.items()):
                yield box_id, Tie(Shared.TREE, f"both on {names[tree_id]}", day)

    def _mothers(self) -> Iterator[tuple[int, Tie]]:
        """Yield boxes of the same brood, and of others of its mother, or maybe so."""
        own = self._broods[self._box.brood_id]
        mixed = sources_of(self._book)
        for box in self._boxes.values():
            words = mother_words(own, self._broods[box.brood_id], mixed)
            if words:
                yield box.id, Tie(Shared.MOTHER, words, self._on)

    def _shelves(self) -> Iterator[tuple[int, Tie]]:
        begin = dt.datetime.combine(self._since, dt.time(), dt.UTC)
        end = dt.datetime.combine(self._on + dt.timedelta(days=1), dt.time(), dt.UTC)
        mine = [
            (stay.place_id, max(stay.from_at, begin), min(stay.to_at or end, end))
            for stay in self._book.all(StayRow, t.Stay.box_id == self._box.id)
        ]
        mine = [one for one in mine if one[1] < one[2]]
        names = {place.id: place.name for place in self._book.all(PlaceRow)}
        others = self._book.all(
            StayRow,
            among(t.Stay.place_id, {place for place, _, _ in mine}),
            t.Stay.box_id.is_not(None),
            t.Stay.from_at < end,
            t.Stay.to_at.is_(None) | (t.Stay.to_at > begin),
        )
        together: dict[tuple[int, int], dt.datetime] = {}
        for stay in others:
            for place_id, since, until in mine:
                if stay.place_id != place_id or stay.box_id is None:
                    continue
                last = min(stay.to_at or end, until)
                if max(stay.from_at, since) < last:
                    key = (stay.box_id, place_id)
                    together[key] = max(together.get(key, last), last)
        for (box_id, place_id), last in together.items():
            day = min(last.date(), self._on)
            words = f"both on {names[place_id]} to {short_day(day)}"
            yield box_id, Tie(Shared.SHELF, words, day)

    def _leaf(self) -> Iterator[tuple[int, Tie]]:
        for one in shared_leaf(self._book, self._box.id, self._since, self._on):
            words = f"{one.name} of the same {counted(one.days, 'day')}"
            yield one.box_id, Tie(Shared.LEAF, words, one.last)

    def _handled(self) -> Iterator[tuple[int, Tie]]:
        for box in self._boxes.values():
            if self._box.tools and same_tools(box.tools, self._box.tools):
                yield (
                    box.id,
                    Tie(Shared.TOOLS, f"both with {box.tools}", self._on),
                )
        for one in shared_days(self._book, self._box.id, self._since, self._on):
            other = self._boxes.get(one.box_id)
            if other is None:
                continue
            if one.after and same_tools(self._box.tools, other.tools):
                words = f"handled after it on {counted(one.after, 'day')}"
                yield one.box_id, Tie(Shared.TOOLS, words, one.last)
            else:
                words = f"handled on the same {counted(one.days, 'day')}"
                yield one.box_id, Tie(Shared.DAY, words, one.last)
