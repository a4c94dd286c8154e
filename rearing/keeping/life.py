"""A brood's numbers: losses by stage and cause, survivorship, life table."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from math import log10
from typing import TYPE_CHECKING

from rearing.keeping.fates import UNACCOUNTED, End, fates
from rearing.records import tables as t
from rearing.records.rows import BroodRow
from rearing.science.life_table import LifeRow, Spell, life_table
from rearing.science.proportions import Proportion, wilson
from rearing.science.survival import Change, Compared, kaplan_meier, log_rank
from rearing.terms import EggFate, ExitKind, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.keeping.fates import Fates
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Loss:
    """How many were lost to one cause at one stage."""

    why: str
    stage: Stage
    number: int


@dataclass(frozen=True, slots=True)
class LifeDay:
    """A day on which animals died or went missing.

    `l` is the share of all that came still alive after it (Kaplan–Meier with log-log
    limits), `q` the share of those at risk that day (with Wilson's).
    """

    on: dt.date
    day: int
    n: int
    d: int
    left: int
    l: float  # noqa: E741 - the demographer's own sign
    l_low: float
    l_high: float
    q: Proportion
    k: float | None


@dataclass(frozen=True, slots=True)
class Life:
    """The numbers of one brood as on a day."""

    fates: Fates
    losses: tuple[Loss, ...]
    stages: tuple[LifeRow, ...]
    days: tuple[LifeDay, ...]
    came: int
    moths: int
    first_on: dt.date | None
    hatch: Proportion | None
    survived: Proportion | None
    """Of all larvae that came and did not leave as such: alive now, or flown."""
    survived_if_found: float | None
    """The same, were the unaccounted alive."""

    @property
    def living(self) -> int:
        """Alive now, or flown."""
        return self.fates.all_alive + self.moths

    @property
    def unaccounted(self) -> int:
        """What no record explains."""
        return self.fates.number(End.UNACCOUNTED)


def life_of(book: Book, brood: BroodRow, on: dt.date) -> Life:
    """Return a brood's numbers as on a day; the unaccounted are taken as lost.

    By day, a later hatched larva is at risk from its own day on; who leaves alive
    counts until then.
    """
    found = fates(book, brood, on)
    came = sum(one.number for one in found.came)
    moths = _flown(found)
    living = found.all_alive + moths
    gone = found.number(End.LOST) + found.number(End.UNACCOUNTED)
    decided = found.eggs - found.waiting
    first = min((one.on for one in found.came), default=None)
    missing = found.number(End.UNACCOUNTED)
    return Life(
        fates=found,
        losses=_losses(found),
        stages=life_table(_spells(found)),
        days=_days(found),
        came=came,
        moths=moths,
        first_on=first,
        hatch=wilson(found.hatched, decided) if decided > 0 else None,
        survived=wilson(living, living + gone) if living + gone else None,
        survived_if_found=(living + missing) / (living + gone)
        if living + gone
        else None,
    )


def compared(one: Life, other: Life) -> Compared | None:
    """Compare the losses of two broods by the days since each began to hatch."""
    return log_rank(changes_of(one.fates), changes_of(other.fates))


def losses_of_species(
    book: Book, taxon: str, on: dt.date
) -> tuple[tuple[int, Loss], ...]:
    """Return what was lost of a species in all broods, by year, cause and stage."""
    summed: Counter[tuple[int, str, Stage]] = Counter()
    for brood in book.all(BroodRow, t.Brood.opened_on <= on):
        found = fates(book, brood, on)
        if found.taxon.casefold() != taxon.casefold():
            continue
        for one in found.ended:
            if one.end is not End.LEFT:
                summed[one.on.year, one.why, one.stage] += one.number
        year = brood.opened_on.year
        for fate, number in _egg_losses(found).items():
            summed[year, fate, Stage.EGG] += number
    order = list(Stage)
    rows = ((year, Loss(why, stage, n)) for (year, why, stage), n in summed.items())
    return tuple(
        sorted(rows, key=lambda x: (-x[0], order.index(x[1].stage), -x[1].number))
    )


def _flown(found: Fates) -> int:
    return sum(one.number for one in found.ended if one.why == ExitKind.EMERGED)


def _egg_losses(found: Fates) -> dict[str, int]:
    kept = {EggFate.HATCHED, EggFate.GIVEN}
    return {f.value: n for f, n in found.egg_fates.items() if f not in kept and n}


def _losses(found: Fates) -> tuple[Loss, ...]:
    """Return every cause by stage: eggs first, the unaccounted last."""
    summed: Counter[tuple[str, Stage]] = Counter()
    for one in found.ended:
        if one.end is not End.LEFT:
            summed[one.why, one.stage] += one.number
    for fate, number in _egg_losses(found).items():
        summed[fate, Stage.EGG] += number
    order = list(Stage)
    rows = [Loss(why, stage, number) for (why, stage), number in summed.items()]
    return tuple(
        sorted(
            rows,
            key=lambda x: (x.why == UNACCOUNTED, order.index(x.stage), -x.number),
        )
    )


def _spells(found: Fates) -> list[Spell]:
    """Return what came to each stage, was lost in it, and left or stands in it."""
    came, died, left = Counter[Stage](), Counter[Stage](), Counter[Stage](found.alive)
    came[Stage.EGG] = found.eggs
    died[Stage.EGG] = sum(_egg_losses(found).values())
    left[Stage.EGG] += found.waiting + found.egg_fates.get(EggFate.GIVEN, 0)
    for arrival in found.came:
        if not (arrival.hatched and found.eggs):
            came[arrival.stage] += arrival.number
    for one in found.ended:
        if one.end is not End.LEFT:
            died[one.stage] += one.number
        elif one.why != ExitKind.EMERGED:
            left[one.stage] += one.number
    return _in_order(came, died, left)


def _in_order(
    came: Counter[Stage], died: Counter[Stage], left: Counter[Stage]
) -> list[Spell]:
    spells = []
    n = owed_died = owed_left = 0
    for stage in Stage:
        if stage is Stage.ADULT:
            break
        n += came[stage]
        # Entered at a stage to which none had come yet: they count where some have.
        lost = min(died[stage] + owed_died, n)
        away = min(left[stage] + owed_left, n - lost)
        owed_died += died[stage] - lost
        owed_left += left[stage] - away
        if n and (stage in _LASTING or lost or away or came[stage] or died[stage]):
            spells.append(Spell(stage.value, n, lost, away))
        n -= lost + away
    return _trimmed(spells)


_LASTING = frozenset(Stage) - {Stage.L6, Stage.L7, Stage.L8}
"""Stages that every brood goes through; further instars only where they were seen."""


def _trimmed(spells: Sequence[Spell]) -> list[Spell]:
    """Drop the stages at the end that nobody has come to yet."""
    return [spell for spell in spells if spell.n]


def changes_of(found: Fates) -> list[Change]:
    """Return comings, deaths and leavings by the day since the first came.

    What was entered for a day before the animal came is taken when it had come.
    """
    by_day: dict[dt.date, list[int]] = defaultdict(lambda: [0, 0, 0])
    for arrival in found.came:
        by_day[arrival.on][0] += arrival.number
    for one in found.ended:
        by_day[one.on][2 if one.end is End.LEFT else 1] += one.number
    if not found.came:
        return []
    first = min(arrival.on for arrival in found.came)
    changes = []
    alive = owed_died = owed_left = 0
    for day in sorted(by_day):
        came, died, left = by_day[day]
        alive += came
        gone = min(died + owed_died, alive)
        away = min(left + owed_left, alive - gone)
        owed_died += died - gone
        owed_left += left - away
        alive -= gone + away
        changes.append(Change((day - first).days, came, gone, away))
    return changes


def _days(found: Fates) -> tuple[LifeDay, ...]:
    first = min((arrival.on for arrival in found.came), default=found.on)
    rows = []
    changes = changes_of(found)
    left = {change.time: change.left for change in changes}
    for step in kaplan_meier(changes):
        q = wilson(step.died, step.at_risk)
        rows.append(
            LifeDay(
                on=first.fromordinal(first.toordinal() + int(step.time)),
                day=int(step.time),
                n=step.at_risk,
                d=step.died,
                left=left[step.time],
                l=step.share,
                l_low=step.low,
                l_high=step.high,
                q=q,
                k=-log10(1 - q.share) if q.share < 1 else None,
            )
        )
    return tuple(rows)
