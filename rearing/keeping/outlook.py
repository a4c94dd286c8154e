"""What a brood's windows come to: both sexes together, winter or not, leaf-drop."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.leaf_need import window_leaving
from rearing.keeping.moments import short_day
from rearing.keeping.ribbons import in_days
from rearing.science.chances import DAY_S, SexTimes, by_sex, done_by, overlap
from rearing.science.flight import stretches
from rearing.science.normal import ndtri
from rearing.science.stage_days import TENTH, even_levels, passings
from rearing.science.winter import direct_share
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from rearing.keeping.reach import Reach
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.sheets.defaults import Defaults
    from rearing.sheets.sheet import SpeciesSheet

    Array = NDArray[np.float64]

LIKELY = 0.5
"""From this chance on a night counts as one on which both sexes fly."""

MOST_HELD = 7
"""Days a sex is held back at most (common practice, no source)."""

BARE_SPREAD_DAYS = 7.0
"""Spread of the day a host is bare from year to year (from memory) [d]."""

CRITICAL_H, CRITICAL_AT, CRITICAL_PER_DEGREE = 14.5, 43.0, 0.27
"""Day length at which half go direct, at a latitude, and its rise by degree north: of
Acronicta rumicis from 43 to 60° N after A. S. Danilevskii (from memory) [h, °, h/°]."""

CRITICAL_SPREAD_H = 0.6
"""Logistic scale about it: what another species or strain may differ by (from
memory) [h]."""

READS_SKY_FROM = 30.0
"""Nearer to the equator the day's length is no guide (from memory) [°]."""

SETTLED_DAYS = 60.0
"""So long after going down a pupa that lies has settled for the winter (from memory)
[d]."""

_BEFORE_GOING_DOWN = 7.0  # days: larvae gone down were in their last instar then
_DRAWS, _RANKS = 60, 60


@dataclass(frozen=True, slots=True)
class Nights:
    """Nights, by their evenings, on which both sexes are likely fit to pair."""

    first: dt.date
    last: dt.date


@dataclass(frozen=True, slots=True)
class Emerging:
    """Moths expected to emerge in a night, and the chance that both sexes are there."""

    on: dt.date
    number: float
    both: float = 0.0


@dataclass(frozen=True, slots=True)
class HeldBack:
    """What holding the males in the cold comes to, at the best number of days."""

    days: int
    nights: int
    instead_of: int

    @property
    def words(self) -> str:
        """As a sentence."""
        if self.nights <= self.instead_of:
            return "Holding the males in the cold wins no night with these females"
        plural = "" if self.days == 1 else "s"
        return (
            f"Males held in the cold for {self.days} day{plural}: both sexes likely on "
            f"{self.nights} nights instead of {self.instead_of}"
        )


@dataclass(frozen=True, slots=True)
class Direct:
    """The chance that pupae go on without a winter, by day length; no promise."""

    chance: float
    about: dt.date
    critical_h: float

    @property
    def words(self) -> str:
        """As a sentence: About 3 in 10 go on without winter by day length."""
        tenths = round(self.chance * 10)
        many = {0: "Hardly any", 10: "Nearly all"}.get(tenths, f"About {tenths} in 10")
        return (
            f"{many} go on without winter by day length about {short_day(self.about)}"
            f" (half do at {self.critical_h:.1f} h with twilight, from memory; warmth "
            "and strain shift it)"
        )


@dataclass(frozen=True, slots=True)
class LeafDrop:
    """The chance that all, or half, go down before their host is bare."""

    host: str
    bare_on: dt.date | None
    last: float | None
    half: float | None

    @property
    def words(self) -> str:
        """As a sentence; empty where there is nothing to fear."""
        if self.bare_on is None or self.last is None or self.half is None:
            return (
                f"They may feed into autumn: enter when {self.host} is bare (D), and "
                "the risk of leaf-drop is told"
            )
        if self.last > 0.985:
            return ""
        day = short_day(self.bare_on)
        return (
            f"{self.host[:1].upper()}{self.host[1:]} is bare about {day}: all are down "
            f"before with {_hundredths(self.last)}, half of them with "
            f"{_hundredths(self.half)} in 100"
        )


