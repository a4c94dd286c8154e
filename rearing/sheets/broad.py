"""The broad prior: how threshold and constant run over all Lepidoptera."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.sheets.form import Table, open_table

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from rearing.sheets.sheet import Tag

STAGES = ("egg", "larva", "pupa")


@dataclass(frozen=True, slots=True)
class BroadPrior:
    """One stage: T0 over data sets, and ln K = intercept + slope·T0 + residual."""

    n: int
    t0_mean_c: float
    t0_sd_c: float
    ln_k_intercept: float
    ln_k_slope: float
    residual_sd: float
    within_n: int
    within_species: int
    within_t0_sd_c: float
    """Spread of T0 between data sets of one species [°C]."""
    within_residual_sd: float
    """Spread of ln K about its line, between data sets of one species."""
    within_ln_days_sd: float
    """Spread of ln days at 25 °C between data sets of one species."""
    source: str
    tag: Tag


def read_broad(path: Path) -> Mapping[str, BroadPrior]:
    """Read the broad prior of egg, larva and pupa."""
    table = open_table(path)
    source, tag = table.source()
    table.text("handling")
    priors = {
        stage: _prior(table.needed_section(stage), source, tag) for stage in STAGES
    }
    table.finish()
    return priors


def _prior(part: Table, source: str, tag: Tag) -> BroadPrior:
    prior = BroadPrior(
        n=part.whole("n", 3, 10_000),
        t0_mean_c=part.number("t0_mean_c", -5, 25),
        t0_sd_c=part.number("t0_sd_c", 0.01, 10),
        ln_k_intercept=part.number("ln_k_intercept", 0, 10),
        ln_k_slope=part.number("ln_k_slope", -1, 0),
        residual_sd=part.number("residual_sd", 0.01, 2),
        within_n=part.whole("within_n", 2, 10_000),
        within_species=part.whole("within_species", 1, 10_000),
        within_t0_sd_c=part.number("within_t0_sd_c", 0.01, 10),
        within_residual_sd=part.number("within_residual_sd", 0.01, 2),
        within_ln_days_sd=part.number("within_ln_days_sd", 0.01, 2),
        source=source,
        tag=tag,
    )
    part.finish()
    return prior
