"""What would save stock while nobody is there: a helper, a cooler place, a tree."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from rearing.keeping.away_leaf import life_at
from rearing.keeping.box_age import oldest_larva
from rearing.keeping.moments import short_day
from rearing.keeping.season import Forecaster
from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Sequence

    from rearing.keeping.away_leaf import BoxLeaf, LeafAhead
    from rearing.keeping.holding import Holding, PotNow
    from rearing.keeping.ready_warmth import ReadyWarmth
    from rearing.records.rows import PlaceRow
    from rearing.sheets.shelf import SheetShelf

COOLEST_C = 8.0
"""Below it larvae of most species hardly feed (from memory): no place to leave them."""

COOLER_C = 1.0
"""A place is called cooler from this difference on [°C]."""

MOST = 2
"""Of places or trees that would do, no more are named."""


class SaveKind(StrEnum):
    """In which way stock is saved."""

    HELPER = "helper"
    COOLER = "cooler place"
    SLEEVE = "sleeve"
    BOX = "box"
    LITTER = "litter"
    ROOM = "room to climb"


@dataclass(frozen=True, slots=True)
class Save:
    """One way to save what would fail."""

    kind: SaveKind
    words: str
    place_id: int | None = None


HELPER = Save(SaveKind.HELPER, "a helper")


def box_saves(
    leaf: BoxLeaf,
    held: Holding,
    shelf: SheetShelf,
    ahead: LeafAhead,
    *,
    trees: Sequence[str],
    until: dt.datetime,
) -> tuple[Save, ...]:
    """Return what would keep a box in good leaf until a moment."""
    cooler = [
        Save(SaveKind.COOLER, f"{place.name} ({at_c:.0f}°)", place.id)
        for place, at_c in _cooler(leaf, held, shelf, ahead, until)
    ]
    sleeves = [Save(SaveKind.SLEEVE, f"a sleeve on {name}") for name in trees[:MOST]]
    small = oldest_larva(leaf.box) is Stage.L1
    return (HELPER, *cooler[:MOST], *(() if small else sleeves))


def _cooler(
    leaf: BoxLeaf,
    held: Holding,
    shelf: SheetShelf,
    ahead: LeafAhead,
    until: dt.datetime,
) -> Iterator[tuple[PlaceRow, float]]:
    """Yield the places where the same leaf lasts, the least change first."""
    if leaf.at_worst.is_eaten:
        return
    wanted = ahead.since_until(until)
    found = []
    for place in held.places.values():
        air = ahead.air(place.id)
        if place.outdoors or air.likely_c < COOLEST_C:
            continue
        if air.at_worst_c > leaf.air.at_worst_c - COOLER_C:
            continue
        life = life_at(
            shelf, leaf.box.row.kind, air.at_worst_c, leaf.latin, place, is_last=False
        )
        if life is not None and life.days >= wanted:
            found.append((place, air.likely_c))
    yield from sorted(found, key=lambda one: -one[1])


def pot_saves(
    pot: PotNow,
    held: Holding,
    shelf: SheetShelf,
    warmth: ReadyWarmth,
    *,
    moved_at: dt.datetime,
    until: dt.datetime,
) -> tuple[Save, ...]:
    """Return what would keep a pot from hatching unseen until a moment.

    A pot that is hatching can't be held back. Of cooler places the coolest that may
    be trusted: eggs take cold best when young (common practice).
    """
    saves = [HELPER]
    if pot.of(EggFate.HATCHED) or not pot.stays:
        return tuple(saves)
    supposed = warmth.supposing()
    for place in sorted(held.places.values(), key=lambda one: warmth.now_c(one.id)):
        if place.outdoors or place.id == pot.stays[-1].place_id:
            continue
        if warmth.now_c(place.id) > warmth.now_c(pot.stays[-1].place_id) - COOLER_C:
            continue
        first = _hatch_in(pot, place, held, shelf, supposed, moved_at)
        if first is not None and first > until:
            words = f"{place.name} ({warmth.now_c(place.id):.0f}°)"
            later = f"{words}, then not before {short_day(first.date())}"
            saves.append(Save(SaveKind.COOLER, later, place.id))
            break
    return tuple(saves)


def _hatch_in(
    pot: PotNow,
    place: PlaceRow,
    held: Holding,
    shelf: SheetShelf,
    warmth: ReadyWarmth,
    moved_at: dt.datetime,
) -> dt.datetime | None:
    """Return when the first may hatch, were the pot put elsewhere at a moment."""
    last = pot.stays[-1]
    stays = (
        *pot.stays[:-1],
        replace(last, to_at=moved_at),
        replace(last, place_id=place.id, from_at=moved_at, to_at=None),
    )
    moved = replace(pot, stays=stays)
    forecast = Forecaster(held, shelf, warmth).pots([moved], until="hatch")
    window = forecast.window("hatch") if forecast else None
    return window.first.low if window is not None and window.first else None


def waiting_saves(*, wandering: bool) -> tuple[Save, ...]:
    """Return what keeps wanderers, or moths, from harm meanwhile."""
    if wandering:
        litter = "litter or a dark tub with them before you go"
        return HELPER, Save(SaveKind.LITTER, litter)
    room = "an open tub with twigs to climb before you go"
    return HELPER, Save(SaveKind.ROOM, room)
