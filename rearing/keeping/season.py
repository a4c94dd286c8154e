"""The season: windows for everything alive, from the temperatures it really had."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.eggs import LAYING_HOUR
from rearing.keeping.holding import holding, standing_only
from rearing.keeping.lessons import learnt_words
from rearing.keeping.moments import short_day, span_words
from rearing.keeping.need_words import need_words, winter_words
from rearing.keeping.sharpened import (
    DAY_S,
    Asked,
    closed,
    seen_to_reach,
)
from rearing.keeping.sightings import sighted_boxes, sighted_pots
from rearing.keeping.starts import group_starts
from rearing.keeping.together import pots_together, standing_together, unhatched
from rearing.keeping.undisturbed import undisturbed
from rearing.keeping.warmth import Warmth
from rearing.science.stages import StageHeat, Start
from rearing.sheets.belief import beliefs
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.holding import BoxNow, Holding, PotNow
    from rearing.keeping.sightings import Sighted
    from rearing.records.book import Book
    from rearing.records.rows import BroodRow, StayRow
    from rearing.science.stages import EventWindow, Interval, Track
    from rearing.science.to_go import HeatToGo
    from rearing.sheets.belief import Belief
    from rearing.sheets.shelf import SheetShelf

EVENT_WORDS = {
    "hatch": "Hatch",
    **{f"L{i}": f"Into L{i}" for i in range(2, 9)},
    "wander": "Wander",
    "pupate": "Pupate",
    "emerge": "Moths",
}


@dataclass(frozen=True, slots=True)
class Span:
    """An 80 % interval with its middle, in the keeper's own time."""

    low: dt.datetime
    middle: dt.datetime
    high: dt.datetime
    open_end: bool


@dataclass(frozen=True, slots=True)
class Window:
    """When the first, half and the last reach an event; None lies beyond sight."""

    event: str
    words: str
    number: int
    first: Span | None
    half: Span | None
    last: Span | None
    heat_to_go: HeatToGo | None
    beyond: float

    @property
    def heat_to_go_dd(self) -> float | None:
        """The middle of the heat still to go [degree-days]."""
        return None if self.heat_to_go is None else self.heat_to_go.middle_dd


@dataclass(frozen=True, slots=True)
class Overdue:
    """An event that all were expected to have reached by a day, and were not seen to.

    `reached` of `number` had at the last look; both are 0 where nobody looked.
    """

    event: str
    by: dt.date
    reached: int
    number: int

    @property
    def words(self) -> str:
        """As a sentence: Into L3 expected by 25 May; nothing seen."""
        what = EVENT_WORDS[self.event]
        if self.reached:
            seen = f"{self.reached} of {self.number} seen"
        else:
            seen = "nothing seen"
        return f"{what} expected by {short_day(self.by)}; {seen}"


@dataclass(frozen=True, slots=True)
class Forecast:
    """The windows of one pot, or of the boxes of a brood that stand together."""

    brood_id: int
    code: str
    taxon: str
    group: str
    number: int
    windows: tuple[Window, ...]
    temperatures: str
    beginning: str
    need_of_heat: str
    winter: str
    sharpened_by: str = ""
    learnt_from: int = 0
    """Finished broods of the species in this book that taught its pace."""
    futures: str = ""
    """What the temperatures to come rest on: a word of `science.futures.Kind`."""
    overdue: tuple[Overdue, ...] = ()
    """Events whose window closed before this day, and that were not seen."""

    def window(self, event: str) -> Window | None:
        """Return the window of an event, if it is still to come."""
        return next((w for w in self.windows if w.event == event), None)

    @property
    def assumption(self) -> str:
        """All that the windows assume, in sentences."""
        parts = (
            *(one.words for one in self.overdue),
            self.beginning,
            self.sharpened_by,
            self.temperatures,
            self.need_of_heat,
            learnt_words(self.learnt_from),
            self.winter,
        )
        return " ".join(f"{part.rstrip('.')}." for part in parts if part)


@dataclass(frozen=True, slots=True)
class Group:
    """A pot, or boxes that stand together: whose, where, and in words."""

    brood: BroodRow
    stays: Sequence[StayRow]
    name: str
    beginning: str
    sighted: Sighted | None = None
    unhatched_s: float | None = None


@undisturbed()
def season(
    book: Book, shelf: SheetShelf, on: dt.date, *, brood_id: int | None = None
) -> tuple[Forecast, ...]:
    """Return the windows of everything alive on a day, by brood and place."""
    held = standing_only(holding(book, on, brood_id=brood_id, all_ever=True))
    return Forecaster(held, shelf, Warmth(book, shelf, held)).everything()


