"""The season as it is drawn: a ribbon a brood, leaf by week, nights both sexes fly."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.leaf_need import LeafWeek, leaf_weeks, window_leaving
from rearing.keeping.moments import counted, short_day
from rearing.keeping.ribbons import Lives, Piece, pieces
from rearing.keeping.season import Forecaster
from rearing.keeping.season_facts import season_facts
from rearing.science.flight import both_sexes, stretches
from rearing.science.stage_days import even_levels, passings
from rearing.terms import Sex, Stage

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from rearing.keeping.holding import Holding, Look
    from rearing.keeping.season import Forecast
    from rearing.keeping.season_facts import BroodFacts, Flown, SeasonFacts
    from rearing.records.book import Book
    from rearing.records.rows import StayRow
    from rearing.sheets.shelf import SheetShelf

LIKELY = 0.5
"""From this chance on a night counts as one on which both sexes fly."""

_DRAWS = 60


@dataclass(frozen=True, slots=True)
class Nights:
    """Nights, by their evenings, on which both sexes are likely fit to pair."""

    first: dt.date
    last: dt.date


@dataclass(frozen=True, slots=True)
class Emerging:
    """Moths expected to emerge in a night."""

    on: dt.date
    number: float


@dataclass(frozen=True, slots=True)
class Ribbon:
    """One brood: what was seen of it, and what is expected."""

    brood_id: int
    code: str
    taxon: str
    short: str
    number: int
    state: str
    known: str
    is_open: bool
    pieces: tuple[Piece, ...]
    flown: tuple[Flown, ...]
    emerging: tuple[Emerging, ...]
    together: tuple[Nights, ...]
    groups: tuple[Forecast, ...]
    hosts: tuple[str, ...]

    @property
    def leading(self) -> Forecast | None:
        """The group of most animals, after which the ribbon is drawn."""
        return max(self.groups, key=lambda group: group.number, default=None)


@dataclass(frozen=True, slots=True)
class SeasonView:
    """Everything the page of the season shows, as on a day."""

    on: dt.date
    since: dt.date
    ribbons: tuple[Ribbon, ...]
    weeks: tuple[LeafWeek, ...]
    is_forecast: bool
    """False while only what was seen is shown and the windows are worked out."""

    def ribbon(self, brood_id: int) -> Ribbon | None:
        """Return the ribbon of a brood."""
        return next((one for one in self.ribbons if one.brood_id == brood_id), None)


def season_rows(
    book: Book, shelf: SheetShelf, on: dt.date, *, since: dt.date | None = None
) -> SeasonView:
    """Return the season of a year as on a day; `since` is the year's first day."""
    return season_view(season_facts(book, shelf, on, since=since), shelf)


def seen_view(facts: SeasonFacts, shelf: SheetShelf) -> SeasonView:
    """Return what was seen alone, which is quick."""
    return _view(facts, shelf, {}, ())


def _never() -> bool:
    return False


def season_view(
    facts: SeasonFacts, shelf: SheetShelf, stop: Callable[[], bool] = _never
) -> SeasonView:
    """Work out the windows and the leaf as well; needs no book.

    `stop` is asked between one brood and the next; what is told after a yes is not
    whole.
    """
    by_brood: dict[int, tuple[Forecast, ...]] = {}
    for brood_id in _alive(facts.held):
        if stop():
            break
        held = _alone(facts.held, brood_id)
        forecaster = Forecaster(held, shelf, facts.warmth)
        by_brood[brood_id] = forecaster.everything()
    told = [forecast for own in by_brood.values() for forecast in own]
    weeks = leaf_weeks(facts, shelf, told)
    return replace(_view(facts, shelf, by_brood, weeks), is_forecast=True)


def _alive(held: Holding) -> tuple[int, ...]:
    """Return the broods that have a pot or a box, each once."""
    ids = [pot.brood.id for pot in held.pots]
    ids += [box.brood.id for box in held.boxes]
    return tuple(dict.fromkeys(ids))


def _alone(held: Holding, brood_id: int) -> Holding:
    """Return what is held of one brood."""
    return replace(
        held,
        pots=tuple(pot for pot in held.pots if pot.brood.id == brood_id),
        boxes=tuple(box for box in held.boxes if box.brood.id == brood_id),
    )


def suppose(
    facts: SeasonFacts,
    shelf: SheetShelf,
    brood_id: int,
    *,
    place_id: int,
    at: dt.datetime,
) -> Ribbon | None:
    """Return a brood's ribbon as if all of it were carried to a place at a moment."""
    brood = next((one for one in facts.broods if one.row.id == brood_id), None)
    if brood is None:
        return None
    here = _alone(facts.held, brood_id)
    held = replace(
        here,
        pots=tuple(
            replace(pot, stays=_carried(pot.stays, place_id, at)) for pot in here.pots
        ),
        boxes=tuple(
            replace(box, stays=_carried(box.stays, place_id, at)) for box in here.boxes
        ),
    )
    forecaster = Forecaster(held, shelf, facts.warmth.supposing())
    return _ribbon(facts, shelf, Lives(shelf), brood, forecaster.everything())


