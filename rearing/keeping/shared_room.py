"""Boxes, cages and sleeves shared out among the hosts whose animals want them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.moments import counted
from rearing.sheets.advice import room_for

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from rearing.keeping.leaf_view import HostView
    from rearing.sheets.sheet import Density
    from rearing.sheets.shelf import SheetShelf
    from rearing.terms import BoxKind


@dataclass(frozen=True, slots=True)
class Part:
    """What of the room falls to one host, and what that rests on, in words.

    `boxes` has only kinds that take its animals in their last instar.
    """

    boxes: Mapping[BoxKind, int]
    takes: Mapping[BoxKind, Density]
    unknown: tuple[BoxKind, ...]
    """Kinds that were named, and for which no rule is known."""
    rests_on: str

    @property
    def sure(self) -> int:
        """How many there is room for by the lower figures."""
        return int(sum(n * self.takes[kind].low for kind, n in self.boxes.items()))

    @property
    def most(self) -> int:
        """How many there is room for by the upper figures."""
        return int(sum(n * self.takes[kind].high for kind, n in self.boxes.items()))

    @property
    def words(self) -> str:
        """Which boxes, how many each takes, and whose they are."""
        no_rule = ""
        if self.unknown:
            kinds = " or ".join(self.unknown)
            no_rule = f"no rule for the last instar in a {kinds} is known"
        if not self.takes:
            return no_rule
        said = [
            f"{_boxes(number, kind)} of {_each(self.takes[kind])}"
            for kind, number in self.boxes.items()
            if number
        ]
        bare = ", ".join(said) or "none of them"
        return "; ".join(part for part in (bare, self.rests_on, no_rule) if part)


def shared_room(
    hosts: Sequence[HostView],
    shelf: SheetShelf,
    rooms: Mapping[BoxKind, int],
    *,
    host: str = "",
) -> dict[str, Part]:
    """Share the room out among the hosts, or give it all to one that is asked of.

    Each whole box goes to the host that has least of its due: due are parts as the
    boxes stand now, or by the animals where one has no box yet. A host that has room
    for all of its animals takes no more.
    """
    asked = [one for one in hosts if one.eaters and host in {"", one.host}]
    eating = [one for one in hosts if one.eaters]
    takes = {one.host: _takes(one, shelf, rooms) for one in asked}

    def part(name: str, boxes: Mapping[BoxKind, int], rests_on: str) -> Part:
        own = takes[name]
        unknown = tuple(kind for kind in rooms if kind not in own)
        return Part({kind: boxes[kind] for kind in own}, own, unknown, rests_on)

    if len(asked) == 1:
        alone = "" if len(eating) == 1 else "all taken to be for it"
        (own,) = asked
        return {own.host: part(own.host, rooms, alone)}
    by_boxes = all(one.boxes for one in asked)
    due = {one.host: one.boxes if by_boxes else one.plan.eaters for one in asked}
    given = _shared_out(asked, takes, due, rooms)
    unit = "boxes that stand" if by_boxes else "animals to feed"
    whole = sum(due.values())
    return {
        name: part(
            name, given[name], f"its part, with {due[name]} of the {whole} {unit}"
        )
        for name in takes
    }


def _takes(
    one: HostView, shelf: SheetShelf, rooms: Mapping[BoxKind, int]
) -> dict[BoxKind, Density]:
    """Return the kinds that take the last instar, by the strictest of the eaters."""
    found: dict[BoxKind, Density] = {}
    for kind in rooms:
        rows = []
        for eaters in one.eaters:
            sheet = shelf.sheet_for(eaters.taxon)
            row = room_for(sheet, sheet.larval_stages[-1], kind)
            rows += [] if row is None else [row]
        if rows:
            found[kind] = min(rows, key=lambda row: (row.low, row.high))
    return found


def _shared_out(
    asked: Sequence[HostView],
    takes: Mapping[str, Mapping[BoxKind, Density]],
    due: Mapping[str, int],
    rooms: Mapping[BoxKind, int],
) -> dict[str, Counter[BoxKind]]:
    given: dict[str, Counter[BoxKind]] = {one.host: Counter() for one in asked}
    sure, most = (dict.fromkeys(takes, 0.0) for _ in range(2))

    def largest(kind: BoxKind) -> float:
        return max((x[kind].high for x in takes.values() if kind in x), default=0.0)

    for kind in sorted(rooms, key=largest, reverse=True):
        for _ in range(rooms[kind]):
            wanting = [
                one.host
                for one in asked
                if kind in takes[one.host] and sure[one.host] < one.plan.eaters
            ]
            if not wanting:
                break
            # half of the next one counts, so that the larger part rounds up first
            name = min(
                wanting,
                key=lambda x: (most[x] + takes[x][kind].high / 2) / due[x],
            )
            given[name][kind] += 1
            sure[name] += takes[name][kind].low
            most[name] += takes[name][kind].high
    return given


def _each(row: Density) -> str:
    low, high = int(row.low), int(row.high)
    return f"{low}" if low == high else f"{low} to {high}"


def _boxes(number: int, kind: BoxKind) -> str:
    return counted(number, kind, "boxes" if kind == "box" else f"{kind}s")
