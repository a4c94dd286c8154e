"""Broods of known truth, every animal by itself, as a keeper would have seen them.

Nothing of the forecast's own simulation is used here but the figures it believes in:
thresholds are not held to nodes, animals not stood for by a few, heat is summed hour by
hour with numpy's interpolation, clumps of animals keep together, dead eggs are among
the others, counts are misread, weather has its own memory. All invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.science.animals import INDIVIDUAL_CV, STAGE_CV
from rearing.science.cohort import Passed, StageCount, StageHeat, Start, Track
from rearing.science.learn import SHARES
from rearing.science.scenarios import indoors, outdoors
from rearing.science.unknowns import PACE_SHARE, SPREAD_SD, T0_SHARE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rearing.science.seen import Seen

HOUR_S = 3600.0
DAY_S = 86400.0
YEARS = 9
CLUMP, CLUMP_SHARE = 6, 0.3
"""Animals sit in sixes that share three tenths of the variance of their pace."""

DEAD_EGGS, MISREAD = 0.08, 0.02

STAGES = (
    StageHeat("egg", 9.0, 1.5, float(np.log(90)), -0.074, 0.25),
    *(
        StageHeat(
            f"L{i}", 7.0, 1.5, float(np.log(k)), -0.05, 0.2, 32.0, 0.0, "larva", 0.08
        )
        for i, k in enumerate((55, 50, 55, 70, 110), 1)
    ),
    StageHeat("wandering", 7.0, 1.5, float(np.log(45)), -0.05, 0.25),
    StageHeat("pupa", 9.0, 1.5, float(np.log(220)), -0.075, 0.25),
)
NAMES = tuple(stage.stage for stage in STAGES)
EVENTS = ("hatch", "L2", "L3", "L4", "L5", "wander", "pupate", "emerge")
RANK = {name: i for i, name in enumerate((*NAMES, "adult"))}
AGES = ("egg", "L1", "L3", "L5", "pupa")


@dataclass(frozen=True)
class Air:
    """Years of hourly weather, of which the last one is the brood's own."""

    celsius: NDArray[np.float64]

    @classmethod
    def of(cls, rng: np.random.Generator) -> Air:
        days = round(365.2425 * YEARS)
        hours = np.arange(24 * days)
        season = 10.5 - 9.5 * np.cos(2 * np.pi * (hours / 24 - 20) / 365.2425)
        swing = 5.0 * np.sin(2 * np.pi * (hours - 9) / 24)
        r = np.exp(-1 / 4.0)
        away = np.zeros(days)
        for i in range(1, days):
            away[i] = r * away[i - 1] + 2.7 * np.sqrt(1 - r * r) * rng.standard_normal()
        daily = np.interp(hours / 24, np.arange(days) + 0.5, away)
        return cls(np.asarray(season + swing + daily))


