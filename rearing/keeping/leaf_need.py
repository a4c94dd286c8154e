"""Leaf to cut by week and host: what was weighed so far, what is expected from now."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from math import exp
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.ribbons import in_days
from rearing.science.leaf import appetites, eaten_by_stage, to_cut
from rearing.science.stage_days import Leaving, band, even_levels, stage_days
from rearing.sheets.belief import beliefs
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.keeping.season import Forecast, Span, Window
    from rearing.keeping.season_facts import BroodFacts, SeasonFacts
    from rearing.sheets.belief import Belief
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

DRAWS = 100
LEAST_G = 0.5
"""Less a day than this is not drawn."""

HOT_C = 25.0
"""From this mean on leaf wilts as in heat (common practice, no source)."""

_LATEST = 2.5
"""So many half-widths of its band beyond the middle no draw of an event lies."""

_LEAST_DD = 1.0  # a day: no stage is taken to stand still for good


@dataclass(frozen=True, slots=True)
class Need:
    """Grams a day: what is expected, and the ends of an 80 % band.

    The expected adds up over hosts, which the ends of a band do not.
    """

    low: float
    expected: float
    high: float


@dataclass(frozen=True, slots=True)
class LeafWeek:
    """One week from its Monday: leaf a day by host, mean of its days."""

    monday: dt.date
    given: Mapping[str, float]
    """Weighed when it was given, mean of the week's days so far [g a day]."""
    has_unweighed: bool
    """Leaf was given in it that nobody weighed."""
    hosts: Mapping[str, Need]
    total: Need | None
    """None in weeks that are past, or when nothing is needed."""

    @property
    def sunday(self) -> dt.date:
        """Its last day."""
        return self.monday + dt.timedelta(days=6)


@dataclass(frozen=True, slots=True)
class LeafNeed:
    """Leaf to come: grams to cut by host, a row a draw and a column a day, and weeks.

    The first column is tomorrow; the weeks are those in which leaf was or will be
    given, oldest first.
    """

    by_host: Mapping[str, NDArray[np.float64]]
    weeks: tuple[LeafWeek, ...]


def leaf_need(
    facts: SeasonFacts, shelf: SheetShelf, forecasts: Iterable[Forecast]
) -> LeafNeed:
    """Return the leaf that what is forecast will eat, by day and by week.

    A brood is early or late in all that it does, broods independently of each other; a
    species eats more or less than its sheet says. None is taken to be lost.
    """
    need = _Need(facts, shelf)
    for forecast in forecasts:
        need.add(forecast)
    return LeafNeed(need.by_host(), (*_given(facts), *need.weeks()))


def leaf_weeks(
    facts: SeasonFacts, shelf: SheetShelf, forecasts: Iterable[Forecast]
) -> tuple[LeafWeek, ...]:
    """Return the weeks in which leaf was or will be given, oldest first."""
    return leaf_need(facts, shelf, forecasts).weeks


