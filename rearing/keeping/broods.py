"""A brood as its page in a notebook reads: origin, numbers, stages, losses, doings."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.course import Step, course
from rearing.keeping.descent import (
    Generations,
    Link,
    chain,
    generation_words,
    generations,
)
from rearing.keeping.doings import Doing, doings_of
from rearing.keeping.holding import BoxNow, PotNow, holding
from rearing.keeping.leaf_given import LeafGiven, leaf_given
from rearing.keeping.moments import counted, short_day, span_words, stages_words
from rearing.keeping.remarks import Remark, remarks_of
from rearing.keeping.round import box_lines
from rearing.keeping.season import Forecast, Forecaster
from rearing.keeping.warmth import Warmth
from rearing.records import tables as t
from rearing.records.rows import BroodRow, ExitRow, LossRow, MothRow
from rearing.science.proportions import wilson
from rearing.terms import EggFate, ExitKind, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from rearing.keeping.holding import Holding
    from rearing.keeping.round_lines import RoundLine
    from rearing.records.book import Book
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf


@dataclass(frozen=True, slots=True)
class LostTo:
    """How many a brood lost to one cause."""

    cause: str
    number: int
    of_eggs: bool


@dataclass(frozen=True, slots=True)
class Numbers:
    """A brood's bookkeeping; every egg is in exactly one of these."""

    eggs: int
    waiting: int
    hatched: int
    hatch_low: float
    hatch_high: float
    in_pots: int
    alive: int
    left: Mapping[ExitKind, int]
    losses: tuple[LostTo, ...]
    unaccounted: int
    mixed_in: int
    """Animals of other broods put into its boxes, less its own put into theirs."""

    @property
    def hatched_share(self) -> float | None:
        """Share of the eggs with a fate that hatched; None while all wait."""
        settled = self.eggs - self.waiting
        return self.hatched / settled if settled > 0 else None

    @property
    def is_balanced(self) -> bool:
        """True when eggs and larvae add up; unaccounted is the balancing term."""
        egg_fates = sum(x.number for x in self.losses if x.of_eggs)
        lost = sum(x.number for x in self.losses if not x.of_eggs)
        larvae = self.alive + self.in_pots + sum(self.left.values()) + lost
        return (
            self.eggs == self.waiting + self.hatched + egg_fates
            and self.hatched + self.mixed_in == larvae + self.unaccounted
        )


@dataclass(frozen=True, slots=True)
class NightEggs:
    """The eggs of one night, and what became of them."""

    pot: str
    evening: dt.date
    laid: int
    hatched: int
    waiting: int


@dataclass(frozen=True, slots=True)
class BroodPage:
    """All that a brood's page shows."""

    row: BroodRow
    taxon: str
    sheet: SpeciesSheet
    chain: tuple[Link, ...]
    generations: Generations
    generation_words: str
    numbers: Numbers
    nights: tuple[NightEggs, ...]
    pots: tuple[PotNow, ...]
    boxes: tuple[BoxNow, ...]
    place_names: Mapping[int, str]
    forecasts: tuple[Forecast, ...]
    doings: tuple[Doing, ...]
    asked: Mapping[int, RoundLine]
    """What the round asks for at each box that stands, by its id."""
    exits: tuple[ExitRow, ...]
    moths: tuple[MothRow, ...]
    """Its moths that were entered one by one, with their sex."""
    course: tuple[Step, ...]
    leaf: LeafGiven
    notes: tuple[Remark, ...]
    summary: str

    @property
    def open_boxes(self) -> tuple[BoxNow, ...]:
        """The boxes that stand."""
        return tuple(box for box in self.boxes if box.row.closed_on is None)


@dataclass(frozen=True, slots=True)
class BroodLine:
    """A brood in the list of broods."""

    id: int
    code: str
    taxon: str
    short: str
    alive: int
    waiting: int
    words: str
    is_open: bool


def brood_lines(book: Book, shelf: SheetShelf, on: dt.date) -> tuple[BroodLine, ...]:
    """Return every brood up to a day, open ones first, by code."""
    held = holding(book, on, all_ever=True)
    lines = []
    for brood in held.broods.values():
        pots = [pot for pot in held.pots if pot.brood.id == brood.id]
        boxes = [box for box in held.boxes if box.brood.id == brood.id]
        alive = sum(_alive(box, on) for box in boxes)
        waiting = sum(pot.waiting for pot in pots if _stands(pot.row.closed_on, on))
        in_pots = sum(pot.unhoused for pot in pots)
        taxon = held.taxon(brood)
        lines.append(
            BroodLine(
                id=brood.id,
                code=brood.code,
                taxon=taxon,
                short=shelf.sheet_for(taxon).short,
                alive=alive + in_pots,
                waiting=waiting,
                words=_stage_words(boxes, waiting, alive + in_pots, on),
                is_open=bool(alive + waiting + in_pots),
            )
        )
    return tuple(sorted(lines, key=lambda line: (not line.is_open, line.code)))


