"""How many can be kept to pupation: by the leaf that can be had, and by the room."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.leaf_plan import DAY
from rearing.keeping.moments import day_words, short_day
from rearing.keeping.shared_room import shared_room
from rearing.keeping.weights import kg
from rearing.problems import Refusal

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from rearing.keeping.leaf_view import HostView, LeafView
    from rearing.keeping.shared_room import Part
    from rearing.sheets.shelf import SheetShelf
    from rearing.terms import BoxKind

LEAF, ROOM = "leaf", "room"


@dataclass(frozen=True, slots=True)
class HowMany:
    """How many of those on a host can be kept, and what sets the bound.

    `by_leaf` and `by_room` are pairs: to be sure, and at most; None where it was not
    asked, or where no rule of the room is known; `part` is its part of the room.
    `binds` is *leaf*, *room*, or empty where all can be kept. `give_by` is the last day
    on which those too many should go, `at_l3` whether most of them are in L3 or younger
    then.
    """

    host: str
    eaters: int
    carry_g: float | None
    by_leaf: tuple[int, int] | None
    by_room: tuple[int, int] | None
    part: Part | None
    binds: str
    fullest_on: dt.date
    give_by: dt.date | None
    at_l3: bool

    @property
    def keep(self) -> int:
        """How many can be kept to be sure."""
        bounds = [one[0] for one in (self.by_leaf, self.by_room) if one is not None]
        return min([*bounds, self.eaters])

    @property
    def too_many(self) -> int:
        """How many should go elsewhere."""
        return self.eaters - self.keep

    @property
    def room_words(self) -> str:
        """Which boxes are its own, and what that rests on; empty where not asked."""
        return "" if self.part is None else self.part.words

    @property
    def words(self) -> str:
        """As sentences."""
        name = f"{self.host[:1].upper()}{self.host[1:]}"
        said = [f"{name}, {self.eaters} to feed: {'; '.join(self._bounds())}."]
        if self.by_leaf is None and self.by_room is None:
            return said[0]
        if not self.binds:
            return f"{said[0]} All can be kept."
        when = "fullest" if self.binds == LEAF else "in the last instar"
        day = f" {short_day(self.fullest_on)}" if self.binds == LEAF else ""
        said.append(f"{self.binds.capitalize()} binds, {when}{day}.")
        said.append(self._advice())
        return " ".join(said)

    def _bounds(self) -> list[str]:
        said = []
        if self.by_leaf is not None and self.carry_g is not None:
            sure, most = self.by_leaf
            said.append(f"leaf for {_pair(sure, most)} at {kg(self.carry_g)} a day")
        if self.by_room is not None:
            said.append(f"room for {_pair(*self.by_room)} ({self.room_words})")
        elif self.part is not None:
            said.append(self.room_words)
        return said

    def _advice(self) -> str:
        number = self.too_many
        if self.give_by is None:
            return f"Give {number} away now, or find more {self.binds}."
        stage = " at L3" if self.at_l3 else ""
        return (
            f"Give {number} away{stage} by {day_words(self.give_by)}, or find more "
            f"{self.binds}."
        )


def _pair(sure: int, most: int) -> str:
    return f"{sure}" if sure == most else f"{sure} to {most}"


def how_many(
    view: LeafView,
    shelf: SheetShelf,
    *,
    carry_g: float | None = None,
    rooms: Mapping[BoxKind, int] | None = None,
    host: str = "",
) -> tuple[HowMany, ...]:
    """Return how many of each host's animals can be kept to pupation.

    `carry_g` is what of a host can be cut and carried a day [g], `rooms` how many
    boxes, cages and sleeves there are for all of them; `host` asks of one alone, to
    which then all the room goes.
    """
    if carry_g is not None and carry_g <= 0:
        raise Refusal("How much can be carried must be above nought.", field="carry")
    rooms = {kind: number for kind, number in (rooms or {}).items() if number}
    if any(number < 0 for number in rooms.values()):
        raise Refusal("Boxes can't be fewer than none.", field="boxes")
    if carry_g is None and not rooms:
        raise Refusal(
            "Say how much leaf can be carried a day, or which boxes there are.",
            field="carry",
        )
    asked = [one for one in view.hosts if host in {"", one.host} and one.eaters]
    parts = shared_room(view.hosts, shelf, rooms, host=host) if rooms else {}
    return tuple(_of(one, view, shelf, carry_g, parts.get(one.host)) for one in asked)


def _of(
    one: HostView,
    view: LeafView,
    shelf: SheetShelf,
    carry_g: float | None,
    part: Part | None,
) -> HowMany:
    plan = one.plan
    number = plan.eaters
    by_leaf = None if carry_g is None else _by_leaf(one, carry_g, shelf)
    by_room = None
    if part is not None and part.takes:
        by_room = (min(part.sure, number), min(part.most, number))
    bounds = {
        name: bound[0]
        for name, bound in ((LEAF, by_leaf), (ROOM, by_room))
        if bound is not None and bound[0] < number
    }
    binds = min(bounds, key=lambda name: bounds[name], default="")
    give_by, at_l3 = _give_by(one, view, carry_g, binds)
    return HowMany(
        host=one.host,
        eaters=number,
        carry_g=carry_g,
        by_leaf=by_leaf,
        by_room=by_room,
        part=part,
        binds=binds,
        fullest_on=plan.peak_on,
        give_by=give_by,
        at_l3=at_l3,
    )


def _by_leaf(one: HostView, carry_g: float, shelf: SheetShelf) -> tuple[int, int]:
    """Return how many the leaf feeds on the hungriest day, and on the mean fullest."""
    plan, number = one.plan, one.plan.eaters
    factor = shelf.defaults.figures.peak_day_per_mean_day.middle
    needs = (plan.peak.high * factor, plan.peak.expected)
    sure, most = (
        min(int(number * carry_g / need), number) if need else number for need in needs
    )
    return sure, most


def _give_by(
    one: HostView, view: LeafView, carry_g: float | None, binds: str
) -> tuple[dt.date | None, bool]:
    """Return the last day to give some away: at L3 if that is still to be had.

    Else the day before the leaf is more than can be carried, or now.
    """
    if not binds:
        return None, False
    young = [x.give_by for x in one.eaters if x.give_by is not None]
    early = min(young, default=None)
    over = None
    if carry_g is not None:
        over = next(
            (
                day.on - DAY
                for day in view.plan.days
                if one.host in day.hosts and day.hosts[one.host].high > carry_g
            ),
            None,
        )
    days = [day for day in (early, over) if day is not None and day > view.on]
    last = min(days, default=None)
    return last, last is not None and early is not None and last <= early