class Forecaster:
    """Works out the windows of what is held, with temperatures already at hand."""

    def __init__(self, held: Holding, shelf: SheetShelf, warmth: Warmth) -> None:
        self._held = held
        self._shelf = shelf
        self._warmth = warmth
        self._believed: dict[str, tuple[Belief, ...]] = {}
        self._heats: dict[str, tuple[StageHeat, ...]] = {}
        self._store = warmth.heats
        self._ways = warmth.ways.of_part(held)

    def everything(self) -> tuple[Forecast, ...]:
        """Return the windows of every pot, and of boxes that stand together."""
        together = standing_together(self._held, self._warmth)
        return _by_name(
            [
                *(self.pots(pots) for pots in pots_together(self._held, self._warmth)),
                *(self.boxes(boxes) for boxes in together),
            ]
        )

    def of_eaters(self) -> tuple[Forecast, ...]:
        """Return the windows of all that will eat, up to wandering.

        They are the same as of everything, in half the time: what pupae do in the
        months to come asks for no leaf.
        """
        together = standing_together(self._held, self._warmth)
        larvae = [boxes for boxes in together if not boxes[0].row.kind.is_for_pupae]
        pots = pots_together(self._held, self._warmth)
        return _by_name(
            [
                *(self.pots(group, until="wander") for group in pots),
                *(self.boxes(boxes, until="wander") for boxes in larvae),
            ]
        )

    def pots(
        self, pots: Sequence[PotNow], *, until: str | None = None
    ) -> Forecast | None:
        """Return the windows of the eggs waiting in pots that stand together.

        With `until` (an event) nothing is worked out beyond it.
        """
        waiting = [pot for pot in pots if pot.waiting > 0 and pot.stays]
        if not waiting:
            return None
        zone = self._held.home.zone
        oldest = min(waiting, key=lambda pot: pot.stays[0].from_at)
        track = self._warmth.track_ahead(oldest.stays)
        name = self._named([f"pot {pot.row.label}" for pot in waiting], oldest.stays)
        hatching = sighted_pots(waiting, zone)
        if hatching is not None:
            told = hatching.beginning
            group = Group(oldest.brood, oldest.stays, name, told, hatching)
            return self._forecast(group, track, hatching.starts, until=until)
        layings = [laying for pot in waiting for laying in unhatched(pot)]
        starts = [
            Start(_at(evening, zone), Stage.EGG, number) for evening, number in layings
        ]
        nights = [evening for evening, _ in layings]
        number = sum(number for _, number in layings)
        told = f"{number} eggs laid {span_words(min(nights), max(nights))}"
        looks = [self._warmth.lessons.looked_at.get(pot.row.id) for pot in waiting]
        seen = [look for look in looks if look is not None]
        unhatched_s = min(seen) if len(seen) == len(looks) else None
        group = Group(oldest.brood, oldest.stays, name, told, unhatched_s=unhatched_s)
        return self._forecast(group, track, starts, until=until)

    def boxes(
        self, boxes: Sequence[BoxNow], *, until: str | None = None
    ) -> Forecast | None:
        """Return the windows of boxes of one brood that stand at one place.

        With `until` (an event) nothing is worked out beyond it.
        """
        main = max(boxes, key=lambda box: box.standing.number)
        sheet = self._shelf.sheet_for(self._held.taxon(main.brood))
        zone = self._held.home.zone
        sighted = sighted_boxes(boxes, self._ways, sheet, zone)
        stays = main.stays if sighted is None else sighted.stays
        track = self._warmth.track_ahead(stays)
        starts, told = group_starts(boxes, sheet, self._held, track.start_s)
        if not starts:
            return None
        if sighted is not None and sighted.is_told_to_the_end:
            starts, told = list(sighted.starts), sighted.beginning
        name = self._named([box.row.label for box in boxes], main.stays)
        group = Group(main.brood, main.stays, name, told, sighted)
        return self._forecast(group, track, starts, until=until)

    def _named(self, labels: Sequence[str], stays: Sequence[StayRow]) -> str:
        begun = [s for s in stays if s.from_at.timestamp() < self._warmth.now_s]
        place = self._held.places[(begun or list(stays))[-1].place_id]
        return f"{', '.join(labels)} · {place.name}"

    def _forecast(
        self,
        group: Group,
        track: Track,
        starts: Sequence[Start],
        *,
        until: str | None = None,
    ) -> Forecast:
        taxon = self._held.taxon(group.brood)
        believed = self._beliefs(taxon)
        now_s = self._warmth.now_s
        heats = self._heats[taxon]
        begun = [
            replace(start, at_s=max(start.at_s, track.start_s)) for start in starts
        ]
        taught = self._warmth.lessons.learnt(taxon, heats, group.brood.id)
        species = None if taught is None else taught.unknowns
        asked = Asked(heats, begun, track, now_s, until, species, group.unhatched_s)
        found = self._warmth.foretold.windows(
            asked, group.sighted, (group.brood.id, group.stays[0].id), self._store
        )
        zone = self._held.home.zone
        shown = tuple(_window(w, zone) for w in found if not _is_past(w, now_s))
        return Forecast(
            brood_id=group.brood.id,
            code=group.brood.code,
            taxon=taxon,
            group=group.name,
            number=_number(group, starts),
            windows=shown,
            temperatures=self._warmth.words(group.stays),
            beginning=group.beginning,
            need_of_heat=need_words(believed, shown),
            winter=winter_words(believed, shown),
            sharpened_by=group.sighted.words if group.sighted else "",
            learnt_from=0 if taught is None else taught.broods,
            futures=self._warmth.futures_kind(group.stays),
            overdue=_overdue(found, asked, group.sighted, zone),
        )

    def _beliefs(self, taxon: str) -> tuple[Belief, ...]:
        if taxon not in self._believed:
            sheet = self._shelf.sheet_for(taxon)
            told = self._believed[taxon] = beliefs(sheet, self._shelf)
            self._heats[taxon] = tuple(map(_heat, told))
        return self._believed[taxon]