def room(rng: np.random.Generator) -> NDArray[np.float64]:
    """A shelf at 20° that is a little off, and wanders, for some 14 months."""
    hours = 24 * 420
    r = np.exp(-1 / 4.0)
    away = np.zeros(hours // 24 + 2)
    for i in range(1, len(away)):
        away[i] = r * away[i - 1] + np.sqrt(1 - r * r) * rng.standard_normal()
    daily = np.interp(np.arange(hours) / 24, np.arange(len(away)), away)
    swing = 1.0 * np.sin(2 * np.pi * (np.arange(hours) - 10) / 24)
    return np.asarray(20.0 + np.sqrt(0.5) * (rng.standard_normal() + daily) + swing)


@dataclass(frozen=True)
class Known:
    """A brood whose whole life is known.

    `ends[i]` are the hours since the beginning of the series at which each animal
    ends stage i; `laid` the hours at which eggs were laid, and how many.
    """

    ends: tuple[NDArray[np.float64], ...]
    laid: tuple[tuple[float, int], ...]
    dead: int
    celsius: NDArray[np.float64]
    is_out: bool


@dataclass(frozen=True)
class Species:
    """What all broods of a species have in common.

    `share` is their part of what the sheet does not know: that is not known either, so
    it is drawn from what is believed of it.
    """

    z: NDArray[np.float64]
    share: float


def unknown(rng: np.random.Generator) -> NDArray[np.float64]:
    return rng.standard_normal((2, 1 + 4 + len(STAGES)))


def species(rng: np.random.Generator) -> Species:
    return Species(unknown(rng), float(rng.choice(SHARES)))


def known(
    rng: np.random.Generator,
    kind: Species,
    celsius: NDArray[np.float64],
    *,
    is_out: bool,
) -> Known:
    """Rear one brood, laid in the last year's spring of the hours.

    Early enough to fly before the cold: whether moths come in a late autumn or wait
    for spring is another question than when.
    """
    year_h = round(365.2425 * 24)
    lay_h = len(celsius) - year_h + 24 * int(rng.integers(115, 160)) + 22
    numbers = [int(n) for n in rng.integers(8, 60, int(rng.integers(1, 4)))]
    laid = tuple((float(lay_h + 24 * i), n) for i, n in enumerate(numbers))
    z = np.sqrt(kind.share) * kind.z + np.sqrt(1 - kind.share) * unknown(rng)
    dead = int(rng.binomial(sum(numbers), DEAD_EGGS))
    now = np.repeat([at for at, _ in laid], numbers)
    now = rng.permutation(now)[dead:]
    clumps = rng.standard_normal(len(now) // CLUMP + 1)[
        rng.permutation(len(now)) // CLUMP
    ]
    alone = rng.standard_normal(len(now))
    level = np.sqrt(CLUMP_SHARE) * clumps + np.sqrt(1 - CLUMP_SHARE) * alone
    spread = np.exp(SPREAD_SD * rng.standard_normal())
    pace = 1 + INDIVIDUAL_CV * spread * level
    # Nothing before the first eggs matters.
    places = np.arange(lay_h - 1, len(celsius) + 1, dtype=np.float64)
    celsius_since = celsius[lay_h - 1 :]
    groups = list(dict.fromkeys(s.group or s.stage for s in STAGES))
    ends = []
    for i, stage in enumerate(STAGES):
        g = 1 + groups.index(stage.group or stage.stage)
        z_t0, z_k = (
            np.sqrt(share) * row[0] + np.sqrt(1 - share) * row[g]
            for share, row in zip((T0_SHARE, PACE_SHARE), z, strict=True)
        )
        above_c = stage.t0_sd_c * z_t0
        ln_k = stage.ln_k + stage.ln_k_per_c * above_c + stage.ln_k_sd * z_k
        ln_k += stage.own_sd * z[1, 5 + i]
        noise = 1 + STAGE_CV * spread * rng.standard_normal(len(now))
        held = np.minimum(celsius_since, stage.upper_c or np.inf)
        heat = np.concatenate(
            ([0.0], np.cumsum(np.maximum(held - stage.t0_c - above_c, 0.0) / 24))
        )
        sought = np.interp(now, places, heat) + np.exp(ln_k) * pace * noise
        now = np.where(sought > heat[-1], np.inf, np.interp(sought, heat, places))
        ends.append(now)
    return Known(tuple(ends), laid, dead, celsius, is_out)


def emerged_after_days(brood: Known) -> float:
    """Days from the first night's eggs to the half of the moths."""
    return float(np.median(brood.ends[-1]) - brood.laid[0][0]) / 24


def forecast_hour(brood: Known, age: str) -> float:
    """Midnight on which the forecast is made."""
    if age == "egg":
        return brood.laid[-1][0] + 2.0
    i = NAMES.index(age)
    begun, ended = np.median(brood.ends[i - 1]), np.median(brood.ends[i])
    return float(np.ceil((begun + 0.4 * (ended - begun)) / 24) * 24)


def track_at(brood: Known, hour: float, rng: np.random.Generator) -> Track:
    """What the keeper has of temperatures at an hour, and the futures after it."""
    now = int(hour)
    begin = int(brood.laid[0][0]) - 24
    ahead = 24 * 200
    if brood.is_out:
        made = outdoors(brood.celsius[:now], 0.0, ahead, rng)
    else:
        recent = brood.celsius[begin - 24 * 14 : now]
        made = indoors(20.0, HOUR_S * now, ahead, rng, spread_c=1.0, recent=recent)
    return Track(begin * HOUR_S, brood.celsius[begin:now], now * HOUR_S, made.celsius)


def hatch_checks(brood: Known, hour: float) -> list[Passed]:
    """Hatch counted every evening until the hour."""
    hatched = brood.ends[0]
    first = np.floor(min(hatched) / 24) * 24 + 20
    of = len(hatched) + brood.dead
    checks = np.arange(first - 24, hour + 0.1, 24)
    return [
        Passed(
            "hatch",
            (at - 24) * HOUR_S,
            at * HOUR_S,
            int(np.count_nonzero((hatched > at - 24) & (hatched <= at))),
            of,
            0.92,
        )
        for at in checks
    ]


def stages_at(brood: Known, hour: float) -> NDArray[np.intp]:
    """Index of the stage of every animal; one past the last is a moth."""
    return np.asarray(sum((end <= hour).astype(np.intp) for end in brood.ends))


def stage_counts(
    brood: Known, hour: float, rng: np.random.Generator, every_days: int = 3
) -> list[StageCount]:
    """Looks at the larvae every few evenings until the hour, some misread."""
    begin = float(np.ceil(np.median(brood.ends[0]) / 24) * 24) + 20
    looks = np.arange(hour - 4, begin, -24.0 * every_days)[::-1]
    found = []
    for at in looks:
        stage = stages_at(brood, at)
        stage = stage[stage > 0]
        off = rng.random(len(stage)) < MISREAD
        read = np.clip(stage + off * rng.choice([-1, 1], len(stage)), 1, len(NAMES))
        names = [*NAMES, "adult"]
        counts = {
            names[i]: int(n)
            for i, n in enumerate(np.bincount(read, minlength=len(names)))
            if n
        }
        if counts:
            found.append(StageCount(at * HOUR_S, counts))
    return found


def as_kept(
    brood: Known, age: str, hour: float, rng: np.random.Generator
) -> tuple[list[Start], list[Seen]]:
    """Starts and looks as a book would have them at an age."""
    starts = [Start(at * HOUR_S, "egg", n) for at, n in brood.laid]
    if age == "egg":
        return starts, []
    return starts, [*hatch_checks(brood, hour), *stage_counts(brood, hour, rng)]


def still_to_come(seen: list[Seen], event: str, piece: str) -> bool:
    """Whether a keeper would say that first, half or last is yet to come."""
    i = EVENTS.index(event)
    counts = [one for one in seen if isinstance(one, StageCount)]
    checks = [one for one in seen if isinstance(one, Passed)]
    if i == 0:
        passed = sum(check.number for check in checks)
        total = checks[-1].of if checks else 1
    else:
        last = counts[-1].counts if counts else {}
        total = max(sum(last.values()), 1)
        passed = sum(n for name, n in last.items() if RANK[name] > i)
    wanted = {"first": 0.5, "half": total / 2, "last": total - 0.5}[piece]
    return passed < wanted


def finished(
    brood: Known, rng: np.random.Generator
) -> tuple[list[Start], Track, list[Seen]]:
    """A brood of an earlier year as its book tells it, to the last moth."""
    moths = brood.ends[-1][np.isfinite(brood.ends[-1])]
    hour = float(np.ceil(moths.max() / 24) * 24)
    starts, seen = as_kept(brood, "pupa", hour, rng)
    checks = np.arange(np.floor(moths.min() / 24) * 24, hour + 24.1, 24)
    seen += [
        Passed(
            "emerge",
            (at - 24) * HOUR_S,
            at * HOUR_S,
            int(np.count_nonzero((moths > at - 24) & (moths <= at))),
            len(moths),
        )
        for at in checks
    ]
    begin = int(brood.laid[0][0]) - 24
    whole = brood.celsius[begin : min(int(hour) + 24 * 10, len(brood.celsius))]
    return starts, Track(begin * HOUR_S, whole, hour * HOUR_S), seen
