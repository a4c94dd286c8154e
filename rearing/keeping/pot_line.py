"""What one egg pot asks for: a look for hatching, larvae to be put on leaf."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.keeping.moments import counted, day_words, short_day, span_words
from rearing.keeping.round_lines import RoundLine, Task
from rearing.terms import EggFate

if TYPE_CHECKING:
    from rearing.keeping.holding import Holding, PotNow
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.records.rows import BoxVisitRow
    from rearing.sheets.sheet import SpeciesSheet

AHEAD = dt.timedelta(days=1)
"""A pot is looked at from the day before its window opens."""

STRAGGLERS = dt.timedelta(days=7)
"""Eggs of one night that have not followed the others by then will not (memory)."""


def pot_line(
    pot: PotNow,
    taxon: str,
    sheet: SpeciesSheet,
    forecast: Forecast | None,
    held: Holding,
    looked: BoxVisitRow | None = None,
) -> RoundLine:
    """Return the line of one pot; `looked` is today's look at it, if there was one."""
    window = forecast.window("hatch") if forecast else None
    task, reason = _task(pot, window, held)
    return RoundLine(
        kind="pot",
        id=pot.row.id,
        code=pot.code,
        brood_id=pot.brood.id,
        taxon=taxon,
        short=sheet.short,
        task=task,
        done=_done(pot, task, looked, held),
        reason=reason,
        number=pot.unhoused if task is Task.PUT_ON_LEAF else pot.waiting,
        known="hatched" if task is Task.PUT_ON_LEAF else "eggs waiting",
        by_book=bool(pot.outcomes),
        until=None,
        quarantine=False,
        # a look does not hatch what is overdue
        was_done=task is not Task.EGGS_OVERDUE or looked is None,
    )


def _done(
    pot: PotNow, task: Task, looked: BoxVisitRow | None, held: Holding
) -> str | None:
    if task is Task.PUT_ON_LEAF:
        return None
    zone = held.home.zone
    today = [x for x in pot.outcomes if x.on == held.on]
    if today:
        return "; ".join(f"{x.number} {x.fate}" for x in today)
    if looked is None:
        return None
    clock = f" {looked.at.astimezone(zone):%H:%M}" if looked.at else ""
    return f"Looked{clock}, nothing new"


def _task(pot: PotNow, window: Window | None, held: Holding) -> tuple[Task, str]:
    if pot.unhoused > 0:
        told = f"{counted(pot.unhoused, 'larva', 'larvae')} hatched, not on leaf yet"
        return Task.PUT_ON_LEAF, told
    if pot.of(EggFate.HATCHED):
        return _hatching(pot, held.on)
    if window is None or window.first is None:
        return Task.NOTHING, _laid(pot)
    return _awaited(pot, window.first, window, held.on)


def _hatching(pot: PotNow, on: dt.date) -> tuple[Task, str]:
    last = max(x.on for x in pot.outcomes if x.fate is EggFate.HATCHED)
    if on - last > STRAGGLERS:
        told = f"None hatched since {short_day(last)}: say what became of the rest"
        return Task.EGGS_OVERDUE, told
    return Task.LOOK_FOR_HATCHING, f"Hatching; the last seen {short_day(last)}"


def _awaited(pot: PotNow, first: Span, window: Window, on: dt.date) -> tuple[Task, str]:
    closed = window.last.high.date() if window.last is not None else dt.date.max
    if on > closed:
        ago = counted((on - closed).days, "day")
        told = f"{_laid(pot)}. The window closed {short_day(closed)}, {ago} ago"
        return Task.EGGS_OVERDUE, told
    told = f"{_laid(pot)}. First {hatch_words(first, window.half)}"
    near = on + AHEAD >= first.low.date()
    return (Task.LOOK_FOR_HATCHING if near else Task.NOTHING), told


def hatch_words(first: Span, half: Span | None) -> str:
    """Return when eggs hatch: Thu 17 June (16 to 19 June), half by 18 June."""
    told = (
        f"{day_words(first.middle.date())} "
        f"({span_words(first.low.date(), first.high.date())})"
    )
    if half is not None:
        told += f", half by {short_day(half.middle.date())}"
    return told


def _laid(pot: PotNow) -> str:
    evenings = [laying.evening for laying in pot.layings if laying.number]
    if not evenings:
        return "No eggs"
    return f"Laid {span_words(min(evenings), max(evenings))}"
