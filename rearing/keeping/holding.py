"""Everything alive as on a day, read once: what the round and the season work from."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from rearing.keeping.facts import Home, home
from rearing.keeping.ledger import Standing, box_events, moves_of, standing
from rearing.keeping.nights import current_call
from rearing.keeping.stage_known import with_stages
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.of_boxes import stages_seen_in
from rearing.records.rows import (
    BoxRow,
    BroodRow,
    DeterminationRow,
    EggOutcomeRow,
    EggPotRow,
    LayingRow,
    MixedFromRow,
    MothRow,
    MoveRow,
    PlaceRow,
    StayRow,
)
from rearing.terms import EggFate

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Mapping

    from rearing.records.book import Book
    from rearing.terms import Stage

DAY = dt.timedelta(days=1)
T = TypeVar("T")
K = TypeVar("K", bound="Hashable")


@dataclass(frozen=True, slots=True)
class Look:
    """A look at the stages of a box."""

    on: dt.date
    at: dt.datetime | None
    numbers: Mapping[Stage, int]
    resting: Mapping[Stage, int]

    @property
    def total(self) -> int:
        """How many were looked at."""
        return sum(self.numbers.values())


@dataclass(frozen=True, slots=True)
class PotNow:
    """An egg pot as on a day."""

    row: EggPotRow
    brood: BroodRow
    stays: tuple[StayRow, ...]
    layings: tuple[LayingRow, ...]
    outcomes: tuple[EggOutcomeRow, ...]
    housed: int

    @property
    def code(self) -> str:
        """As on its label."""
        return f"{self.brood.code} pot {self.row.label}"

    @property
    def eggs(self) -> int:
        """All eggs laid into it."""
        return sum(laying.number for laying in self.layings)

    def of(self, fate: EggFate) -> int:
        """Return how many eggs came to a fate."""
        return sum(x.number for x in self.outcomes if x.fate is fate)

    @property
    def waiting(self) -> int:
        """Eggs without a fate yet."""
        return self.eggs - sum(x.number for x in self.outcomes)

    @property
    def unhoused(self) -> int:
        """Hatched, and still in the pot by the book."""
        return self.of(EggFate.HATCHED) - self.housed


@dataclass(frozen=True, slots=True)
class BoxNow:
    """A box as on a day."""

    row: BoxRow
    brood: BroodRow
    stays: tuple[StayRow, ...]
    standing: Standing
    looks: tuple[Look, ...]
    moves_in: tuple[MoveRow, ...]
    emerged: tuple[tuple[dt.date, int], ...] = ()
    """Moths that came out of it, by day."""

    @property
    def code(self) -> str:
        """As on its label."""
        return f"{self.brood.code} {self.row.label}"

    @property
    def last_look(self) -> Look | None:
        """The latest look at its stages."""
        return self.looks[-1] if self.looks else None


@dataclass(frozen=True, slots=True)
class Holding:
    """All that lives, as on a day."""

    on: dt.date
    home: Home
    places: Mapping[int, PlaceRow]
    broods: Mapping[int, BroodRow]
    taxa: Mapping[int, str]
    pots: tuple[PotNow, ...]
    boxes: tuple[BoxNow, ...]
    ever_pots: tuple[PotNow, ...] = ()
    """Closed ones among them; empty where only what stands was read."""
    ever_boxes: tuple[BoxNow, ...] = ()

    def taxon(self, brood: BroodRow) -> str:
        """Return what a brood is called on this day: its mother's latest name."""
        return self.taxa.get(brood.id, brood.taxon)


def holding(
    book: Book, on: dt.date, *, brood_id: int | None = None, all_ever: bool = False
) -> Holding:
    """Read what is alive on a day; with `all_ever`, closed boxes and pots too."""
    broods = {
        brood.id: brood
        for brood in book.all(
            BroodRow,
            t.Brood.opened_on <= on,
            *(() if brood_id is None else (t.Brood.id == brood_id,)),
        )
    }
    one = brood_id is not None
    pots = _pots(book, broods, on, one=one, all_ever=all_ever)
    boxes = _boxes(book, broods, on, one=one, all_ever=all_ever)
    return Holding(
        on=on,
        home=home(book),
        places={place.id: place for place in book.all(PlaceRow)},
        broods=broods,
        taxa=taxa_of(book, broods, on),
        pots=pots,
        boxes=boxes,
        ever_pots=pots if all_ever else (),
        ever_boxes=boxes if all_ever else (),
    )


def standing_only(ever: Holding) -> Holding:
    """Return what stands on the day of all that ever was, without reading again."""
    on = ever.on
    return replace(
        ever,
        pots=tuple(pot for pot in ever.pots if stands(pot.row.closed_on, on)),
        boxes=tuple(box for box in ever.boxes if stands(box.row.closed_on, on)),
    )


def stands(closed_on: dt.date | None, on: dt.date) -> bool:
    """Tell whether what was closed on a day, or never, is there on another."""
    return closed_on is None or closed_on > on


def grouped(rows: Iterable[T], key: Callable[[T], K]) -> dict[K, list[T]]:
    """Return rows by a key, in their order."""
    groups: dict[K, list[T]] = defaultdict(list)
    for row in rows:
        groups[key(row)].append(row)
    return groups


