"""Away for some nights: what would fail meanwhile, when, and what would save it.

It is taken that all is fed and cleaned on the evening before. Leaf is reckoned at the
temperatures its place may have: as is likely, and at worst in the hottest of its
futures, since one dry day costs more than a visit too many.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from rearing.keeping.away_days import LONGEST
from rearing.keeping.away_leaf import BoxLeaf, LeafAhead, box_leaf
from rearing.keeping.away_saves import (
    HELPER,
    Save,
    SaveKind,
    box_saves,
    pot_saves,
    waiting_saves,
)
from rearing.keeping.holding import holding, standing_only
from rearing.keeping.moments import counted, day_words, span_words
from rearing.keeping.ready_warmth import ReadyWarmth
from rearing.keeping.round import end_of, place_on
from rearing.keeping.round_lines import EARLY, EVENING
from rearing.keeping.season import Forecaster
from rearing.keeping.trees import open_trees
from rearing.problems import Refusal
from rearing.records.latest import last_visits
from rearing.terms import EggFate, Visit

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from rearing.keeping.holding import PotNow
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

STARVES = dt.timedelta(hours=24)
"""A pot forgotten for a day on the morning of the hatch is lost (common practice)."""

MORNING = dt.time(8)
"""Eggs hatch mostly in the morning (Oehlke, egg care, silkmoths.bizland.com)."""

DAY = dt.timedelta(days=1)
_FEEDING = (Visit.FED, Visit.FED_AND_CLEANED)


class Why(StrEnum):
    """What goes wrong with nobody there."""

    LEAF = "leaf runs out"
    HATCH = "hatch with nobody there"
    UNBOXED = "hatched and in no box yet"
    WANDER = "wander with nowhere to go"
    EMERGE = "may emerge shut in"


@dataclass(frozen=True, slots=True)
class Failing:
    """What fails while the keeper is away: by when at worst, and what saves it."""

    why: Why
    code: str
    taxon: str
    place: str
    number: int
    at_worst: dt.datetime
    is_likely: bool
    words: str
    saves: tuple[Save, ...]


@dataclass(frozen=True, slots=True)
class LeafAsked:
    """A box that a helper has to give leaf to on an evening."""

    box_id: int
    code: str
    taxon: str
    place: str
    host: str | None
    number: int


@dataclass(frozen=True, slots=True)
class Away:
    """What days away would cost."""

    on: dt.date
    first: dt.date
    last: dt.date
    fed_at: dt.datetime
    back_at: dt.datetime
    failing: tuple[Failing, ...]
    lasting: int
    """Boxes whose leaf lasts until the keeper is back."""
    evenings: tuple[tuple[dt.date, tuple[LeafAsked, ...]], ...]
    """Evenings on which a helper has to give leaf, and to which boxes."""

    @property
    def helper(self) -> tuple[tuple[dt.date, int], ...]:
        """Evenings on which a helper has to give leaf, and to how many boxes."""
        return tuple((day, len(boxes)) for day, boxes in self.evenings)

    @property
    def sentence(self) -> str:
        """All of it in a sentence or two."""
        away = span_words(self.first, self.last)
        if not self.failing:
            return f"Away {away}: nothing would fail."
        by = min(one.at_worst for one in self.failing)
        kinds = Counter(one.why for one in self.failing)
        dry = kinds[Why.LEAF]
        parts = [f"the leaf of {counted(dry, 'box', 'boxes')} runs out"] if dry else []
        rest = len(self.failing) - dry
        if rest:
            parts.append(f"{counted(rest, 'other thing')} can't wait")
        return f"Away {away}: {' and '.join(parts)}, the first {by_words(by)}."


def by_words(moment: dt.datetime) -> str:
    """Return by when in the keeper's words: by midday Tue 29 June."""
    day = moment.date()
    if moment.time() <= dt.time(6):
        return f"by the morning of {day_words(day)}"
    if moment.time() <= dt.time(12):
        return f"by midday {day_words(day)}"
    return f"by the evening of {day_words(day)}"


def away(
    book: Book, shelf: SheetShelf, on: dt.date, first: dt.date, last: dt.date
) -> Away:
    """Return what would fail on days without a visit, both ends among them."""
    if last < first:
        raise Refusal("The last day away lies before the first.", field="to")
    if first < on:
        raise Refusal(f"{day_words(first)} is past on {day_words(on)}.", field="from")
    if last - first > LONGEST:
        raise Refusal("That is more than two months; take it in parts.", field="to")
    return _Looked(book, shelf, on, first, last).away()


