"""The leaf of the weeks to come as it is shown: hosts in need, their supply by day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.closed_trees import is_closed
from rearing.keeping.hosts import alike
from rearing.keeping.leaf_need import cut_per_eaten, grams_of
from rearing.keeping.leaf_plan import DAY, plan_of
from rearing.keeping.moments import counted, day_words, short_day, span_words
from rearing.keeping.outlook import Asked, leaf_drop
from rearing.keeping.season import Forecaster
from rearing.keeping.season_facts import season_facts
from rearing.keeping.weights import kg, kg_band
from rearing.terms import Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from rearing.keeping.leaf_plan import HostPlan, LeafPlan
    from rearing.keeping.reach import Reach
    from rearing.keeping.season import Forecast
    from rearing.keeping.season_facts import BroodFacts, SeasonFacts
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

AHEAD = 60
"""Days that are planned; the page shows four weeks of them at once."""


@dataclass(frozen=True, slots=True)
class Eaters:
    """The part of a brood that eats of a host.

    `give_by` is the day by which most of them are through L3, the last stage that
    travels lightly; None once it is past or beyond sight.
    """

    brood_id: int
    code: str
    taxon: str
    number: int
    give_by: dt.date | None
    last_g: float
    """What all of them eat in the last instar, were it whole before them [g]."""
    last_into: dt.date | None
    """About when the last of them comes into it; None once all are."""


@dataclass(frozen=True, slots=True)
class Reached:
    """Days for which a host is to be had, or not: why is empty where it is."""

    first: dt.date
    last: dt.date
    lies_cut: bool
    why: str


@dataclass(frozen=True, slots=True)
class HostView:
    """One host in need: how much, how long, its fullest week, and where it is."""

    plan: HostPlan
    eaten_g: float
    cut_per_eaten: float
    until: dt.date
    week: tuple[dt.date, dt.date]
    week_g: float
    eaters: tuple[Eaters, ...]
    boxes: int
    """How many boxes of larvae stand on it now."""
    reached: tuple[Reached, ...]

    @property
    def host(self) -> str:
        """Its name."""
        return self.plan.host

    @property
    def short_words(self) -> str:
        """When it runs short, and why, as a sentence; empty where it does not."""
        plan = self.plan
        if plan.short_on is None:
            return ""
        return f"Runs short {day_words(plan.short_on)} ({plan.short_why})."

    @property
    def words(self) -> str:
        """All of it: how much, where from, and when it runs short."""
        return f"{self.need_words} {self.short_words}".rstrip()

    @property
    def need_words(self) -> str:
        """How much, how long, the fullest week, and where it is to be had."""
        return f"{self.head}; {self.rest}"

    @property
    def head(self) -> str:
        """How much in all, and how long."""
        plan, name = self.plan, self.host
        whole = plan.whole
        return (
            f"{name[:1].upper()}{name[1:]} for {plan.eaters}, from now to about "
            f"{short_day(self.until)}: {kg(self.eaten_g)} eaten, about "
            f"{kg(whole.expected)} to cut ({kg_band(whole.low, whole.high)})"
        )

    @property
    def rest(self) -> str:
        """The fullest week, where it is to be had, and the last instar alone."""
        return (
            f"fullest {span_words(*self.week)}, about {kg(self.week_g)} a day, on the "
            f"hungriest {kg(self.plan.heaviest_g)}; {self.supply_words}."
            f"{self.last_words}"
        )

    @property
    def last_words(self) -> str:
        """What the last instar alone asks for, while some are still to come to it."""
        coming = [
            one for one in self.eaters if one.last_into is not None and one.last_g
        ]
        days = [one.last_into for one in coming if one.last_into is not None]
        if not days:
            return ""
        number = sum(one.number for one in coming)
        grams = sum(one.last_g for one in coming)
        if grams * self.cut_per_eaten > self.plan.whole.expected:
            return ""  # a good part of it is eaten
        who = f"these {number} alone"
        if number < self.plan.eaters:
            who = f"the {number} not all in it yet"
        return (
            f" The last instar of {who}: {kg(grams)} eaten, about "
            f"{kg(grams * self.cut_per_eaten)} to cut; the last come into it about "
            f"{short_day(max(days))}."
        )

    @property
    def supply_words(self) -> str:
        """Where it is to be had: open trees, closed ones, what lies cut."""
        head = len(self.host) + 2
        return self.plan.supply.words[head:].rstrip(".")


@dataclass(frozen=True, slots=True)
class LeafView:
    """Everything of the weeks to come, as on a day."""

    plan: LeafPlan
    hosts: tuple[HostView, ...]
    warnings: tuple[str, ...]
    """Hatch before bud burst; feeding that may outlast the leaf."""

    @property
    def on(self) -> dt.date:
        """The day it is told of."""
        return self.plan.on

    @property
    def first_short(self) -> HostView | None:
        """The host that runs short first."""
        short = [one for one in self.hosts if one.plan.short_on is not None]
        return min(short, key=lambda one: one.plan.short_on or self.on, default=None)

    def host(self, name: str) -> HostView | None:
        """Return the view of one host."""
        return next((one for one in self.hosts if one.host == name), None)


def leaf_view(
    book: Book, shelf: SheetShelf, on: dt.date, *, days: int = AHEAD
) -> LeafView:
    """Read and work out the leaf of the days after `on`."""
    return view_of(season_facts(book, shelf, on), shelf, days=days)


def view_of(facts: SeasonFacts, shelf: SheetShelf, *, days: int = AHEAD) -> LeafView:
    """Work it out from what was read; needs no book."""
    told = Forecaster(facts.held, shelf, facts.warmth).of_eaters()
    plan = plan_of(facts, shelf, told, days=days)
    hosts = tuple(_host(facts, shelf, told, plan, one) for one in plan.hosts)
    return LeafView(plan, hosts, tuple(_warnings(facts, told)))


def _host(
    facts: SeasonFacts,
    shelf: SheetShelf,
    told: Sequence[Forecast],
    plan: LeafPlan,
    one: HostPlan,
) -> HostView:
    broods = [brood for brood in facts.broods if one.host in brood.hosts]
    per_eaten = _per_eaten(facts, shelf, broods)
    return HostView(
        plan=one,
        eaten_g=one.whole.expected / per_eaten,
        cut_per_eaten=per_eaten,
        until=one.ends_on,
        week=one.week,
        week_g=one.week_g,
        eaters=tuple(_eaters(facts, told, broods, one.host)),
        boxes=sum(brood.boxes_on.get(one.host, 0) for brood in broods),
        reached=reached(facts.reach, one, [day.on for day in plan.days]),
    )


def _per_eaten(
    facts: SeasonFacts, shelf: SheetShelf, broods: Sequence[BroodFacts]
) -> float:
    """Return what is cut for each gram eaten, over the broods by their numbers."""
    if not broods:
        return shelf.defaults.figures.cut_per_eaten.middle
    numbers = [max(brood.in_boxes + brood.waiting, 1) for brood in broods]
    each = [cut_per_eaten(facts, shelf, brood) for brood in broods]
    return sum(n * x for n, x in zip(numbers, each, strict=True)) / sum(numbers)


def _eaters(
    facts: SeasonFacts,
    told: Sequence[Forecast],
    broods: Iterable[BroodFacts],
    host: str,
) -> Iterable[Eaters]:
    for brood in broods:
        down = sum(
            x.standing.number for x in brood.open_boxes if x.row.kind.is_for_pupae
        )
        alive = max(brood.waiting + brood.unhoused + brood.in_boxes - down, 0)
        number = round(alive * brood.hosts[host] / sum(brood.hosts.values()))
        if number:
            groups = [one for one in told if one.brood_id == brood.row.id]
            last = brood.sheet.larval_stages[-1]
            yield Eaters(
                brood_id=brood.row.id,
                code=brood.row.code,
                taxon=brood.taxon,
                number=number,
                give_by=_through_l3(groups, number, facts.on),
                last_g=number * grams_of(brood.sheet, last),
                last_into=_last_into(groups, last),
            )


def _through_l3(groups: Iterable[Forecast], number: int, on: dt.date) -> dt.date | None:
    """Return the day before half moult to L4, while most have yet to."""
    windows = [
        window
        for group in groups
        if (window := group.window(Stage.L4)) is not None and window.half is not None
    ]
    if 2 * sum(window.number for window in windows) < number:
        return None
    days = [x.half.middle.date() - DAY for x in windows if x.half is not None]
    return min((day for day in days if day > on), default=None)


def _last_into(groups: Iterable[Forecast], stage: Stage) -> dt.date | None:
    days = [
        window.last.middle.date()
        for group in groups
        if (window := group.window(stage)) is not None and window.last is not None
    ]
    return max(days, default=None)


def reached(
    within: Reach, one: HostPlan, days: Sequence[dt.date]
) -> tuple[Reached, ...]:
    """Return for which days a host lies cut, is to be cut, or is not to be had."""
    bare = within.bare_on(one.host, within.on)
    trees = [tree for tree in within.trees if alike(tree.host, one.host)]
    lasts = one.supply.lasts_to
    found: list[Reached] = []
    for day in days:
        lies = lasts is not None and day <= lasts
        why = ""
        if not lies and bare is not None and day >= bare:
            why = "bare"
        elif not lies and not trees:
            why = "no tree entered"
        elif not lies and all(is_closed(tree, day) for tree in trees):
            why = "closed"
        before = found[-1] if found else None
        if before is not None and (before.lies_cut, before.why) == (lies, why):
            found[-1] = Reached(before.first, day, lies, why)
        else:
            found.append(Reached(day, day, lies, why))
    return tuple(found)


# what may go wrong with the leaf itself


def _warnings(facts: SeasonFacts, told: Sequence[Forecast]) -> Iterable[str]:
    for brood in facts.broods:
        groups = [one for one in told if one.brood_id == brood.row.id]
        if not groups:
            continue
        buds = _before_the_leaf(facts, brood, groups)
        if buds:
            yield buds
        hosts = sorted(brood.hosts, key=lambda host: -brood.hosts[host])
        drop = leaf_drop(Asked(brood.sheet, groups, hosts, None, facts.on), facts.reach)
        if drop is not None and drop.words:
            yield f"{brood.row.code}: {drop.words}."


def _before_the_leaf(
    facts: SeasonFacts, brood: BroodFacts, groups: Iterable[Forecast]
) -> str:
    """Return the warning that eggs hatch before their host bursts; empty without."""
    hatches = [
        window.first
        for group in groups
        if (window := group.window("hatch")) is not None and window.first is not None
    ]
    if not hatches:
        return ""
    first = min(hatches, key=lambda span: span.low)
    hatch = max(first.low.date(), facts.on)
    for host in brood.hosts:
        found = [y for name, y in facts.reach.burst.items() if alike(name, host)]
        if not found or found[0].seen_on is not None:
            continue
        year = found[0]
        burst = year.day(hatch.year)
        if burst is not None and hatch < burst:
            years = counted(year.years, "year")
            return (
                f"{brood.row.code} may hatch from {short_day(hatch)}; {host} bursts "
                f"about {short_day(burst)} ({years} noted). Keep the eggs cooler, or "
                "look for early leaf."
            )
    return ""
