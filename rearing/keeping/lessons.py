"""What the keeper's own finished broods teach of a species."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import numpy as np

from rearing.keeping.holding import holding, taxa_of
from rearing.keeping.moments import counted
from rearing.keeping.pot_looks import pots_looked_at
from rearing.keeping.sightings import sighted_boxes, sighted_pots
from rearing.keeping.way_back import WaysBack, places_of
from rearing.records import tables as t
from rearing.records.latest import last_change
from rearing.records.rows import BoxRow, BroodRow, EggPotRow
from rearing.science.heats import HeatStore
from rearing.science.learn import Learnt, Lesson, learnt, lesson

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from rearing.keeping.holding import BoxNow, Holding
    from rearing.keeping.sightings import Sighted
    from rearing.records.book import Book
    from rearing.science.stages import StageHeat, Start, Track
    from rearing.sheets.shelf import SheetShelf

    Stages = tuple[StageHeat, ...]

MOST_BROODS = 8
"""No more of the latest finished broods of a species are read."""


_OF_BOOK: WeakKeyDictionary[Book, _Notes] = WeakKeyDictionary()
"""What was last learnt of each open book; it holds until something is entered."""


@dataclass(frozen=True, slots=True)
class _Chapter:
    """Eggs, larvae or pupae of a finished brood, from their beginning to their end."""

    sighted: Sighted
    starts: tuple[Start, ...]
    track: Track


@dataclass(frozen=True, slots=True)
class _Notes:
    """Chapters by species and brood, lessons by brood, and what they come to.

    They hold for one state of the book, one day and one shelf of sheets.
    """

    state: int
    on: dt.date
    shelf: SheetShelf
    chapters: dict[str, dict[int, tuple[_Chapter, ...]]] = field(default_factory=dict)
    lessons: dict[tuple[int, Stages], Lesson | None] = field(default_factory=dict)
    learnt: dict[tuple[str, int | None, Stages], Learnt | None] = field(
        default_factory=dict
    )


def _notes_of(book: Book, on: dt.date, shelf: SheetShelf) -> _Notes:
    state = last_change(book)
    known = _OF_BOOK.get(book)
    if known is None or (known.state, known.on) != (state, on) or known.shelf != shelf:
        known = _OF_BOOK[book] = _Notes(state, on, shelf)
    return known


class Lessons:
    """Reads the finished broods of a species when first asked, and keeps the lesson.

    A brood is finished for this when its pots are closed, and its boxes but for tubs:
    its pupae may lie over. Nothing after the day of what is held is looked at. What was
    learnt is kept with the book until something is entered, so that every page has the
    same answer and only the first one waits for it.
    """

    def __init__(self, book: Book, shelf: SheetShelf, held: Holding) -> None:
        self._book: Book | None = book
        self._shelf = shelf
        self._held = held
        self.looked_at = pots_looked_at(book, held)
        self._kept: _Notes | None = None
        self._store = HeatStore()
        self._broods: dict[int, tuple[BroodRow, str]] | None = None

    @property
    def _notes(self) -> _Notes:
        if self._kept is None:
            on, shelf = self._held.on, self._shelf
            if self._book is None:
                self._kept = _Notes(0, on, shelf)
            else:
                self._kept = _notes_of(self._book, on, shelf)
        return self._kept

    def prepare(self) -> None:
        """Read ahead all that may be asked for, and let go of the book."""
        alive = [pot.brood for pot in self._held.pots]
        alive += [box.brood for box in self._held.boxes]
        for taxon in sorted({self._held.taxon(brood) for brood in alive}):
            self._of(taxon)
        self._book = None

    def learnt(
        self, taxon: str, stages: Sequence[StageHeat], brood_id: int
    ) -> Learnt | None:
        """Return what other broods than this one taught; None where there are none."""
        chapters = self._of(taxon)
        key = (taxon, brood_id if brood_id in chapters else None, tuple(stages))
        if key not in self._notes.learnt:
            own = [
                self._lesson(i, stages, c) for i, c in chapters.items() if i != brood_id
            ]
            told = [one for one in own if one is not None]
            self._notes.learnt[key] = learnt(stages, told) if told else None
        return self._notes.learnt[key]

    def _lesson(
        self, brood_id: int, stages: Sequence[StageHeat], chapters: Iterable[_Chapter]
    ) -> Lesson | None:
        """Put together what the chapters of one brood tell: they are one brood's."""
        key = (brood_id, tuple(stages))
        if key not in self._notes.lessons:
            rng = np.random.default_rng([brood_id, 7])
            read = [
                lesson(
                    stages, c.starts, c.track, c.sighted.seen, rng, store=self._store
                )
                for c in chapters
            ]
            told = [one for one in read if one is not None]
            self._notes.lessons[key] = (
                Lesson(
                    np.sum([one.information for one in told], axis=0),
                    np.sum([one.pull for one in told], axis=0),
                )
                if told
                else None
            )
        return self._notes.lessons[key]

    def _of(self, taxon: str) -> dict[int, tuple[_Chapter, ...]]:
        known = self._notes.chapters
        if taxon not in known:
            if self._book is None:
                return {}
            read = {i: self._read(i) for i in self._finished(self._book, taxon)}
            known[taxon] = {i: own for i, own in read.items() if own}
        return known[taxon]

    def _finished(self, book: Book, taxon: str) -> list[int]:
        if self._broods is None:
            self._broods = _finished_of(self._held) or finished_broods(
                book, self._held.on
            )
        ids = [i for i, (_, name) in self._broods.items() if name == taxon]
        latest = sorted(ids, key=lambda i: (self._broods or {})[i][0].opened_on)
        return latest[-MOST_BROODS:]

    def _read(self, brood_id: int) -> tuple[_Chapter, ...]:
        from rearing.keeping.warmth import Warmth  # which holds this in turn

        if self._book is None:
            return ()
        ever = holding(self._book, self._held.on, brood_id=brood_id, all_ever=True)
        seen = [one for one in _chapters(ever, self._shelf) if one.seen]
        if not seen:
            return ()
        warmth = Warmth(self._book, self._shelf, ever)
        found = []
        for one in seen:
            track = warmth.track(one.stays)
            starts = tuple(
                replace(start, at_s=max(start.at_s, track.start_s))
                for start in one.starts
            )
            found.append(_Chapter(one, starts, track))
        return tuple(found)


