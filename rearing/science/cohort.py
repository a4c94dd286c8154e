"""Forecast windows of a brood: hatch, moults, wandering, pupation, emergence."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.animals import Animals, Lot, gather
from rearing.science.brood import Brood, events
from rearing.science.draws import walk
from rearing.science.heats import HeatStore
from rearing.science.seen import Passed, StageCount
from rearing.science.stages import EventWindow, Interval, StageHeat, Start, Track
from rearing.science.to_go import heat_to_go

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.science.draws import Passage
    from rearing.science.seen import Seen
    from rearing.science.unknowns import Paces, Unknowns

__all__ = [
    "EventWindow",
    "HeatStore",
    "Interval",
    "Passed",
    "Simulated",
    "StageCount",
    "StageHeat",
    "Start",
    "Track",
    "events",
    "simulate",
    "windows",
]

ATTEMPTS = ((1.0, 1), (1.0, 4), (2.0, 4), (4.0, 4))
"""Factors on spread and draws, tried until enough agree with what was seen."""

SHARPENED = 240
"""Draws that are worth no less, where they are picked among those that agree with what
was seen: these are worth some hundred (`pace.ENOUGH`)."""

ENOUGH = 40
"""Draws that must agree with what was seen before windows are read from them."""


@dataclass(frozen=True, slots=True)
class Simulated:
    """Equally likely ways on of one brood.

    Attributes
    ----------
    brood : Brood
    animals : Animals
        Columns of the animals that stand for it.
    paces : Paces
        Of every draw.
    scenario : NDArray[intp], shape (n_draws,)
        The future of each draw.
    passages : tuple of Passage
        Of each stage that was walked; a row a draw, a column an animal that passes it.
    stretch : float
        As in `EventWindow`.
    """

    brood: Brood
    animals: Animals
    paces: Paces
    scenario: NDArray[np.intp]
    passages: tuple[Passage, ...]
    stretch: float = 1.0

    def left(self, i: int) -> NDArray[np.float64]:
        """Hours since the start of the track at which stage i ends, as in `Passage`."""
        return self.passages[i].left

    def of_draws(self, keep: NDArray[np.bool_]) -> Simulated:
        """Return only some of the draws."""
        return replace(
            self,
            animals=replace(self.animals, level=self.animals.level[keep]),
            paces=self.paces.of_draws(keep),
            scenario=self.scenario[keep],
            passages=tuple(one.of_draws(keep) for one in self.passages),
        )

    def times(self, event: str) -> NDArray[np.float64]:
        """Return first, half and last of every draw, shape (n_draws, 3) [epoch s].

        Infinite beyond the track.
        """
        i = events(self.brood.stages).index(event)
        hours = self._hours([i])[0].T
        return np.asarray(self.brood.track.start_s + 3600.0 * hours)

    def animals_s(self, event: str) -> NDArray[np.float64]:
        """Return when evenly spaced ranks reach it, (n_draws, n_animals) [epoch s]."""
        left = self.left(events(self.brood.stages).index(event))
        hours = left[:, self.animals.counted[: left.shape[1]]]
        return np.asarray(self.brood.track.start_s + 3600.0 * hours)

    def windows(self, on_s: float) -> tuple[EventWindow, ...]:
        """Return the windows; `on_s` is when the heat to go is reckoned from."""
        to_go = heat_to_go(self, (on_s - self.brood.track.start_s) / 3600.0)
        passing = [i for i, one in enumerate(self.passages) if one.passing]
        if not passing:
            return ()
        each = np.sort(self._hours(passing), axis=2)
        # One read of all the ranks: an event by itself costs as much as all of them.
        spans = _intervals(each, self.brood.track)
        beyond = np.isinf(each[:, 1]).mean(axis=1).tolist()
        names = events(self.brood.stages)
        return tuple(
            EventWindow(
                event=names[i],
                number=sum(x.number for x in self.brood.lots if x.first_stage <= i),
                first=spans[at][0],
                half=spans[at][1],
                last=spans[at][2],
                heat_to_go=to_go[i],
                beyond=beyond[at],
                stretch=self.stretch,
            )
            for at, i in enumerate(passing)
        )

    def _hours(self, wanted: Sequence[int]) -> NDArray[np.float64]:
        """First, half and last of every draw to end some stages, (n_stages, 3, n)."""
        found = []
        for run in _in_one_heat(self.passages, wanted):
            # In one draw hours are in the order of heat: four are looked up, not all.
            four = np.concatenate(list(self._four_dd(run)))
            flat = four.transpose(2, 0, 1).reshape(four.shape[2], -1)
            hours = self.passages[run[0]].hours(flat).T.reshape(four.shape)
            first, low, high, last = hours.transpose(1, 0, 2)
            half = np.clip(0.5 * (low + high), first, last)
            found.append(np.stack((first, half, last), axis=1))
        return np.concatenate(found)

    def _four_dd(self, run: Sequence[int]) -> Iterator[NDArray[np.float64]]:
        """Heat at which the first, the middle two and the last end some stages.

        Shape (n_stages, 4, n_draws) for each of those that as many animals pass.
        """
        animals = self.animals
        for passing, own in groupby(run, lambda i: self.passages[i].passing):
            ends = np.stack([self.passages[i].end_dd for i in own])
            outer = ends[:, :, animals.outer[:passing]]
            middle = _middle_two(ends[:, :, animals.counted[:passing]])
            yield np.stack((outer.min(axis=2), *middle, outer.max(axis=2)), axis=1)


def simulate(  # noqa: PLR0913 - a forecast hangs on all of these
    stages: Sequence[StageHeat],
    starts: Sequence[Start],
    track: Track,
    rng: np.random.Generator,
    *,
    draws: int = 400,
    seen: Sequence[Seen] = (),
    not_before: Mapping[str, float] = MappingProxyType({}),
    until: str | None = None,
    learnt: Unknowns | None = None,
    store: HeatStore | None = None,
) -> Simulated | None:
    """Draw ways on of a brood that agree with what was seen; None without animals.

    Parameters and errors as for `windows`.
    """
    names = events(stages)
    asked = len(names) if until is None else names.index(until) + 1
    brood = Brood.of(stages, starts, track, store or HeatStore(), seen, asked)
    if brood is None:
        return None
    if learnt is not None:
        brood = replace(brood, unknowns=learnt)
    if brood.looks:
        posterior = brood.sharpened(rng, draws)
        paces = brood.paces(posterior.z)
        lots, seen_hour = brood.lots_as_seen(paces, rng)
        return _walked(brood, lots, paces, rng, seen_hour)
    told = [not_before.get(event, -np.inf) for event in names[:asked]]
    return _agreeing(brood, rng, draws, (np.array(told) - track.start_s) / 3600.0)


def windows(  # noqa: PLR0913 - a forecast hangs on all of these
    stages: Sequence[StageHeat],
    starts: Sequence[Start],
    track: Track,
    rng: np.random.Generator,
    *,
    on_s: float,
    draws: int = 400,
    not_before: Mapping[str, float] = MappingProxyType({}),
    until: str | None = None,
    seen: Sequence[Seen] = (),
    learnt: Unknowns | None = None,
    store: HeatStore | None = None,
) -> tuple[EventWindow, ...]:
    """Say when the first, the half and the last of a brood reach each coming event.

    Parameters
    ----------
    stages : sequence of StageHeat
        In the order of life; the last one's end is the last event.
    starts : sequence of Start
        Lay nights, hatch dates, counts: animals alive, in one stage or in several.
        None may start before the track.
    track : Track
        Hourly temperatures without holes, with its futures if there are any [°C].
    rng : numpy.random.Generator
        The same state gives the same windows.
    on_s : float
        The instant from which the heat to go is reckoned [epoch seconds].
    draws : int
        Simulated broods, spread over the futures.
    not_before : mapping of event to epoch seconds
        Events of which not one animal had been seen by that instant; events that are
        not asked about are ignored. Not looked at where `seen` is given, which says
        the same as `Passed` of number 0.
    until : str or None
        The last event that is asked about; the windows up to it are the same as
        without, at a fraction of the cost.
    seen : sequence of StageCount or Passed
        What was counted since the starts; it sharpens thresholds, paces and spread.
    learnt : Unknowns or None
        What finished broods of the species taught (`learn.learnt`).
    store : HeatStore or None
        Keeps sums of heat between broods that share tracks or futures.

    Returns
    -------
    tuple of EventWindow
        In the order of life, events already past by the book among them; an event
        speaks of all animals that start in an earlier stage. Empty without animals.

    Raises
    ------
    ValueError
        For an unknown stage or event, a hole in the track or a start before it.

    Notes
    -----
    Each draw is a brood with its thresholds and needs of heat (`Unknowns`), animals
    about them (`animals.Animals.shares`) and one of the futures. Without `seen`, draws
    in which the first animal is earlier than `not_before` allows are dropped; if fewer
    than `ENOUGH` are left, more are drawn, then with a wider spread of ln K, and
    `stretch` says how wide. With `seen`, the unknowns are drawn from their posterior
    (`pace.sharpen`) and the animals are held to the last look (`Brood.lots_as_seen`).
    """
    found = simulate(
        stages,
        starts,
        track,
        rng,
        draws=draws,
        seen=seen,
        not_before=not_before,
        until=until,
        learnt=learnt,
        store=store,
    )
    return found.windows(on_s) if found else ()


def _walked(
    brood: Brood,
    lots: Sequence[Lot],
    paces: Paces,
    rng: np.random.Generator,
    seen_hour: float = -np.inf,
) -> Simulated:
    """Draw animals and futures and walk them to the end."""
    draws = len(paces.spread)
    animals = gather(lots, rng, draws, paces.spread, seen_hour)
    animals = _not_advanced_in_the_cold(brood, animals)
    n_futures = 1 if brood.track.futures is None else len(brood.track.futures)
    scenario = rng.permutation(draws) % n_futures
    passages = walk(
        brood.stages, brood.heats, paces, animals, scenario, until=brood.asked
    )
    return Simulated(brood, animals, paces, scenario, passages)


def _not_advanced_in_the_cold(brood: Brood, animals: Animals) -> Animals:
    """Set animals that still wait for their cold to the beginning of their stage."""
    chill = np.array([stage.chill_hours for stage in brood.stages])
    at_first = chill[animals.first_stage]
    if not (animals.within & (at_first > 0)).any():
        return animals
    none = np.zeros(len(at_first), dtype=np.intp)
    met = brood.heats.cold.at(none, none, animals.entered) >= at_first
    return replace(animals, within=animals.within & met)


def _agreeing(
    brood: Brood, rng: np.random.Generator, draws: int, held: NDArray[np.float64]
) -> Simulated:
    """Draw until enough draws agree with `held`, the hour each event is not before."""
    enough = min(ENOUGH, draws)
    for stretch, factor in ATTEMPTS:
        z = brood.unknowns.draw(rng, draws * factor)
        paces = brood.paces(z, stretch)
        found = replace(_walked(brood, brood.lots, paces, rng), stretch=stretch)
        keep = np.ones(draws * factor, dtype=bool)
        for passage, hour in zip(found.passages, held, strict=True):
            if passage.passing and hour > 0:
                outer = passage.end_dd[:, found.animals.outer[: passage.passing]]
                first = passage.hours(outer.min(axis=1, keepdims=True))
                keep &= first[:, 0] >= hour
        if keep.all():
            return found
        if np.count_nonzero(keep) >= enough:
            return found.of_draws(keep)
    # Nothing believed allows what was seen: all that is certain is that it is later.
    at_least = np.maximum.accumulate(held)
    later = tuple(
        replace(one, not_before=float(at))
        for one, at in zip(found.passages, at_least, strict=True)
    )
    return replace(found, passages=later, stretch=np.inf)


def _in_one_heat(
    passages: Sequence[Passage], wanted: Sequence[int]
) -> Iterator[list[int]]:
    """Put stages together whose ends are looked up in the same heat."""
    run: list[int] = []
    for i in wanted:
        one, last = passages[i], passages[run[-1]] if run else None
        if last is not None and not (
            one.counts_as(last) and one.not_before == last.not_before
        ):
            yield run
            run = []
        run.append(i)
    if run:
        yield run


def _middle_two(
    of_animals: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the two about the middle of each row; one twice where they are odd."""
    n = of_animals.shape[-1]
    parted = np.partition(of_animals, (n // 2 - 1, n // 2) if n > 1 else (0,), axis=-1)
    return parted[..., (n - 1) // 2], parted[..., n // 2]


def _intervals(hours: NDArray[np.float64], track: Track) -> list[list[Interval | None]]:
    """Take the 10th, 50th and 90th hundredth of sorted draws; None without a middle.

    Shape of `hours` (n_events, 3, n_draws): first, half and last of each event.
    """
    ranks = np.ceil(np.array([0.1, 0.5, 0.9]) * hours.shape[2]).astype(int) - 1
    instants = (track.start_s + 3600.0 * hours[:, :, ranks]).tolist()
    return [
        [_interval(low, middle, high, track.end_s) for low, middle, high in rows]
        for rows in instants
    ]


def _interval(low: float, middle: float, high: float, end_s: float) -> Interval | None:
    if middle == np.inf:
        return None
    return Interval(low, middle, min(high, end_s), open_end=high == np.inf)
