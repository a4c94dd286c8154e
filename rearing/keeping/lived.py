"""How long a stage took in the keeper's own broods, and how warm they stood."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.eggs import LAYING_HOUR
from rearing.keeping.holding import holding
from rearing.keeping.moments import span_words
from rearing.keeping.starts import MORNING
from rearing.keeping.warmth import Warmth
from rearing.records import tables as t
from rearing.records.rows import MothRow, MoveRow
from rearing.science.rate_ranges import SAME_C
from rearing.terms import EggFate, Stage

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from numpy.typing import NDArray

    from rearing.keeping.holding import BoxNow, Holding, PotNow
    from rearing.records.book import Book
    from rearing.records.rows import StayRow
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

HOUR_S, DAY_S = 3600.0, 86400.0
STEADY_C = 10.0
"""Nine hours in ten must lie within so many degrees of each other for a mean to
stand for a constant temperature (common practice, no source)."""

_NOON = dt.time(12)


@dataclass(frozen=True, slots=True)
class Lived:
    """A mean duration as it was lived, of so many animals of one brood.

    `low_c` and `high_c` hold nine hours in ten. `first` and `last` are the days about
    which it ended. `trouble` says why it is no point for a fit at constant
    temperature; empty where it is.
    """

    key: str
    brood_id: int
    code: str
    days: float
    celsius: float
    low_c: float
    high_c: float
    number: int
    what: str
    first: dt.date
    last: dt.date
    trouble: str = ""

    @property
    def words(self) -> str:
        """How many came to what, and when."""
        days = span_words(self.first, self.last)
        return f"{self.number} {self.what} {days} {self.last.year}"


@dataclass(frozen=True, slots=True)
class _Spell:
    """Animals under the stays of one pot or box, from one moment to another."""

    stays: Sequence[StayRow]
    from_s: float
    to_s: float


@dataclass(frozen=True, slots=True)
class _Told:
    """Whose duration it is, and of how many animals."""

    key: str
    brood_id: int
    code: str
    number: int
    what: str


def lived(
    book: Book, shelf: SheetShelf, taxon: str, stage: Stage, on: dt.date
) -> tuple[Lived, ...]:
    """Return what the finished broods of a species tell of a stage, the oldest first.

    `stage` is the egg, any instar for the larva as a whole (hatching to wandering),
    or the pupa (here from wandering to the moth). Pots and boxes of one brood that
    stood equally warm are one point: sisters are no second opinion.
    """
    held = holding(book, on, all_ever=True)
    reader = _Reader(
        book, held, shelf.sheet_for(taxon), Warmth(book, shelf, held), taxon
    )
    if stage is Stage.EGG:
        found = reader.eggs()
    elif stage is Stage.PUPA:
        found = reader.pupae()
    else:
        found = reader.larvae()
    return _pooled(found)


class _Reader:
    def __init__(
        self,
        book: Book,
        held: Holding,
        sheet: SpeciesSheet,
        warmth: Warmth,
        taxon: str,
    ) -> None:
        self._book = book
        self._held = held
        self._sheet = sheet
        self._warmth = warmth
        self._broods = {
            brood.id for brood in held.broods.values() if held.taxon(brood) == taxon
        }
        self._boxes = {box.row.id: box for box in held.boxes}

    # eggs

    def eggs(self) -> Iterator[Lived]:
        """Yield each pot whose eggs have all come to a fate, by its mean days."""
        for pot in self._held.pots:
            hatched = [o for o in pot.outcomes if o.fate is EggFate.HATCHED]
            if pot.brood.id in self._broods and hatched and pot.waiting <= 0:
                yield self._of_pot(pot)

    def _of_pot(self, pot: PotNow) -> Lived:
        hatched = [o for o in pot.outcomes if o.fate is EggFate.HATCHED]
        laid_s = _mean(
            (self._at_s(x.evening, LAYING_HOUR), x.number) for x in pot.layings
        )
        hatch_s = _mean((self._at_s(x.on, MORNING), x.number) for x in hatched)
        spells = (_Spell(pot.stays, laid_s, hatch_s),)
        trouble = (
            "winters as an egg: cold, not heat, sets its days"
            if self._sheet.winter.stage is Stage.EGG
            else ""
        )
        many = sum(x.number for x in hatched)
        told = _Told(f"pot:{pot.row.id}", pot.brood.id, pot.code, many, "hatched")
        return self._lived(told, spells, trouble)

    # larvae

    def larvae(self) -> Iterator[Lived]:
        """Yield each box or sleeve that larvae went down from, when none is left."""
        for box_id, moves in self._wanderings():
            box = self._boxes.get(box_id)
            if box is None or self._is_in_use(box):
                continue
            down_s = _mean((self._moment_s(move, _NOON), move.number) for move in moves)
            spells = self._way_back(box, down_s)
            if not spells:
                continue
            many = sum(move.number for move in moves)
            told = _Told(f"box:{box_id}", box.brood.id, box.code, many, "went down")
            yield self._lived(told, spells)

    def _wanderings(self) -> list[tuple[int, list[MoveRow]]]:
        found: dict[int, list[MoveRow]] = defaultdict(list)
        for box in self._held.boxes:
            for move in box.moves_in:
                if (
                    move.stage is Stage.WANDERING
                    and move.from_box_id is not None
                    and box.brood.id in self._broods
                ):
                    found[move.from_box_id].append(move)
        return sorted(found.items())

    def _is_in_use(self, box: BoxNow) -> bool:
        closed = box.row.closed_on
        return (closed is None or closed > self._held.on) and box.standing.number > 0

    def _way_back(self, box: BoxNow, until_s: float) -> tuple[_Spell, ...]:
        """Follow most of the animals back to their hatching; empty if it is not known.

        Animals of several boxes put together are taken to have come from the one that
        gave most of them.
        """
        spells: list[_Spell] = []
        passed: set[int] = set()
        while box.row.id not in passed:
            passed.add(box.row.id)
            source, came = _most(box.moves_in)
            if not came:
                break
            clock = MORNING if source is None else _NOON
            from_s = _mean((self._moment_s(move, clock), move.number) for move in came)
            spells.append(_Spell(box.stays, min(from_s, until_s), until_s))
            if source is None:
                return tuple(spells[::-1])
            before = self._boxes.get(source)
            if before is None:
                break
            box, until_s = before, min(from_s, until_s)
        return ()

    # pupae

    def pupae(self) -> Iterator[Lived]:
        """Yield each brood whose tubs are empty again, from wandering to the moth."""
        for brood_id in sorted(self._broods):
            tubs = [
                box
                for box in self._held.boxes
                if box.brood.id == brood_id
                and any(m.stage is Stage.WANDERING for m in box.moves_in)
            ]
            moths = self._book.all(
                MothRow, t.Moth.brood_id == brood_id, t.Moth.since <= self._held.on
            )
            if not tubs or not moths or any(self._is_in_use(tub) for tub in tubs):
                continue
            yield self._of_tubs(tubs, moths)

    def _of_tubs(self, tubs: Sequence[BoxNow], moths: Sequence[MothRow]) -> Lived:
        down = [m for b in tubs for m in b.moves_in if m.stage is Stage.WANDERING]
        down_s = _mean((self._moment_s(move, _NOON), move.number) for move in down)
        moth_s = _mean((self._at_s(moth.since, _NOON), 1) for moth in moths)
        fullest = max(tubs, key=lambda tub: sum(m.number for m in tub.moves_in))
        spells = (_Spell(fullest.stays, down_s, moth_s),)
        brood = tubs[0].brood
        told = _Told(f"brood:{brood.id}", brood.id, brood.code, len(moths), "emerged")
        return self._lived(told, spells, "counted from wandering, not from pupation")

    # what all have together

    def _lived(self, told: _Told, spells: Sequence[_Spell], trouble: str = "") -> Lived:
        hours = np.concatenate([self._hours(spell) for spell in spells])
        ended = dt.datetime.fromtimestamp(spells[-1].to_s, self._held.home.zone).date()
        low = middle = high = math.nan
        if len(hours):
            low, high = (float(x) for x in np.percentile(hours, (5, 95)))
            middle = float(hours.mean())
        return Lived(
            key=told.key,
            brood_id=told.brood_id,
            code=told.code,
            days=(spells[-1].to_s - spells[0].from_s) / DAY_S,
            celsius=middle,
            low_c=low,
            high_c=high,
            number=told.number,
            what=told.what,
            first=ended,
            last=ended,
            trouble="; ".join(
                part for part in (_unevenness(low, high), trouble) if part
            ),
        )

    def _hours(self, spell: _Spell) -> NDArray[np.float64]:
        if not spell.stays:
            return np.empty(0)
        track = self._warmth.track(spell.stays)
        first, end = (
            round((at_s - track.start_s) / HOUR_S)
            for at_s in (spell.from_s, spell.to_s)
        )
        hours = track.celsius[max(first, 0) : max(end, 0)]
        return hours[np.isfinite(hours)]

    def _moment_s(self, move: MoveRow, clock: dt.time) -> float:
        return move.at.timestamp() if move.at else self._at_s(move.on, clock)

    def _at_s(self, day: dt.date, clock: dt.time) -> float:
        return dt.datetime.combine(day, clock, self._held.home.zone).timestamp()


def _unevenness(low_c: float, high_c: float) -> str:
    if math.isnan(low_c):
        return "its temperatures are not known"
    if high_c - low_c > STEADY_C:
        return f"stood at {low_c:.0f} to {high_c:.0f} °C, too uneven for a mean"
    return ""


def _pooled(found: Iterable[Lived]) -> tuple[Lived, ...]:
    points: list[list[Lived]] = []
    for one in found:
        for group in points:
            first = group[0]
            is_alike = bool(first.trouble) == bool(one.trouble)
            if (
                is_alike
                and first.brood_id == one.brood_id
                and abs(first.celsius - one.celsius) < SAME_C
            ):
                group.append(one)
                break
        else:
            points.append([one])
    return tuple(_as_one(group) for group in points)


def _as_one(group: Sequence[Lived]) -> Lived:
    if len(group) == 1:
        return group[0]
    start, end = group[0], group[-1]
    return replace(
        start,
        code=f"{start.code} to {end.code.rpartition(' ')[2]}",
        days=_mean((one.days, one.number) for one in group),
        celsius=_mean((one.celsius, one.number) for one in group),
        low_c=min(one.low_c for one in group),
        high_c=max(one.high_c for one in group),
        number=sum(one.number for one in group),
        first=min(one.first for one in group),
        last=max(one.last for one in group),
    )


def _mean(weighted: Iterable[tuple[float, int]]) -> float:
    pairs = list(weighted)
    whole = sum(number for _, number in pairs)
    if whole <= 0:
        return sum(at_s for at_s, _ in pairs) / len(pairs)
    return sum(at_s * number for at_s, number in pairs) / whole


def _most(moves: Sequence[MoveRow]) -> tuple[int | None, list[MoveRow]]:
    """Return where most came from (None: straight from pots), and those moves."""
    sources: dict[int | None, list[MoveRow]] = defaultdict(list)
    for move in moves:
        if move.number > 0:
            sources[move.from_box_id].append(move)
    if not sources:
        return None, []
    source = max(sources, key=lambda of: sum(move.number for move in sources[of]))
    return source, sources[source]