def brood_page(book: Book, shelf: SheetShelf, brood_id: int, on: dt.date) -> BroodPage:
    """Return what a brood's page shows on a day."""
    row = book.one(BroodRow, brood_id)
    everything = holding(book, on, brood_id=brood_id, all_ever=True)
    held = _standing(everything)
    taxon = held.taxon(row)
    side = generations(book, row)
    ids = [box.row.id for box in everything.boxes]
    boxes = tuple(_as_on(box, on) for box in everything.boxes)
    alive = sum(_alive(box, on) for box in boxes)
    waiting = sum(pot.waiting for pot in everything.pots)
    warmth = Warmth(book, shelf, held)
    return BroodPage(
        row=row,
        taxon=taxon,
        sheet=shelf.sheet_for(taxon),
        chain=chain(book, row, on),
        generations=side,
        generation_words=generation_words(side),
        numbers=_numbers(book, everything, ids, on),
        nights=_nights(everything.pots),
        pots=everything.pots,
        boxes=boxes,
        place_names={place.id: place.name for place in held.places.values()},
        forecasts=Forecaster(held, shelf, warmth).everything(),
        doings=doings_of(book, everything, on),
        asked={line.id: line for _, line in box_lines(book, shelf, held, warmth)},
        exits=book.all(ExitRow, t.Exit.box_id.in_(ids), t.Exit.on <= on),
        moths=book.all(MothRow, t.Moth.brood_id == row.id, t.Moth.since <= on),
        course=course(book, everything),
        leaf=leaf_given(book, ids, on),
        notes=remarks_of(book, "brood", brood_id, on),
        summary=_stage_words(boxes, waiting, alive, on),
    )


def _standing(everything: Holding) -> Holding:
    """Return only what stands on the day, without reading it again."""
    on = everything.on
    return replace(
        everything,
        pots=tuple(x for x in everything.pots if _stands(x.row.closed_on, on)),
        boxes=tuple(x for x in everything.boxes if _stands(x.row.closed_on, on)),
    )


def _numbers(book: Book, held: Holding, ids: Sequence[int], on: dt.date) -> Numbers:
    eggs = sum(pot.eggs for pot in held.pots)
    hatched = sum(pot.of(EggFate.HATCHED) for pot in held.pots)
    losses = book.all(LossRow, t.Loss.box_id.in_(ids), t.Loss.on <= on)
    exits = book.all(ExitRow, t.Exit.box_id.in_(ids), t.Exit.on <= on)
    left: Counter[ExitKind] = Counter()
    for leaving in exits:
        left[leaving.kind] += leaving.number
    waiting = sum(pot.waiting for pot in held.pots)
    share = wilson(hatched, eggs - waiting) if eggs > waiting else None
    alive = sum(box.standing.number for box in held.boxes)
    netted = sum(box.standing.came - box.standing.moved_out for box in held.boxes)
    return Numbers(
        eggs=eggs,
        waiting=waiting,
        hatched=hatched,
        hatch_low=share.low if share else 0.0,
        hatch_high=share.high if share else 1.0,
        in_pots=sum(pot.unhoused for pot in held.pots),
        alive=alive,
        left=dict(left),
        losses=_losses(held.pots, losses),
        unaccounted=sum(box.standing.unaccounted for box in held.boxes),
        mixed_in=netted - sum(pot.housed for pot in held.pots),
    )


def _losses(pots: Sequence[PotNow], losses: Sequence[LossRow]) -> tuple[LostTo, ...]:
    eggs: Counter[str] = Counter()
    for pot in pots:
        for outcome in pot.outcomes:
            if outcome.fate is not EggFate.HATCHED:
                eggs[outcome.fate.value] += outcome.number
    larvae: Counter[str] = Counter()
    for loss in losses:
        larvae[loss.cause.value] += loss.number
    return (
        *(LostTo(cause, n, of_eggs=True) for cause, n in eggs.most_common()),
        *(LostTo(cause, n, of_eggs=False) for cause, n in larvae.most_common()),
    )


def _nights(pots: Sequence[PotNow]) -> tuple[NightEggs, ...]:
    """Return each night's eggs; a pot's hatch is known by night if it holds one."""
    rows = []
    for pot in pots:
        alone = len(pot.layings) == 1
        rows += [
            NightEggs(
                pot=pot.row.label,
                evening=laying.evening,
                laid=laying.number,
                hatched=pot.of(EggFate.HATCHED) if alone else 0,
                waiting=pot.waiting if alone else 0,
            )
            for laying in pot.layings
        ]
    return tuple(sorted(rows, key=lambda row: row.evening))


def _as_on(box: BoxNow, on: dt.date) -> BoxNow:
    """Return a box that was closed later as one that still stands."""
    if _stands(box.row.closed_on, on) and box.row.closed_on is not None:
        return replace(box, row=replace(box.row, closed_on=None, closed_why=None))
    return box


def _stands(closed_on: dt.date | None, on: dt.date) -> bool:
    return closed_on is None or closed_on > on


def _alive(box: BoxNow, on: dt.date) -> int:
    return box.standing.number if _stands(box.row.closed_on, on) else 0


def _stage_words(boxes: Sequence[BoxNow], waiting: int, alive: int, on: dt.date) -> str:
    standing = [box for box in boxes if _alive(box, on)]
    looks = [box.last_look for box in standing if box.last_look]
    if looks:
        numbers: Counter[Stage] = Counter()
        for look in looks:
            numbers.update(look.numbers)
        seen = stages_words(numbers)
        days = span_words(min(x.on for x in looks), max(x.on for x in looks))
        return f"{seen}, seen {days}"
    if alive:
        came = [move.on for box in standing for move in box.moves_in]
        since = f" since {short_day(min(came))}" if came else ""
        if standing and all(box.row.kind.is_for_pupae for box in standing):
            return f"{alive} down to pupate{since}"
        return f"{counted(alive, 'larva', 'larvae')}{since}, stages not looked at"
    if waiting:
        return f"{counted(waiting, 'egg')} waiting"
    return "finished"