def _carried(
    stays: Sequence[StayRow], place_id: int, at: dt.datetime
) -> tuple[StayRow, ...]:
    """Cut the stay that holds at a moment, and let one at the place follow."""
    before = [stay for stay in stays if stay.from_at <= at]
    if not before or before[-1].place_id == place_id:
        return tuple(stays)
    *earlier, last = before
    after = replace(last, id=-1, place_id=place_id, from_at=at, to_at=None)
    return (*earlier, replace(last, to_at=at), after)


def _view(
    facts: SeasonFacts,
    shelf: SheetShelf,
    by_brood: Mapping[int, Sequence[Forecast]],
    weeks: tuple[LeafWeek, ...],
) -> SeasonView:
    lives = Lives(shelf)
    ribbons = [
        _ribbon(facts, shelf, lives, brood, by_brood.get(brood.row.id, ()))
        for brood in facts.broods
    ]
    ribbons.sort(key=lambda one: (_begins(one), one.code))
    return SeasonView(facts.on, facts.since, tuple(ribbons), weeks, is_forecast=False)


def _begins(ribbon: Ribbon) -> float:
    return ribbon.pieces[0].begin if ribbon.pieces else 0.0


def _ribbon(
    facts: SeasonFacts,
    shelf: SheetShelf,
    lives: Lives,
    brood: BroodFacts,
    groups: Iterable[Forecast],
) -> Ribbon:
    own = tuple(groups)
    leading = max(own, key=lambda group: group.number, default=None)
    state, known, number = _state(brood)
    emerging, together = _flight(facts, shelf, own)
    return Ribbon(
        brood_id=brood.row.id,
        code=brood.row.code,
        taxon=brood.taxon,
        short=brood.sheet.short,
        number=number,
        state=state,
        known=known,
        is_open=brood.is_open,
        pieces=pieces(brood, lives.of(brood.sheet), leading, facts.on),
        flown=brood.flown,
        emerging=emerging,
        together=together,
        groups=own,
        hosts=tuple(sorted(brood.hosts)),
    )


def _state(brood: BroodFacts) -> tuple[str, str, int]:
    """Say how far it is, how its number is known, and the number."""
    animals = brood.in_boxes + brood.unhoused
    standing = [box for box in brood.open_boxes if box.standing.number]
    looks = [box.last_look for box in standing if box.last_look is not None]
    counts = [box.standing.last_count for box in standing if box.standing.is_counted]
    known = "by the book"
    if standing and not brood.unhoused and len(counts) == len(standing):
        latest = max(count.on for count in counts if count is not None)
        known = f"counted {short_day(latest)}"
    if animals:
        what = _what(brood, looks)
        eggs = f", {counted(brood.waiting, 'egg')}" if brood.waiting else ""
        return f"{what}{eggs}", known, animals
    if brood.waiting:
        return "", "", brood.waiting
    flown = sum(moths.number for moths in brood.flown)
    return (f"{counted(flown, 'moth')} flew" if flown else "finished"), "", 0


def _what(brood: BroodFacts, looks: Sequence[Look]) -> str:
    seen = {stage for look in looks for stage, n in look.numbers.items() if n}
    ordered = [stage for stage in Stage if stage in seen]
    if ordered == [Stage.PUPA]:
        return "pupae"
    if brood.is_all_down:
        return "gone down"
    if not ordered:
        return "larvae"
    first, last = str(ordered[0]), str(ordered[-1])
    return first if first == last else f"{first} to {last}"


def _flight(
    facts: SeasonFacts, shelf: SheetShelf, groups: Sequence[Forecast]
) -> tuple[tuple[Emerging, ...], tuple[Nights, ...]]:
    """Moths expected by night over all groups, and when both sexes fly."""
    figures = shelf.defaults.figures
    tomorrow = facts.on.toordinal() + 1
    begins = tomorrow + np.arange(
        0.0, (facts.warmth.end_s - facts.warmth.now_s) / 86400
    )
    number = np.zeros(len(begins))
    apart = np.ones(len(begins))
    for group in groups:
        window = group.window("emerge")
        if window is None or window.half is None:
            continue
        levels = even_levels(_DRAWS, np.random.default_rng(group.brood_id))
        passing = passings([window_leaving(window, Stage.PUPA)], levels)[0]
        share = passing.share_by(np.append(begins, begins[-1] + 1.0)).mean(axis=0)
        number += window.number * np.diff(share)
        apart *= 1 - both_sexes(
            passing,
            begins + 1.0,
            pupae=window.number,
            female_nights=figures.female_pairing_nights.high,
            male_nights=figures.male_pairing_nights.high,
        )
    evenings = [dt.date.fromordinal(int(day)) for day in begins]
    emerging = tuple(
        Emerging(on, float(n))
        for on, n in zip(evenings, number, strict=True)
        if n > 0.05
    )
    runs = stretches(1 - apart >= LIKELY)
    return emerging, tuple(Nights(evenings[a], evenings[b]) for a, b in runs)


def flown_words(ribbon: Ribbon) -> str:
    """Return the moths that flew, by sex: 27 flew: 14 ♂, 13 ♀."""
    by_sex = {sex: sum(m.number for m in ribbon.flown if m.sex is sex) for sex in Sex}
    total = sum(by_sex.values())
    sexed = [f"{n} {sex.sign}" for sex, n in by_sex.items() if n and sex.sign != "○"]
    more = by_sex[Sex.NOT_LOOKED]
    if more:
        sexed.append(f"{more} not sexed")
    return f"{total} flew: {', '.join(sexed)}" if total else ""
