"""What to believe of a stage's need of heat, and in words where that comes from.

The best evidence of the sheet is used, in the order of `Evidence`; a family's
thermal values stand above durations nobody dated, its durations below them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import log
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from rearing.sheets.evidence import (
    Found,
    Witness,
    from_broad,
    from_durations,
    from_thermal,
)
from rearing.sheets.sheet import Evidence, StageSheet
from rearing.sheets.words import words_for
from rearing.terms import INSTARS, Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.sheets.broad import BroadPrior
    from rearing.sheets.defaults import Defaults
    from rearing.sheets.sheet import SpeciesSheet
    from rearing.sheets.shelf import SheetShelf

LARVA_GROUP = "larva"
"""Instars share what is not known of the larva."""

HOURS_A_WEEK = 168.0

OWN_DAYS_SD = 0.1
"""Spread of ln K of an instar beside its larva's where its sheet knows the instar: days
are counted by the day, half a day in four or five (derived)."""


@dataclass(frozen=True, slots=True)
class Belief:
    """Threshold T0 [°C] and constant K [degree-days] of a stage, with their spread.

    ln K is normal with mean ``ln_k + ln_k_per_c * (T0 - t0_c)`` and `ln_k_sd`;
    T0 is normal with `t0_c` and `t0_sd_c`.
    """

    stage: Stage
    t0_c: float
    t0_sd_c: float
    ln_k: float
    ln_k_per_c: float
    ln_k_sd: float
    upper_c: float | None
    chill_hours: float
    """Hours of cold to be met before heat counts; 0 where it does not winter."""
    group: str
    """Stages of one group share the draw of T0 and of the rest of ln K."""
    own_sd: float
    """Spread of ln K that an instar has by itself: how the larva's heat is shared."""
    evidence: Evidence
    words: str


_OF_SHELF: WeakKeyDictionary[
    SheetShelf, dict[tuple[int, Stage, bool | None], tuple[SpeciesSheet, Belief]]
] = WeakKeyDictionary()
"""Every page asks for the same beliefs, and the sheets of a shelf do not change."""


def beliefs(
    sheet: SpeciesSheet, shelf: SheetShelf, *, winters: bool | None = None
) -> tuple[Belief, ...]:
    """Return the beliefs of egg, usual instars, wandering and pupa, in that order.

    `winters` says whether the stage that winters does so this time; left out, it
    does unless the species may fly the same year.
    """
    stages = (Stage.EGG, *sheet.larval_stages, Stage.WANDERING, Stage.PUPA)
    return tuple(belief(sheet, stage, shelf, winters=winters) for stage in stages)


def belief(
    sheet: SpeciesSheet,
    stage: Stage,
    shelf: SheetShelf,
    *,
    winters: bool | None = None,
) -> Belief:
    """Return what to believe of one stage of a species; worked out once for a shelf."""
    known = _OF_SHELF.setdefault(shelf, {})
    key = (id(sheet), stage, winters)
    if key not in known:
        # The sheet is kept with it, so that its id is not given again.
        known[key] = (sheet, _belief(sheet, stage, shelf, winters=winters))
    return known[key][1]


def _belief(
    sheet: SpeciesSheet, stage: Stage, shelf: SheetShelf, *, winters: bool | None
) -> Belief:
    after_cold = _is_cold_stage(sheet, stage, winters=winters)
    witnesses = _witnesses(sheet, stage, shelf.defaults, after_cold=after_cold)
    found = _best(witnesses, shelf.broad[_kind(stage)], shelf.defaults)
    need, witness = found.need, found.witness
    cold = sheet.winter.cold_weeks
    return Belief(
        stage=stage,
        t0_c=need.t0_c,
        t0_sd_c=need.t0_sd_c,
        ln_k=need.ln_k + log(witness.share),
        ln_k_per_c=need.ln_k_per_c,
        ln_k_sd=need.ln_k_sd,
        upper_c=need.upper_c,
        chill_hours=cold.low * HOURS_A_WEEK if after_cold and cold else 0.0,
        group=LARVA_GROUP if stage.is_larva else "",
        own_sd=_own_sd(stage, witness, shelf.defaults),
        evidence=found.evidence,
        words=words_for(stage, found, winters=after_cold),
    )