def _by_name(found: Sequence[Forecast | None]) -> tuple[Forecast, ...]:
    told = [one for one in found if one is not None]
    return tuple(sorted(told, key=lambda one: (one.code, one.group)))


def _number(group: Group, starts: Sequence[Start]) -> int:
    sighted = group.sighted
    if sighted is not None and sighted.is_told_to_the_end:
        return sighted.number
    return sum(start.number for start in starts)


def _heat(belief: Belief) -> StageHeat:
    return StageHeat(
        stage=belief.stage,
        t0_c=belief.t0_c,
        t0_sd_c=belief.t0_sd_c,
        ln_k=belief.ln_k,
        ln_k_per_c=belief.ln_k_per_c,
        ln_k_sd=belief.ln_k_sd,
        upper_c=belief.upper_c,
        chill_hours=belief.chill_hours,
        group=belief.group,
        own_sd=belief.own_sd,
    )


def _is_past(window: EventWindow, now_s: float) -> bool:
    # Eggs that are overdue stay in sight: that their window closed is the news.
    return window.event != "hatch" and closed(window, now_s - DAY_S)


def _overdue(
    found: Sequence[EventWindow], asked: Asked, sighted: Sighted | None, zone: dt.tzinfo
) -> tuple[Overdue, ...]:
    """Return the events whose window closed before this day unseen.

    A window is held to the last look at all of the animals: whoever had not reached
    the event then reaches it later. So only what was not looked at since can be told
    here, and what was seen by then to be reached by all is left out.
    """
    told = []
    for window in found:
        if window.last is None or not closed(window, asked.day_s):
            continue
        seen = sighted.seen if sighted is not None else ()
        reached, of = seen_to_reach(window.event, asked.stages, seen)
        if of and reached >= of:
            continue
        by = dt.datetime.fromtimestamp(window.last.high_s, zone).date()
        told.append(Overdue(window.event, by, reached, of))
    return tuple(told)


def _window(window: EventWindow, zone: dt.tzinfo) -> Window:
    return Window(
        event=window.event,
        words=EVENT_WORDS[window.event],
        number=window.number,
        first=_span(window.first, zone),
        half=_span(window.half, zone),
        last=_span(window.last, zone),
        heat_to_go=window.heat_to_go,
        beyond=window.beyond,
    )


def _span(interval: Interval | None, zone: dt.tzinfo) -> Span | None:
    if interval is None:
        return None
    low, middle, high = (
        dt.datetime.fromtimestamp(at_s, zone).replace(microsecond=0)
        for at_s in (interval.low_s, interval.middle_s, interval.high_s)
    )
    return Span(low, middle, high, interval.open_end)


def _at(evening: dt.date, zone: dt.tzinfo) -> float:
    return dt.datetime.combine(evening, LAYING_HOUR, zone).timestamp()
