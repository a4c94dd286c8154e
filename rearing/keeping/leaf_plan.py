"""Leaf day by day for the weeks to come: how much, from where, when it runs short."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.closed_trees import is_closed
from rearing.keeping.hosts import alike
from rearing.keeping.leaf_need import LEAST_G, Need, leaf_need
from rearing.keeping.reach import supplies
from rearing.keeping.season import Forecaster
from rearing.keeping.season_facts import season_facts
from rearing.keeping.undisturbed import undisturbed
from rearing.problems import Refusal
from rearing.science.stage_days import band

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.keeping.reach import Reach, Supply
    from rearing.keeping.season import Forecast
    from rearing.keeping.season_facts import SeasonFacts
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

DAYS = 21
"""Two weeks ahead is when it can still be mended; a third shows what follows."""

MOSTLY = 0.95
"""By the day this share is eaten the end is said to come: single stragglers go on."""

WEEK = 7

DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class LeafDay:
    """Leaf to cut for one day, by host and in all [g]."""

    on: dt.date
    hosts: Mapping[str, Need]
    total: Need


@dataclass(frozen=True, slots=True)
class HostPlan:
    """One host over all the days on which it is still needed.

    `peak` is the fullest day, `heaviest_g` what the hungriest day may ask for. `week`
    are the seven days in a row with most leaf, `week_g` their mean [g a day]. By
    `ends_on` nearly all is eaten; the slowest may eat until `last_on`. `short_on` is
    the first day on which neither what lies cut nor an open tree gives it. `keep` and
    `keep_surely` are how many can be fed on what can be carried, None where that was
    not said.
    """

    host: str
    eaters: int
    whole: Need
    ends_on: dt.date
    last_on: dt.date
    week: tuple[dt.date, dt.date]
    week_g: float
    peak_on: dt.date
    peak: Need
    heaviest_g: float
    supply: Supply
    short_on: dt.date | None
    short_why: str
    keep: int | None = None
    keep_surely: int | None = None


@dataclass(frozen=True, slots=True)
class LeafPlan:
    """The leaf of the days to come."""

    on: dt.date
    days: tuple[LeafDay, ...]
    hosts: tuple[HostPlan, ...]

    @property
    def first_short(self) -> HostPlan | None:
        """The host that runs short first."""
        short = [one for one in self.hosts if one.short_on is not None]
        return min(short, key=lambda one: one.short_on or self.on, default=None)


@undisturbed()
def leaf_plan(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    *,
    days: int = DAYS,
    carry_g: float | None = None,
) -> LeafPlan:
    """Return what leaf is needed from the day after `on`, most needed host first.

    `carry_g` is how much of one host can be cut and carried a day [g].
    """
    facts = season_facts(book, shelf, on)
    told = Forecaster(facts.held, shelf, facts.warmth).of_eaters()
    return plan_of(facts, shelf, told, days=days, carry_g=carry_g)


def plan_of(
    facts: SeasonFacts,
    shelf: SheetShelf,
    told: Sequence[Forecast],
    *,
    days: int = DAYS,
    carry_g: float | None = None,
) -> LeafPlan:
    """Return the plan of what was read and forecast already; needs no book."""
    if not 1 <= days <= 240:
        raise Refusal("Leaf is planned for 1 to 240 days.", field="days")
    if carry_g is not None and carry_g <= 0:
        raise Refusal("How much can be carried must be above nought.", field="carry")
    on = facts.on
    need = leaf_need(facts, shelf, told)
    grams = need.by_host
    supply = {x.host: x for x in supplies(facts.reach, need.weeks, on)}
    heaviest = shelf.defaults.figures.peak_day_per_mean_day.middle
    planned = _Planned(facts, heaviest, carry_g)
    hosts = [
        planned.host(host, grams[host], supply[host])
        for host in grams
        if host in supply
    ]
    return LeafPlan(
        on=on,
        days=tuple(_days(grams, on, days)),
        hosts=tuple(sorted(hosts, key=lambda one: -one.whole.expected)),
    )


def _days(
    grams: Mapping[str, NDArray[np.float64]], on: dt.date, days: int
) -> list[LeafDay]:
    if not grams:
        return []
    whole = np.sum(list(grams.values()), axis=0)
    by_host = {host: _each_day(cut, days) for host, cut in grams.items()}
    return [
        LeafDay(
            on=on + DAY * (at + 1),
            hosts={
                host: needs[at]
                for host, needs in by_host.items()
                if needs[at].expected >= LEAST_G
            },
            total=total,
        )
        for at, total in enumerate(_each_day(whole, days))
    ]


def _each_day(draws: NDArray[np.float64], days: int) -> list[Need]:
    """Return the need of each of the first days, from one band for all of them."""
    first = draws[:, :days]
    low, _, high = band(first)
    mean = first.mean(axis=0)
    ends = zip(low.tolist(), mean.tolist(), high.tolist(), strict=True)
    return [Need(*one) for one in ends]


def fullest_week(mean: NDArray[np.float64]) -> tuple[int, float]:
    """Return at which day the fullest week begins, and its mean [g a day]."""
    sums = np.convolve(mean, np.ones(WEEK), mode="valid")
    return int(sums.argmax()), float(sums.max()) / WEEK


def days_to_end(mean: NDArray[np.float64]) -> int:
    """Return how many days it takes until nearly all is eaten."""
    so_far = mean.cumsum()
    return int(np.searchsorted(so_far, MOSTLY * so_far[-1])) + 1


def need_of(draws: NDArray[np.float64]) -> Need:
    """Return the mean of draws and their 80 % band."""
    low, _, high = band(draws)
    return Need(float(low), float(draws.mean()), float(high))


class _Planned:
    """Plans one host after the other from the same facts."""

    def __init__(
        self, facts: SeasonFacts, heaviest: float, carry_g: float | None
    ) -> None:
        self._facts = facts
        self._heaviest = heaviest
        self._carry_g = carry_g
        self._eaters = _eaters(facts)

    def host(self, host: str, grams: NDArray[np.float64], supply: Supply) -> HostPlan:
        """Return the plan of one host."""
        on = self._facts.on
        mean = grams.mean(axis=0)
        needed = np.flatnonzero(mean >= LEAST_G)
        fullest = int(mean.argmax())
        peak = need_of(grams[:, fullest])
        short_on, why = self._short(host, needed.tolist(), supply)
        eaters = self._eaters[host]
        week_at, week_g = fullest_week(mean)
        return HostPlan(
            host=host,
            eaters=eaters,
            whole=need_of(grams.sum(axis=1)),
            ends_on=on + DAY * days_to_end(mean),
            last_on=on + DAY * (int(needed[-1]) + 1) if len(needed) else on,
            week=(on + DAY * (week_at + 1), on + DAY * (week_at + WEEK)),
            week_g=week_g,
            peak_on=on + DAY * (fullest + 1),
            peak=peak,
            heaviest_g=peak.expected * self._heaviest,
            supply=supply,
            short_on=short_on,
            short_why=why,
            keep=self._keep(eaters, peak.expected),
            keep_surely=self._keep(eaters, peak.high * self._heaviest),
        )

    def _keep(self, eaters: int, grams: float) -> int | None:
        if self._carry_g is None:
            return None
        return min(int(eaters * self._carry_g / grams), eaters) if grams else eaters

    def _short(
        self, host: str, needed: list[int], supply: Supply
    ) -> tuple[dt.date | None, str]:
        """Return the first day on which leaf is needed and not to be had, and why."""
        within = self._facts.reach
        bare = within.bare_on(host, self._facts.on)
        for at in needed:
            day = self._facts.on + DAY * (at + 1)
            if supply.lasts_to is not None and day <= supply.lasts_to:
                continue
            if bare is not None and day >= bare:
                return day, "it is bare by then"
            why = _no_tree(within, host, day)
            if why:
                return day, why
        return None, ""


def _no_tree(within: Reach, host: str, day: dt.date) -> str:
    """Return why a host can't be cut on a day; empty where it can."""
    trees = [tree for tree in within.trees if alike(tree.host, host)]
    if not trees:
        return "no tree of it is entered"
    shut = [tree.name for tree in trees if is_closed(tree, day)]
    return f"closed: {', '.join(shut)}" if len(shut) == len(trees) else ""


def _eaters(facts: SeasonFacts) -> Counter[str]:
    """Return how many live to eat of each host: eggs and larvae, not pupae."""
    eaters: Counter[str] = Counter()
    for brood in facts.broods:
        down = sum(
            x.standing.number for x in brood.open_boxes if x.row.kind.is_for_pupae
        )
        number = brood.waiting + brood.unhoused + brood.in_boxes - down
        whole = sum(brood.hosts.values())
        for host, part in brood.hosts.items():
            eaters[host] += round(max(number, 0) * part / whole)
    return eaters