def taxa_of(book: Book, broods: Mapping[int, BroodRow], on: dt.date) -> dict[int, str]:
    """Return what broods are called on a day where their mother was called again."""
    mothers = {moth.id: moth for moth in book.all(MothRow)}
    calls = grouped(
        book.all(DeterminationRow, t.Determination.moth_id.is_not(None)),
        lambda call: call.moth_id,
    )
    taxa = {}
    for brood in broods.values():
        mother = mothers.get(brood.mother_id or 0)
        if mother is None or not calls.get(mother.id):
            continue
        first = (mother.taxon, mother.sex)
        taxa[brood.id] = current_call(first, calls[mother.id], on)[0]
    for line in book.all(MixedFromRow, order=(t.MixedFrom.id.desc(),)):
        # Mixed lines are of one species: what a source is called, they are called.
        if line.brood_id in broods and line.brood_id not in taxa:
            source = {line.source_id: book.one(BroodRow, line.source_id)}
            for name in taxa_of(book, source, on).values():
                taxa[line.brood_id] = name
    return taxa


def _pots(
    book: Book,
    broods: Mapping[int, BroodRow],
    on: dt.date,
    *,
    one: bool,
    all_ever: bool,
) -> tuple[PotNow, ...]:
    where = [t.EggPot.opened_on <= on]
    if one:
        where.append(among(t.EggPot.brood_id, list(broods)))
    if not all_ever:
        where.append(t.EggPot.closed_on.is_(None) | (t.EggPot.closed_on > on))
    rows = book.all(EggPotRow, *where)
    ids = [row.id for row in rows]
    layings = grouped(
        book.all(LayingRow, among(t.Laying.pot_id, ids), t.Laying.evening <= on),
        lambda x: x.pot_id,
    )
    outcomes = grouped(
        book.all(EggOutcomeRow, among(t.EggOutcome.pot_id, ids), t.EggOutcome.on <= on),
        lambda x: x.pot_id,
    )
    moves = grouped(
        book.all(MoveRow, among(t.Move.from_pot_id, ids), t.Move.on <= on),
        lambda x: x.from_pot_id,
    )
    stays = _stays(book, t.Stay.pot_id, ids, on)
    return tuple(
        PotNow(
            row=row,
            brood=broods[row.brood_id],
            stays=tuple(stays.get(row.id, ())),
            layings=tuple(layings.get(row.id, ())),
            outcomes=tuple(outcomes.get(row.id, ())),
            housed=sum(move.number for move in moves.get(row.id, ())),
        )
        for row in rows
        if row.brood_id in broods
    )


def _boxes(
    book: Book,
    broods: Mapping[int, BroodRow],
    on: dt.date,
    *,
    one: bool,
    all_ever: bool,
) -> tuple[BoxNow, ...]:
    where = [t.Box.opened_on <= on]
    if one:
        where.append(among(t.Box.brood_id, list(broods)))
    if not all_ever:
        where.append(t.Box.closed_on.is_(None) | (t.Box.closed_on > on))
    rows = book.all(BoxRow, *where)
    ids = [row.id for row in rows]
    moved = with_stages(book, moves_of(book, ids, on))
    events = box_events(book, ids, on, moves=moved)
    looks = _looks(book, ids, on)
    moves = grouped(moved, lambda move: move.to_box_id)
    stays = _stays(book, t.Stay.box_id, ids, on)
    return tuple(
        BoxNow(
            row=row,
            brood=broods[row.brood_id],
            stays=tuple(stays.get(row.id, ())),
            standing=standing(events[row.id]),
            looks=tuple(looks.get(row.id, ())),
            moves_in=tuple(moves.get(row.id, ())),
            emerged=tuple((x.on, x.number) for x in events[row.id] if x.emerged),
        )
        for row in rows
        if row.brood_id in broods
    )


def _looks(book: Book, ids: list[int], on: dt.date) -> dict[int, list[Look]]:
    looks: dict[int, list[Look]] = defaultdict(list)
    last_id = 0
    numbers: dict[Stage, int] = {}
    resting: dict[Stage, int] = {}
    for box_id, look_id, day, at, stage, number, still in stages_seen_in(book, ids, on):
        if look_id != last_id:
            numbers, resting, last_id = {}, {}, look_id
            looks[box_id].append(Look(day, at, numbers, resting))
        if stage is not None and number is not None:
            numbers[stage] = number
            if still:
                resting[stage] = still
    return looks


def _stays(  # type: ignore[no-untyped-def]
    book: Book, column, ids: list[int], on: dt.date
) -> dict[int, list[StayRow]]:
    """Return the stays begun by the end of a day; the first is always among them."""
    found = grouped(
        book.all(StayRow, among(column, ids), order=(t.Stay.from_at,)),
        lambda stay: stay.box_id if stay.box_id is not None else stay.pot_id or 0,
    )
    midnight = dt.datetime.combine(on + DAY, dt.time(), home(book).zone)
    end = midnight.astimezone(dt.UTC)
    return {
        key: [stay for stay in stays if stay.from_at < end] or stays[:1]
        for key, stays in found.items()
    }