@dataclass(frozen=True, slots=True)
class Outlook:
    """All of it for one brood; what does not apply is None."""

    emerging: tuple[Emerging, ...] = ()
    together: tuple[Nights, ...] = ()
    held_back: HeldBack | None = None
    direct: Direct | None = None
    leaf_drop: LeafDrop | None = None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is to be said of winter and leaf-drop."""
        told = (self.direct, self.leaf_drop)
        return tuple(one.words for one in told if one is not None and one.words)


NOTHING = Outlook()
"""Of a brood without windows."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The brood that is asked about: its groups, its leaf, when it went down."""

    sheet: SpeciesSheet
    groups: Sequence[Forecast]
    hosts: Sequence[str]
    went_down: float | None
    """The day half went down, as an ordinal; None while they have not."""
    on: dt.date


def outlook(
    asked: Asked, within: Reach, defaults: Defaults, *, end: dt.date
) -> Outlook:
    """Return what the windows of a brood come to, looking no further than `end`."""
    leading = max(asked.groups, key=lambda group: group.number, default=None)
    if leading is None:
        return Outlook()
    emerging, together, held = _flight(asked, defaults, end)
    return Outlook(
        emerging=emerging,
        together=together,
        held_back=held,
        direct=_direct(asked, leading, within),
        leaf_drop=leaf_drop(asked, within),
    )


# both sexes


def _flight(
    asked: Asked, defaults: Defaults, end: dt.date
) -> tuple[tuple[Emerging, ...], tuple[Nights, ...], HeldBack | None]:
    """Moths expected by night over all groups together, and when both sexes fly."""
    coming = [
        window
        for group in asked.groups
        if (window := group.window("emerge")) is not None and window.half is not None
    ]
    days = np.arange((end - asked.on).days, dtype=np.float64)
    begins: Array = np.asarray(asked.on.toordinal() + 1.0 + days)
    if not coming or not len(begins):
        return (), (), None
    moths = np.concatenate([_ranks(window, asked) for window in coming], axis=1)
    number = sum(window.number for window in coming)
    evenings = [dt.date.fromordinal(int(day)) for day in begins]
    share = _share_by(moths, np.append(begins, begins[-1] + 1.0))
    a_night = number * np.diff(share)
    figures = defaults.figures
    ages = (figures.female_pairing_nights.high, figures.male_pairing_nights.high)
    both = _both(by_sex(moths * DAY_S), begins, number, ages)
    emerging = tuple(
        Emerging(on, float(n), float(chance))
        for on, n, chance in zip(evenings, a_night, both, strict=True)
        if n > 0.05 or chance >= 0.05
    )
    runs = stretches(both >= LIKELY)
    nights = tuple(Nights(evenings[a], evenings[b]) for a, b in runs)
    holds = bool(nights) and _are_pupae(asked)
    held = _held_back(moths, begins, number, ages) if holds else None
    return emerging, nights, held


def _are_pupae(asked: Asked) -> bool:
    return any(
        group.windows and group.windows[0].event == "emerge" for group in asked.groups
    )


def _ranks(window: Window, asked: Asked) -> Array:
    """Draw when evenly spaced moths of a window emerge, (n_draws, n_ranks) [days]."""
    levels = even_levels(_DRAWS, np.random.default_rng(window.number))
    leaving = window_leaving(window, Stage.PUPA, not_before=asked.on.toordinal() + 1.0)
    passing = passings([leaving], levels)[0]
    n = min(window.number, _RANKS)
    z = np.asarray(ndtri((np.arange(n) + 0.5) / n), dtype=np.float64)
    spread = np.where(z < 0, passing.early[:, None], passing.late[:, None])
    with np.errstate(invalid="ignore"):
        found = passing.half[:, None] + spread * z
    return np.where(np.isfinite(found), found, np.inf)


def _share_by(moths: Array, days: Array) -> Array:
    """Mean share that has emerged by each day."""
    return np.asarray((moths[:, :, None] <= days).mean(axis=(0, 1)))


def _both(
    times: SexTimes, begins: Array, number: int, ages: tuple[float, float]
) -> Array:
    """Chance of both sexes by night; half are taken to be of either sex."""
    return overlap(
        times,
        (begins + 1.0) * DAY_S,
        females=number // 2,
        males=number - number // 2,
        female_nights=ages[0],
        male_nights=ages[1],
    )