class _Looked:
    """Looks at all that is held for the days away."""

    def __init__(
        self,
        book: Book,
        shelf: SheetShelf,
        on: dt.date,
        first: dt.date,
        last: dt.date,
    ) -> None:
        self._book, self._shelf = book, shelf
        self._on, self._first, self._last = on, first, last
        self._held = standing_only(holding(book, on, all_ever=True))
        zone = self._held.home.zone
        self._zone = zone
        self._warmth = ReadyWarmth(book, shelf, self._held)
        self._forecaster = Forecaster(self._held, shelf, self._warmth)
        eve = max(first - DAY, on)
        self._fed_at = dt.datetime.combine(eve, EVENING, zone)
        if first == on:
            self._fed_at = dt.datetime.combine(on, MORNING, zone)
        self._back_at = dt.datetime.combine(last + DAY, EVENING, zone)

    def away(self) -> Away:
        """Gather what fails, soonest first."""
        leaf = list(self._boxes())
        dry = [one for one in leaf if one.ends_at_worst(self._fed_at) < self._due()]
        failing = [*map(self._dry, dry), *self._pots(), *self._moving()]
        return Away(
            on=self._on,
            first=self._first,
            last=self._last,
            fed_at=self._fed_at,
            back_at=self._back_at,
            failing=tuple(sorted(failing, key=lambda x: (x.at_worst, x.code))),
            lasting=len(leaf) - len(dry),
            evenings=tuple(self._evenings(dry)),
        )

    def _due(self) -> dt.datetime:
        return self._back_at - EARLY

    def _boxes(self) -> Iterator[BoxLeaf]:
        fed = last_visits(self._book, self._on, _FEEDING)
        ahead = LeafAhead(self._warmth, self._fed_at, self._back_at)
        now = end_of(self._on, self._zone)
        for box in self._held.boxes:
            place = self._held.places.get(place_on(box.stays, now) or 0)
            if box.standing.number <= 0 or place is None:
                continue
            sheet = self._shelf.sheet_for(self._held.taxon(box.brood))
            visit = fed.get(box.row.id)
            host = (visit.host if visit else None) or box.row.host
            found = box_leaf(box, sheet, self._shelf, place, host, ahead)
            if found is not None:
                yield found

    def _dry(self, leaf: BoxLeaf) -> Failing:
        at_worst = leaf.ends_at_worst(self._fed_at)
        return Failing(
            why=Why.LEAF,
            code=leaf.box.code,
            taxon=self._held.taxon(leaf.box.brood),
            place=leaf.place.name,
            number=leaf.box.standing.number,
            at_worst=at_worst,
            is_likely=leaf.ends_likely(self._fed_at) < self._due(),
            words=f"{leaf.words}, {by_words(at_worst)} at worst",
            saves=box_saves(
                leaf,
                self._held,
                self._shelf,
                LeafAhead(self._warmth, self._fed_at, self._back_at),
                trees=self._trees(leaf),
                until=self._due(),
            ),
        )

    def _trees(self, leaf: BoxLeaf) -> list[str]:
        return [
            tree.name
            for tree in open_trees(self._book, self._fed_at.date())
            if leaf.host and leaf.host.casefold() == tree.host.casefold()
        ]

    def _evenings(
        self, dry: Sequence[BoxLeaf]
    ) -> Iterator[tuple[dt.date, tuple[LeafAsked, ...]]]:
        """Walk the evenings away as a round would: who can't wait for the next."""
        given = dict.fromkeys(range(len(dry)), self._fed_at)
        day = self._first
        while day <= self._last:
            now = dt.datetime.combine(day, EVENING, self._zone)
            wanted = [
                i
                for i, leaf in enumerate(dry)
                if leaf.ends_at_worst(given[i]) < now + DAY - EARLY
            ]
            if wanted:
                given |= dict.fromkeys(wanted, now)
                yield day, tuple(self._asked(dry[i]) for i in wanted)
            day += DAY

    def _asked(self, leaf: BoxLeaf) -> LeafAsked:
        return LeafAsked(
            box_id=leaf.box.row.id,
            code=leaf.box.code,
            taxon=self._held.taxon(leaf.box.brood),
            place=leaf.place.name,
            host=leaf.host,
            number=leaf.box.standing.number,
        )

    def _pots(self) -> Iterator[Failing]:
        for pot in self._held.pots:
            if pot.unhoused > 0:
                yield self._unboxed(pot)
            if pot.waiting <= 0:
                continue
            if pot.of(EggFate.HATCHED):
                # Its window lies behind it: the next may come on any day.
                yield self._hatching(pot, pot.waiting, self._first, likely=False)
                continue
            forecast = self._forecaster.pots([pot], until="hatch")
            window = forecast.window("hatch") if forecast else None
            when = self._within(window) if window else None
            if when is not None:
                first, likely = when
                yield self._hatching(pot, pot.waiting, first, likely=likely)

    def _unboxed(self, pot: PotNow) -> Failing:
        begun = dt.datetime.combine(self._first, MORNING, self._zone)
        return Failing(
            why=Why.UNBOXED,
            code=pot.code,
            taxon=self._held.taxon(pot.brood),
            place=self._stands(pot),
            number=pot.unhoused,
            at_worst=begun + STARVES,
            is_likely=True,
            words="Without leaf larvae starve within a day",
            saves=(HELPER, Save(SaveKind.BOX, "a box with leaf before you go")),
        )

    def _stands(self, pot: PotNow) -> str:
        now = end_of(self._on, self._zone)
        place = self._held.places.get(place_on(pot.stays, now) or 0)
        return place.name if place else "no place"

    def _hatching(
        self, pot: PotNow, number: int, day: dt.date, *, likely: bool
    ) -> Failing:
        begun = dt.datetime.combine(day, MORNING, self._zone)
        told = "Eggs hatch about" if likely else "Eggs may hatch from"
        return Failing(
            why=Why.HATCH,
            code=pot.code,
            taxon=self._held.taxon(pot.brood),
            place=self._stands(pot),
            number=number,
            at_worst=begun + STARVES,
            is_likely=likely,
            words=f"{told} {day_words(day)}; without leaf larvae starve within a day",
            saves=pot_saves(
                pot,
                self._held,
                self._shelf,
                self._warmth,
                moved_at=self._fed_at,
                until=self._back_at,
            ),
        )

    def _moving(self) -> Iterator[Failing]:
        """Yield what wanders or flies meanwhile, box group by box group."""
        if not any(box.standing.number > 0 for box in self._held.boxes):
            return
        boxes = replace(self._held, pots=())
        for forecast in Forecaster(boxes, self._shelf, self._warmth).everything():
            for event, why in (("wander", Why.WANDER), ("emerge", Why.EMERGE)):
                window = forecast.window(event)
                when = self._within(window) if window else None
                if window is not None and when is not None:
                    yield self._moved(forecast, window, why, when)

    def _moved(
        self,
        forecast: Forecast,
        window: Window,
        why: Why,
        when: tuple[dt.date, bool],
    ) -> Failing:
        day, likely = when
        boxes, _, place = forecast.group.rpartition(" · ")
        told = _told(window.first, self._on) if window.first else day_words(day)
        return Failing(
            why=why,
            code=f"{forecast.code} {boxes}",
            taxon=forecast.taxon,
            place=place,
            number=window.number,
            at_worst=dt.datetime.combine(day, EVENING, self._zone),
            is_likely=likely,
            words=f"{window.words} {told}",
            saves=waiting_saves(wandering=why is Why.WANDER),
        )

    def _within(self, window: Window) -> tuple[dt.date, bool] | None:
        """Return the first day away on which an event may begin, and if it will."""
        first, last = window.first, window.last
        if first is None:
            return None
        over = last.high.date() if last is not None else dt.date.max
        if first.low.date() > self._last or over < self._first:
            return None
        day = max(first.low.date(), self._first)
        likely = first.middle.date() <= self._last
        return day, likely


def _told(first: Span, on: dt.date) -> str:
    low, high = first.low.date(), first.high.date()
    if first.middle.date() <= on:
        return "any day now"
    return f"from {day_words(first.middle.date())} ({span_words(low, high)})"


def saved_by(failing: Iterable[Failing], kind: SaveKind) -> int:
    """Return how many of those that fail one kind of help would save."""
    return sum(any(x.kind is kind for x in one.saves) for one in failing)