def _given(facts: SeasonFacts) -> list[LeafWeek]:
    """Weigh up the weeks that are past, this week's days so far among them."""
    weeks: dict[dt.date, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for (day, host), grams in facts.given_g.items():
        weeks[_monday(day)][host] += grams
    unweighed = {_monday(day) for day in facts.unweighed}
    found = []
    for monday in sorted({*weeks, *unweighed}):
        days = min((facts.on - monday).days + 1, 7)
        given = {host: grams / days for host, grams in sorted(weeks[monday].items())}
        found.append(LeafWeek(monday, given, monday in unweighed, {}, None))
    return found


def _monday(day: dt.date) -> dt.date:
    return day - dt.timedelta(days=day.weekday())


class _Need:
    """Adds up grams a day over draws, by host, from tomorrow on."""

    def __init__(self, facts: SeasonFacts, shelf: SheetShelf) -> None:
        self._facts = facts
        self._shelf = shelf
        self._tomorrow = facts.on.toordinal() + 1
        span = int((facts.warmth.end_s - facts.warmth.now_s) // 86_400)
        self._days = self._tomorrow + 0.5 + np.arange(span, dtype=np.float64)
        self._broods = {brood.row.id: brood for brood in facts.broods}
        self._believed: dict[str, tuple[Belief, ...]] = {}
        self._hosts: dict[str, NDArray[np.float64]] = {}
        self._hunger: dict[str, NDArray[np.float64]] = {}

    def add(self, forecast: Forecast) -> None:
        """Add what the animals of one group still eat."""
        brood = self._broods.get(forecast.brood_id)
        if brood is None or not forecast.windows:
            return
        cut = self._cut(brood, forecast)
        total = sum(brood.hosts.values())
        for host, number in brood.hosts.items():
            whole = self._hosts.setdefault(host, np.zeros((DRAWS, len(self._days))))
            whole += cut * (number / total)

    def _cut(self, brood: BroodFacts, forecast: Forecast) -> NDArray[np.float64]:
        if forecast.windows[0].event in {"pupate", "emerge"}:
            return np.zeros((DRAWS, len(self._days)))
        sheet = brood.sheet
        leavings = [
            _leaving(window, sheet, float(self._tomorrow))
            for window in forecast.windows
        ]
        seed = sum(forecast.group.encode())
        rng = np.random.default_rng([brood.row.id, seed])
        levels = even_levels(DRAWS, rng)
        eating = self._days[: self._eating_days(leavings)]
        standing = stage_days(leavings, levels, eating, after=Stage.ADULT)
        grams = [grams_of(sheet, stage) for stage in standing.stages]
        usual = self._usual_days(sheet, forecast, standing.stages)
        eaten = eaten_by_stage(standing, grams, usual).sum(axis=1)
        per_eaten = cut_per_eaten(self._facts, self._shelf, brood)
        cut = np.zeros((DRAWS, len(self._days)))
        eaten *= self._appetites(sheet)[:, None]
        cut[:, : len(eating)] = to_cut(eaten, per_eaten)
        return cut

    def _appetites(self, sheet: SpeciesSheet) -> NDArray[np.float64]:
        """Return what draws eat of the sheet's grams: alike for a species' broods."""
        if sheet.name not in self._hunger:
            rng = np.random.default_rng(list(sheet.name.encode()))
            spread = self._shelf.defaults.figures.appetite_spread.middle
            self._hunger[sheet.name] = appetites(even_levels(DRAWS, rng), spread)
        return self._hunger[sheet.name]

    def _eating_days(self, leavings: Sequence[Leaving]) -> int:
        """Return on how many days some may still eat: later ones need no reckoning."""
        larvae = [one.days for one in leavings if Stage(one.stage).is_larva]
        if not larvae:
            return 1
        if not np.isfinite(larvae[-1]).all():
            return len(self._days)
        _, half, last = larvae[-1]
        # A late brood and the latest of its animals lie well beyond the band's end.
        latest = last[1] + _LATEST * (last[2] - last[1])
        end = latest + (last[1] - half[1]) - self._tomorrow
        return int(min(max(end, 1.0), len(self._days)))

    def _usual_days(
        self, sheet: SpeciesSheet, forecast: Forecast, stages: Sequence[str]
    ) -> list[float]:
        """Lengths at the pace at which heat is expected until the next event."""
        if sheet.name not in self._believed:
            self._believed[sheet.name] = beliefs(sheet, self._shelf)
        believed = {one.stage: one for one in self._believed[sheet.name]}
        assumed = self._shelf.defaults.figures.assumed_c.middle
        first = believed.get(Stage(stages[0]))
        a_day = assumed - first.t0_c if first is not None else assumed
        for window in forecast.windows:
            if window.half is None or not window.heat_to_go_dd:
                continue
            days = in_days(window.half.middle) - self._tomorrow
            if days >= 1:
                a_day = window.heat_to_go_dd / days
                break
        a_day = max(a_day, _LEAST_DD)
        needs = [believed.get(Stage(stage)) for stage in stages]
        return [exp(one.ln_k) / a_day if one is not None else 1.0 for one in needs]

    def by_host(self) -> dict[str, NDArray[np.float64]]:
        """Return grams a day by host, shape (draws, days) each."""
        return dict(sorted(self._hosts.items()))

    def weeks(self) -> list[LeafWeek]:
        """Read the weeks off the sums, up to the last in which leaf is needed."""
        first = _monday(dt.date.fromordinal(self._tomorrow))
        mondays = [
            first + dt.timedelta(days=7 * n) for n in range(len(self._days) // 7)
        ]
        begins = [monday.toordinal() - self._tomorrow for monday in mondays]
        spans = [slice(max(begin, 0), begin + 7) for begin in begins]
        whole = sum(self._hosts.values(), np.zeros((DRAWS, len(self._days))))
        totals = _each_need(whole, spans)
        hosts = {
            host: _each_need(grams, spans)
            for host, grams in sorted(self._hosts.items())
        }
        found = []
        for at, (monday, total) in enumerate(zip(mondays, totals, strict=True)):
            if total.expected >= LEAST_G:
                each = {host: needs[at] for host, needs in hosts.items()}
                own = {k: need for k, need in each.items() if need.expected >= LEAST_G}
                found.append(LeafWeek(monday, {}, False, own, total))
        return found


def cut_per_eaten(facts: SeasonFacts, shelf: SheetShelf, brood: BroodFacts) -> float:
    """Return how much is cut for each gram a brood eats: more where leaf wilts."""
    figures = shelf.defaults.figures
    now_s = facts.warmth.now_s
    places = [
        [s.place_id for s in box.stays if s.from_at.timestamp() < now_s][-1:]
        for box in brood.open_boxes
    ]
    warm = [facts.warmth.now_c(place) for found in places for place in found]
    if warm and sum(warm) / len(warm) >= HOT_C:
        return figures.cut_per_eaten_hot.middle
    return figures.cut_per_eaten.middle


def _each_need(grams: NDArray[np.float64], spans: Sequence[slice]) -> list[Need]:
    """Return the need in each of some spans of days, from one band for all of them."""
    if not spans:
        return []
    means = np.stack([grams[:, span].mean(axis=1) for span in spans], axis=1)
    low, _, high = band(means)
    expected = [float(grams[:, span].mean()) for span in spans]
    ends = zip(low.tolist(), expected, high.tolist(), strict=True)
    return [Need(*one) for one in ends]


def grams_of(sheet: SpeciesSheet, stage: str) -> float:
    """Return what one animal eats in the whole of a stage [g]."""
    named = Stage(stage)
    if not named.is_larva or not sheet.leaf_g:
        return 0.0
    if named is Stage.L1 and not sheet.feeds_as_l1.yes:
        return 0.0
    last = sheet.larval_stages[-1]
    if named is last:
        # the sheet's last instar is the last of this species, however many it has
        return list(sheet.leaf_g.values())[-1].middle
    figure = sheet.leaf_g.get(named)
    return figure.middle if figure is not None else 0.0


def left_at(event: str, sheet: SpeciesSheet) -> Stage:
    """Return the stage that an event ends."""
    ended = {"hatch": Stage.EGG, "pupate": Stage.WANDERING, "emerge": Stage.PUPA}
    if event == "wander":
        return sheet.larval_stages[-1]
    return ended.get(event) or Stage(f"L{int(event[1:]) - 1}")


def window_leaving(window: Window, stage: Stage, *, not_before: float = 0.0) -> Leaving:
    """Return when animals leave a stage, read off a window; not before a day."""
    days = np.array([_row(span) for span in (window.first, window.half, window.last)])
    return Leaving(stage, window.number, np.maximum(days, not_before))


def _leaving(window: Window, sheet: SpeciesSheet, today: float) -> Leaving:
    # what waits has not hatched yet, however overdue it is
    since = today if window.event == "hatch" else 0.0
    return window_leaving(window, left_at(window.event, sheet), not_before=since)


def _row(span: Span | None) -> tuple[float, float, float]:
    if span is None:
        return (np.inf, np.inf, np.inf)
    return in_days(span.low), in_days(span.middle), in_days(span.high)
