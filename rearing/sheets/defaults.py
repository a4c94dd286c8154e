"""Class defaults: what holds for a species until its own sheet knows better."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from rearing.sheets.form import Table, caution, figure, open_table
from rearing.sheets.shares import LarvalShares, read_shares
from rearing.sheets.sheet import Caution, Density, Figure, Size, StageSheet
from rearing.sheets.stages import read_stage
from rearing.terms import INSTARS, BoxKind, Stage

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class Figures:
    """The keeper's rules of thumb; the unit ends each name."""

    egg_window_days: Figure
    first_look_days: Figure
    first_disturb_days: Figure
    clean_small_days: Figure
    clean_l4_days: Figure
    clean_last_days: Figure
    moult_rest_hours: Figure
    last_moult_rest_hours: Figure
    headcount_days: Figure
    quarantine_days: Figure
    new_livestock_days: Figure
    leaf_test_larvae: Figure
    leaf_test_days: Figure
    tub_closed_days: Figure
    tub_closed_hawkmoth_days: Figure
    cold_weeks: Figure
    cold_c: Figure
    cold_check_weeks: Figure
    after_cold_days: Figure
    female_pairing_nights: Figure
    male_pairing_nights: Figure
    fridge_hold_days: Figure
    post_before_hatch_days: Figure
    post_c: Figure
    safe_hatch_before_leaf_drop_days: Figure
    cut_per_eaten: Figure
    cut_per_eaten_hot: Figure
    appetite_spread: Figure
    peak_day_per_mean_day: Figure
    instars: Figure
    individual_spread: Figure
    assumed_c: Figure


@dataclass(frozen=True, slots=True)
class LeafLife:
    """Days that leaf stays good in a container at a temperature."""

    container: BoxKind
    at_c: float
    days: Figure
    hosts: tuple[str, ...] = ()
    """Latin names of genera it holds for; empty: any."""


@dataclass(frozen=True, slots=True)
class Defaults:
    """Everything in ``_defaults.toml``."""

    figures: Figures
    leaf_life: tuple[LeafLife, ...]
    density: tuple[Density, ...]
    leaf_g: Mapping[Size, Mapping[Stage, Figure]]
    larval_shares: LarvalShares
    wandering: StageSheet
    pupa_after_cold: StageSheet
    cautions: tuple[Caution, ...]
    """What holds for every species."""
    families: Mapping[str, Mapping[str, StageSheet]]
    """Family name → "egg", "larva" or "pupa" → what holds for its species."""


def read_defaults(path: Path) -> Defaults:
    """Read the class defaults; a fault in them is a `BrokenSheet` too."""
    table = open_table(path)
    shares = read_shares(table)
    defaults = Defaults(
        figures=_figures(table.needed_section("figures")),
        leaf_life=tuple(_leaf_life(row) for row in table.rows("leaf_life")),
        density=tuple(read_density(row) for row in table.rows("density")),
        leaf_g=_leaf_classes(table.needed_section("leaf_g")),
        larval_shares=shares,
        wandering=read_stage(table.needed_section("wandering")),
        pupa_after_cold=read_stage(table.needed_section("pupa_after_cold")),
        cautions=tuple(caution(row) for row in table.rows("cautions")),
        families=_families(table.needed_section("families")),
    )
    table.finish()
    return defaults


def _figures(table: Table) -> Figures:
    read = {
        field.name: figure(table.needed_section(field.name), -100, 1000)
        for field in fields(Figures)
    }
    table.finish()
    return Figures(**read)


def _leaf_life(row: Table) -> LeafLife:
    container = row.choice("container", BoxKind)
    at_c = row.number("at_c", -5, 45)
    low, high = row.span("days", 0, 100)
    hosts = tuple(row.text("hosts", "").split())
    source, tag = row.source()
    row.finish()
    return LeafLife(container, at_c, Figure(low, high, source, tag), hosts)


def read_density(row: Table) -> Density:
    """Read how many larvae of an instar a container takes."""
    instar = row.choice("instar", Stage)
    if not instar.is_larva:
        raise row.broken("instar", f'"{instar.value}" is not an instar.')
    container = row.choice("container", BoxKind)
    low, high = row.span("larvae", 0, 1000)
    source, tag = row.source()
    row.finish()
    return Density(instar, container, low, high, source, tag)


def _leaf_classes(table: Table) -> dict[Size, dict[Stage, Figure]]:
    classes = {size: read_leaf(table.needed_section(size.value)) for size in Size}
    table.finish()
    return classes


def read_leaf(table: Table) -> dict[Stage, Figure]:
    """Read grams of fresh leaf eaten in each instar, under one source."""
    grams = {
        instar: table.number(instar.value, 0, 1000)
        for instar in INSTARS
        if table.has(instar.value)
    }
    source, tag = table.source()
    table.finish()
    return {instar: Figure(g, g, source, tag) for instar, g in grams.items()}


def _families(table: Table) -> dict[str, dict[str, StageSheet]]:
    families: dict[str, dict[str, StageSheet]] = {}
    for family in table.keys():  # noqa: SIM118 - Table is no mapping
        section = table.needed_section(family)
        families[family] = {
            stage: read_stage(part)
            for stage in ("egg", "larva", "pupa")
            if (part := section.section(stage)) is not None
        }
        section.finish()
    return families