def instar_shares(instars: int, five: Sequence[float]) -> tuple[float, ...]:
    """Return the share of the larva's heat in each of `instars` instars.

    The shares recorded of five instars are read as one curve from hatching to
    wandering, which is cut into as many equal steps as there are instars.
    """
    reached = [0.0]
    for share in five:
        reached.append(reached[-1] + share)

    def at(part: float) -> float:
        place = part * len(five)
        step = min(int(place), len(five) - 1)
        return reached[step] + (place - step) * five[step]

    steps = [at(i / instars) for i in range(instars + 1)]
    return tuple(b - a for a, b in pairwise(steps))


def _kind(stage: Stage) -> str:
    if stage is Stage.EGG:
        return "egg"
    if stage is Stage.PUPA:
        return "pupa"
    return "larva"


def _is_cold_stage(sheet: SpeciesSheet, stage: Stage, *, winters: bool | None) -> bool:
    if stage is not sheet.winter.stage:
        return False
    return not sheet.winter.may_fly_same_year if winters is None else winters


def _own_sd(stage: Stage, witness: Witness, defaults: Defaults) -> float:
    if not stage.is_larva:
        return 0.0
    return OWN_DAYS_SD if witness.share == 1 else defaults.larval_shares.ln_sd


def _share(sheet: SpeciesSheet, stage: Stage, defaults: Defaults) -> float:
    shares = instar_shares(sheet.instars.usual, defaults.larval_shares.five)
    # An instar beyond the usual number is a last instar.
    return shares[min(INSTARS.index(stage), len(shares) - 1)]


def _witnesses(
    sheet: SpeciesSheet, stage: Stage, defaults: Defaults, *, after_cold: bool
) -> tuple[Witness, ...]:
    """List where to look, and what part of the whole the stage is there."""
    own = sheet.stages.get(stage, StageSheet())
    family = defaults.families.get(sheet.family, {}).get(_kind(stage), StageSheet())
    if stage.is_larva:
        share = _share(sheet, stage, defaults)
        return (
            Witness(own),
            Witness(sheet.larva, share=share),
            Witness(family, share=share, is_default=True),
        )
    if stage is Stage.WANDERING:
        family = defaults.wandering
    elif stage is Stage.PUPA and after_cold:
        family = defaults.pupa_after_cold
    return (
        Witness(_of_season(own, after_cold=after_cold)),
        Witness(family, is_default=True),
    )


def _of_season(rows: StageSheet, *, after_cold: bool) -> StageSheet:
    return StageSheet(
        tuple(row for row in rows.thermal if row.after_cold == after_cold),
        tuple(row for row in rows.durations if row.after_cold == after_cold),
    )


def _best(witnesses: Sequence[Witness], prior: BroadPrior, defaults: Defaults) -> Found:
    own = [witness for witness in witnesses if not witness.is_default]
    usual = witnesses[-1]
    for witness in own:
        if witness.rows.thermal:
            return _by_thermal(witness, prior, Evidence.THERMAL)
    t0_prior = _t0_prior(usual, prior)
    for witness in own:
        if any(row.at_low_c is not None for row in witness.rows.durations):
            return _by_days(witness, prior, t0_prior, defaults, Evidence.DURATIONS)
    if usual.rows.thermal:
        return _by_thermal(usual, prior, Evidence.DEFAULT)
    for witness in own:
        if witness.rows.durations:
            return _by_days(witness, prior, t0_prior, defaults, Evidence.UNDATED)
    if usual.rows.durations:
        return _by_days(usual, prior, t0_prior, defaults, Evidence.DEFAULT)
    whole = Witness(StageSheet(), share=usual.share)
    return Found(from_broad(prior), Evidence.BROAD, whole, prior)


def _t0_prior(usual: Witness, prior: BroadPrior) -> tuple[float, float]:
    if usual.rows.thermal:
        need = from_thermal(usual.rows.thermal, prior)
        return need.t0_c, need.t0_sd_c
    return prior.t0_mean_c, prior.t0_sd_c


def _by_thermal(witness: Witness, prior: BroadPrior, evidence: Evidence) -> Found:
    need = from_thermal(witness.rows.thermal, prior)
    return Found(need, evidence, witness, prior)


def _by_days(
    witness: Witness,
    prior: BroadPrior,
    t0_prior: tuple[float, float],
    defaults: Defaults,
    evidence: Evidence,
) -> Found:
    need = from_durations(
        witness.rows.durations,
        t0_prior,
        prior.within_ln_days_sd,
        defaults.figures.assumed_c,
    )
    return Found(need, evidence, witness, prior)
