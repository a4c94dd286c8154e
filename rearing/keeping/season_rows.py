"""The season as it is drawn: a ribbon a brood, leaf by week, nights both sexes fly."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.leaf_need import LeafWeek, leaf_weeks
from rearing.keeping.moments import counted, short_day
from rearing.keeping.outlook import (
    NOTHING,
    Asked,
    Emerging,
    Nights,
    Outlook,
    outlook,
)
from rearing.keeping.reach import Supply, supplies
from rearing.keeping.ribbons import Lives, Piece, middle_day, pieces
from rearing.keeping.season import Forecaster
from rearing.keeping.season_facts import season_facts
from rearing.terms import Sex, Stage

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from rearing.keeping.holding import Holding, Look
    from rearing.keeping.season import Forecast
    from rearing.keeping.season_facts import BroodFacts, Flown, SeasonFacts
    from rearing.records.book import Book
    from rearing.records.rows import StayRow
    from rearing.sheets.shelf import SheetShelf


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
    groups: tuple[Forecast, ...]
    hosts: tuple[str, ...]
    outlook: Outlook = NOTHING

    @property
    def leading(self) -> Forecast | None:
        """The group of most animals, after which the ribbon is drawn."""
        return max(self.groups, key=lambda group: group.number, default=None)

    @property
    def emerging(self) -> tuple[Emerging, ...]:
        """Moths expected by night."""
        return self.outlook.emerging

    @property
    def together(self) -> tuple[Nights, ...]:
        """Nights on which both sexes are likely there."""
        return self.outlook.together


@dataclass(frozen=True, slots=True)
class SeasonView:
    """Everything the page of the season shows, as on a day."""

    on: dt.date
    since: dt.date
    ribbons: tuple[Ribbon, ...]
    weeks: tuple[LeafWeek, ...]
    is_forecast: bool
    """False while only what was seen is shown and the windows are worked out."""
    supplies: tuple[Supply, ...] = ()
    """What there is of the leaf that will be needed, by host."""

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
    facts: SeasonFacts,
    shelf: SheetShelf,
    stop: Callable[[], bool] = _never,
    *,
    only: int | None = None,
) -> SeasonView:
    """Work out the windows and the leaf as well; needs no book.

    `stop` is asked between one brood and the next; what is told after a yes is not
    whole. `only` names the one brood whose windows are asked for.
    """
    by_brood: dict[int, tuple[Forecast, ...]] = {}
    for brood_id in _alive(facts.held):
        if only not in {None, brood_id}:
            continue
        if stop():
            break
        held = _alone(facts.held, brood_id)
        forecaster = Forecaster(held, shelf, facts.warmth)
        by_brood[brood_id] = forecaster.everything()
    told = [forecast for own in by_brood.values() for forecast in own]
    weeks = leaf_weeks(facts, shelf, told)
    told_of = _view(facts, shelf, by_brood, weeks)
    have = supplies(facts.reach, weeks, facts.on)
    return replace(told_of, supplies=have, is_forecast=True)


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
        groups=own,
        hosts=tuple(sorted(brood.hosts)),
        outlook=_outlook(facts, shelf, brood, own),
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
    return (f"{counted(flown, 'moth')} emerged" if flown else "finished"), "", 0


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


def _outlook(
    facts: SeasonFacts, shelf: SheetShelf, brood: BroodFacts, groups: Sequence[Forecast]
) -> Outlook:
    """Reckon what its windows come to, over all of its groups."""
    days = int((facts.warmth.end_s - facts.warmth.now_s) / 86_400)
    hosts = sorted(brood.hosts, key=lambda host: -brood.hosts[host])
    asked = Asked(
        sheet=brood.sheet,
        groups=groups,
        hosts=hosts,
        went_down=middle_day(brood.down) if brood.down else None,
        on=facts.on,
    )
    end = facts.on + dt.timedelta(days=days)
    return outlook(asked, facts.reach, shelf.defaults, end=end)


def flown_words(ribbon: Ribbon) -> str:
    """Return the moths that emerged, by sex: 27 emerged: 14 ♂, 13 ♀."""
    by_sex = {sex: sum(m.number for m in ribbon.flown if m.sex is sex) for sex in Sex}
    total = sum(by_sex.values())
    sexed = [f"{n} {sex.sign}" for sex, n in by_sex.items() if n and sex.sign != "○"]
    more = by_sex[Sex.NOT_LOOKED]
    if more:
        sexed.append(f"{more} not sexed")
    return f"{total} emerged: {', '.join(sexed)}" if total else ""