def finished_broods(book: Book, on: dt.date) -> dict[int, tuple[BroodRow, str]]:
    """Return the finished broods of a book as on a day, and what they are called."""
    broods = {row.id: row for row in book.all(BroodRow, t.Brood.opened_on <= on)}
    taxa = taxa_of(book, broods, on)
    pots = book.all(
        EggPotRow,
        t.EggPot.opened_on <= on,
        t.EggPot.closed_on.is_(None) | (t.EggPot.closed_on > on),
    )
    boxes = book.all(
        BoxRow,
        t.Box.opened_on <= on,
        t.Box.closed_on.is_(None) | (t.Box.closed_on > on),
    )
    alive = {pot.brood_id for pot in pots}
    alive |= {box.brood_id for box in boxes if not box.kind.is_for_pupae}
    return {
        i: (row, taxa.get(i, row.taxon)) for i, row in broods.items() if i not in alive
    }


def _finished_of(held: Holding) -> dict[int, tuple[BroodRow, str]]:
    """Return them from what is held already, where that is everything that stands."""
    if held.ever_pots or held.ever_boxes or len(held.broods) < 2:
        return {}
    alive = {pot.brood.id for pot in held.pots}
    alive |= {box.brood.id for box in held.boxes if not box.row.kind.is_for_pupae}
    return {
        i: (row, held.taxon(row)) for i, row in held.broods.items() if i not in alive
    }


def _chapters(ever: Holding, shelf: SheetShelf) -> list[Sighted]:
    """Return what was seen of the eggs, larvae and pupae of a finished brood."""
    zone = ever.home.zone
    ways = WaysBack(ever.boxes)
    found: list[Sighted | None] = []
    by_stays = defaultdict(list)
    for pot in ever.pots:
        if pot.stays:
            by_stays[places_of(pot.stays)].append(pot)
    found += [sighted_pots(pots, zone, finished=True) for pots in by_stays.values()]
    groups: dict[tuple[bool, tuple[int, ...]], list[BoxNow]] = defaultdict(list)
    for box in ever.boxes:
        way = ways.of(box)
        ended = _as_it_ended(box, ways)
        if way is not None and ended is not None:
            groups[box.row.kind.is_for_pupae, places_of(way.stays)].append(ended)
    for boxes in groups.values():
        sheet = shelf.sheet_for(ever.taxon(boxes[0].brood))
        found.append(sighted_boxes(boxes, ways, sheet, zone))
    return [one for one in found if one is not None]


def _as_it_ended(box: BoxNow, ways: WaysBack) -> BoxNow | None:
    """Return a box with the number that came to its end in it; None if they went on."""
    if box.emerged or ways.gone_down(box):
        return replace(box, standing=replace(box.standing, number=0))
    look = box.last_look
    if look is None or not look.total or ways.went_on(box):
        return None
    return replace(box, standing=replace(box.standing, number=look.total))


def learnt_words(broods: int) -> str:
    """Say from how many broods was learnt: Learnt from 2 broods of yours."""
    return f"Learnt from {counted(broods, 'brood')} of yours" if broods else ""
