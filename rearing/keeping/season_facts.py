"""What the season is drawn from, read once and then frozen: broods, leaf, warmth."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.holding import grouped, holding
from rearing.keeping.reach import reach
from rearing.keeping.ready_warmth import ReadyWarmth
from rearing.keeping.undisturbed import undisturbed
from rearing.records import tables as t
from rearing.records.leaf_given import leaf_given
from rearing.records.rows import ExitRow, MothRow
from rearing.terms import EggFate, ExitKind, Sex

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from rearing.keeping.holding import BoxNow, Holding, Look, PotNow
    from rearing.keeping.reach import Reach
    from rearing.records.book import Book
    from rearing.records.rows import BroodRow
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

NOT_ENTERED = "host not entered"
LIFE_OF_A_MOTH = dt.timedelta(days=14)
LEAF_KNOWN = dt.timedelta(days=200)
"""Leaf is looked up no further back, nor than the first day that is asked for."""


@dataclass(frozen=True, slots=True)
class Flown:
    """Moths of one sex that emerged on a day."""

    on: dt.date
    sex: Sex
    number: int


@dataclass(frozen=True, slots=True)
class BroodFacts:
    """What was seen of one brood."""

    row: BroodRow
    taxon: str
    sheet: SpeciesSheet
    laid: Mapping[dt.date, int]
    hatched: Mapping[dt.date, int]
    waiting: int
    unhoused: int
    looks: Mapping[dt.date, tuple[Look, ...]]
    down: Mapping[dt.date, int]
    """How many went down to pupate, by the day they were moved into a tub."""
    open_boxes: tuple[BoxNow, ...]
    flown: tuple[Flown, ...]
    hosts: Mapping[str, int]
    """Its larvae by the leaf they are given."""
    boxes_on: Mapping[str, int]
    """Its boxes of larvae by the leaf they are given."""
    ended_on: dt.date

    @property
    def in_boxes(self) -> int:
        """Animals in the boxes that stand."""
        return sum(box.standing.number for box in self.open_boxes)

    @property
    def is_open(self) -> bool:
        """Whether any of it lives here."""
        return bool(self.waiting + self.unhoused + self.in_boxes)

    @property
    def is_all_down(self) -> bool:
        """Whether all that live have gone down to pupate."""
        standing = [box for box in self.open_boxes if box.standing.number]
        eggs = self.waiting + self.unhoused
        down = all(box.row.kind.is_for_pupae for box in standing)
        return bool(standing) and down and not eggs


@dataclass(frozen=True, slots=True)
class SeasonFacts:
    """All that the season page rests on, as on a day; needs no book any more."""

    on: dt.date
    since: dt.date
    zone: dt.tzinfo
    broods: tuple[BroodFacts, ...]
    held: Holding
    warmth: ReadyWarmth
    given_g: Mapping[tuple[dt.date, str], float]
    """Leaf that was weighed when it was given, by day and host."""
    unweighed: frozenset[dt.date]
    """Days on which leaf was given and not weighed."""
    reach: Reach


@undisturbed()
def season_facts(
    book: Book, shelf: SheetShelf, on: dt.date, *, since: dt.date | None = None
) -> SeasonFacts:
    """Read what the season of a year is drawn from; `since` is its first day."""
    since = since or dt.date(on.year, 1, 1)
    ever = holding(book, on, all_ever=True)
    held = replace(
        ever,
        pots=tuple(pot for pot in ever.pots if _stands(pot.row.closed_on, on)),
        boxes=tuple(box for box in ever.boxes if _stands(box.row.closed_on, on)),
    )
    given = leaf_given(book, min(since, on - LEAF_KNOWN), on)
    weighed: dict[tuple[dt.date, str], float] = defaultdict(float)
    for day, host, grams in given.weighed:
        weighed[day, host or NOT_ENTERED] += grams
    told = _BroodsTold(book, shelf, ever, given.last_host)
    broods = (told.of(brood) for brood in ever.broods.values())
    return SeasonFacts(
        on=on,
        since=since,
        zone=held.home.zone,
        broods=tuple(b for b in broods if b.is_open or b.ended_on >= since),
        held=held,
        warmth=ReadyWarmth(book, shelf, held),
        given_g=dict(weighed),
        unweighed=given.unweighed,
        reach=reach(book, on),
    )


class _BroodsTold:
    """Gathers what concerns each brood from rows that were read for all at once."""

    def __init__(
        self,
        book: Book,
        shelf: SheetShelf,
        ever: Holding,
        leaf: Mapping[int, str],
    ) -> None:
        self._shelf = shelf
        self._ever = ever
        self._pots = grouped(ever.pots, lambda pot: pot.brood.id)
        self._boxes = grouped(ever.boxes, lambda box: box.brood.id)
        self._leaf = leaf
        self._moths = grouped(
            book.all(MothRow, t.Moth.brood_id.is_not(None), t.Moth.since <= ever.on),
            lambda moth: moth.brood_id or 0,
        )
        self._exits = grouped(
            book.all(ExitRow, t.Exit.on <= ever.on), lambda leaving: leaving.box_id
        )

    def of(self, brood: BroodRow) -> BroodFacts:
        """Return what was seen of a brood."""
        on = self._ever.on
        pots, boxes = self._pots.get(brood.id, []), self._boxes.get(brood.id, [])
        standing = tuple(box for box in boxes if _stands(box.row.closed_on, on))
        taxon = self._ever.taxon(brood)
        sheet = self._shelf.sheet_for(taxon)
        flown = self._flown(brood, boxes)
        return BroodFacts(
            row=brood,
            taxon=taxon,
            sheet=sheet,
            laid=_laid(pots),
            hatched=_hatched(pots, boxes),
            waiting=sum(p.waiting for p in pots if _stands(p.row.closed_on, on)),
            unhoused=sum(p.unhoused for p in pots if _stands(p.row.closed_on, on)),
            looks=_looks(boxes),
            down=_down(boxes),
            open_boxes=standing,
            flown=flown,
            hosts=self._hosts(standing, sheet),
            boxes_on=Counter(self._host(box) for box in _of_larvae(standing)),
            ended_on=self._ended(brood, pots, boxes, flown),
        )

    def _flown(self, brood: BroodRow, boxes: Iterable[BoxNow]) -> tuple[Flown, ...]:
        """Return moths by day and sex; those entered by number alone are not sexed."""
        counts = Counter((m.since, m.sex) for m in self._moths.get(brood.id, []))
        out: Counter[dt.date] = Counter()
        for box in boxes:
            for leaving in self._exits.get(box.row.id, []):
                if leaving.kind is ExitKind.EMERGED:
                    out[leaving.on] += leaving.number
        for day, number in out.items():
            sexed = sum(counts[day, sex] for sex in Sex)
            if number > sexed:
                counts[day, Sex.NOT_LOOKED] += number - sexed
        rows = (Flown(day, sex, n) for (day, sex), n in counts.items() if n)
        return tuple(sorted(rows, key=lambda row: (row.on, row.sex)))

    def _hosts(self, boxes: Iterable[BoxNow], sheet: SpeciesSheet) -> dict[str, int]:
        hosts: Counter[str] = Counter()
        for box in _of_larvae(boxes):
            hosts[self._host(box)] += box.standing.number
        if not hosts:
            hosts[sheet.hosts[0].name if sheet.hosts else NOT_ENTERED] = 1
        return dict(hosts)

    def _host(self, box: BoxNow) -> str:
        return self._leaf.get(box.row.id) or box.row.host or NOT_ENTERED

    def _ended(
        self,
        brood: BroodRow,
        pots: Iterable[PotNow],
        boxes: Iterable[BoxNow],
        flown: Iterable[Flown],
    ) -> dt.date:
        """Return the last day on which anything of it was here."""
        shut = [pot.row.closed_on for pot in pots]
        shut += [box.row.closed_on for box in boxes]
        days = [day for day in shut if day is not None and day <= self._ever.on]
        days += [moths.on + LIFE_OF_A_MOTH for moths in flown]
        return min(max(days, default=brood.opened_on), self._ever.on)


def _stands(closed_on: dt.date | None, on: dt.date) -> bool:
    return closed_on is None or closed_on > on


def _of_larvae(boxes: Iterable[BoxNow]) -> tuple[BoxNow, ...]:
    """Return the boxes that hold larvae which eat, or may."""
    return tuple(
        box for box in boxes if not box.row.kind.is_for_pupae and box.standing.number
    )


def _laid(pots: Iterable[PotNow]) -> dict[dt.date, int]:
    laid: Counter[dt.date] = Counter()
    for pot in pots:
        for laying in pot.layings:
            laid[laying.evening] += laying.number
    return dict(laid)


def _hatched(pots: Iterable[PotNow], boxes: Iterable[BoxNow]) -> dict[dt.date, int]:
    """Return the hatch by day; larvae that came without eggs count as they came."""
    hatched: Counter[dt.date] = Counter()
    for pot in pots:
        for outcome in pot.outcomes:
            if outcome.fate is EggFate.HATCHED:
                hatched[outcome.on] += outcome.number
    if not hatched:
        for box in boxes:
            for move in box.moves_in:
                if move.from_pot_id is not None:
                    hatched[move.on] += move.number
    return dict(hatched)


def _looks(boxes: Iterable[BoxNow]) -> dict[dt.date, tuple[Look, ...]]:
    looks: dict[dt.date, list[Look]] = defaultdict(list)
    for box in boxes:
        for look in box.looks:
            if look.total:
                looks[look.on].append(look)
    return {day: tuple(looks[day]) for day in sorted(looks)}


def _down(boxes: Iterable[BoxNow]) -> dict[dt.date, int]:
    tubs = {box.row.id for box in boxes if box.row.kind.is_for_pupae}
    down: Counter[dt.date] = Counter()
    for box in boxes:
        if box.row.id in tubs:
            for move in box.moves_in:
                if move.from_box_id not in tubs:
                    down[move.on] += move.number
    return dict(down)