def _held_back(
    moths: Array, begins: Array, number: int, ages: tuple[float, float]
) -> HeldBack | None:
    """Return the best hold of the males, the shortest of equals."""
    if number < 2:
        return None
    nights = [
        int(
            (
                _both(by_sex(moths * DAY_S, held_back_days=days), begins, number, ages)
                >= LIKELY
            ).sum()
        )
        for days in range(MOST_HELD + 1)
    ]
    best = 1 + int(np.argmax(nights[1:]))
    return HeldBack(best, nights[best], nights[0])


# winter or not


def _direct(asked: Asked, leading: Forecast, within: Reach) -> Direct | None:
    winter = asked.sheet.winter
    if not winter.may_fly_same_year or winter.stage is not Stage.PUPA:
        return None
    if within.sky is None or abs(within.sky[0]) < READS_SKY_FROM:
        return None
    days = _sensitive(asked, leading)
    if days is None:
        return None
    lat, lon = within.sky
    critical = CRITICAL_H + CRITICAL_PER_DEGREE * (abs(lat) - CRITICAL_AT)
    epoch = dt.date(1970, 1, 1).toordinal()
    chance = direct_share(
        (days - epoch) * DAY_S,
        lat=lat,
        lon=lon,
        critical_h=critical,
        spread_h=CRITICAL_SPREAD_H,
    )
    if np.isnan(chance):
        return None
    middle = float(np.median(days[np.isfinite(days)]))
    return Direct(chance, dt.date.fromordinal(int(middle)), critical)


def _sensitive(asked: Asked, leading: Forecast) -> Array | None:
    """Return the days on which its larvae read the day's length: in the last instar."""
    last = leading.window(asked.sheet.larval_stages[-1])
    levels = even_levels(_DRAWS, np.random.default_rng(leading.brood_id))
    if last is not None and last.half is not None:
        return _at(last.half, levels)
    if leading.window("wander") is not None:
        return np.array([asked.on.toordinal() + 0.5])
    lies = None if asked.went_down is None else asked.on.toordinal() - asked.went_down
    if asked.went_down is not None and lies is not None and lies <= SETTLED_DAYS:
        return np.array([asked.went_down - _BEFORE_GOING_DOWN])
    return None


# leaf-drop


def leaf_drop(asked: Asked, within: Reach) -> LeafDrop | None:
    """Return the risk to those that feed; None where none does, or all long before."""
    feeding = [
        window
        for group in asked.groups
        if (window := group.window("wander")) is not None
    ]
    if not feeding or not asked.hosts:
        return None
    host = asked.hosts[0]
    bare = within.bare_on(host, asked.on)
    if bare is None:
        late = any(_is_late(window.last, asked.on) for window in feeding)
        return LeafDrop(host, None, None, None) if late else None
    levels = even_levels(_DRAWS, np.random.default_rng(1))
    by_s = bare.toordinal() * DAY_S
    last = half = 1.0
    for window in feeding:
        spans = (window.first, window.half, window.last)
        times = np.stack([_at(span, levels) for span in spans], axis=1)
        chance = done_by(times * DAY_S, by_s, BARE_SPREAD_DAYS)
        # broods groups of which are late together: the worst of them tells
        last, half = min(last, chance.last), min(half, chance.half)
    return LeafDrop(host, bare, last, half)


def _is_late(span: Span | None, on: dt.date) -> bool:
    """Tell whether the last may feed in October or later, or beyond sight."""
    if span is None or span.open_end:
        return True
    return span.high.date() >= dt.date(on.year if on.month < 11 else on.year + 1, 10, 1)


def _at(span: Span | None, levels: Array) -> Array:
    """Read an 80 % window at levels of the normal [days]."""
    if span is None:
        return np.full(len(levels), np.inf)
    low, middle, high = (in_days(x) for x in (span.low, span.middle, span.high))
    slope = np.where(levels < 0, middle - low, high - middle)
    return np.asarray(middle + slope * levels / TENTH)


def _hundredths(chance: float) -> str:
    return str(min(max(round(chance * 100), 1), 99))
