"""Reading one species sheet; what it leaves out is filled from the defaults."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.sheets.defaults import read_density, read_leaf
from rearing.sheets.form import (
    Table,
    caution,
    figure,
    figure_or_none,
    open_table,
    saying,
)
from rearing.sheets.plain import plain_sheet, short_name
from rearing.sheets.sheet import (
    Adult,
    Calling,
    Eggs,
    Figure,
    Host,
    Instars,
    Law,
    Pupation,
    PupationSheet,
    Size,
    SpeciesSheet,
    StageSheet,
    Winter,
)
from rearing.sheets.stages import read_stage
from rearing.terms import INSTARS, LawFlag, Stage

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.sheets.defaults import Defaults

_CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
_STAGES = (Stage.EGG, *INSTARS, Stage.WANDERING, Stage.PUPA)


def name_of(path: Path) -> str:
    """Return the species a sheet is for: its file name, underscores as spaces."""
    words = path.stem.replace("_", " ").strip()
    return words[:1].upper() + words[1:]


def read_sheet(path: Path, defaults: Defaults) -> SpeciesSheet:
    """Read a species sheet or raise `BrokenSheet` with file, key and reason."""
    table = open_table(path)
    sheet = _species(table.needed_section("species"), path, defaults)
    sheet = replace(
        sheet,
        instars=_instars(table.section("instars"), sheet.instars),
        stages=_stages(table),
        larva=_stage(table, "larva"),
        eggs=_eggs(table.section("eggs")),
        adult=_adult(table.section("adult")),
        hosts=tuple(_host(row) for row in table.rows("hosts")),
        leaf_g=_leaf(table, sheet),
        winter=_winter(table.section("winter"), sheet.winter, defaults),
        pupation=_pupation(table.section("pupation"), sheet.pupation),
        density=(*(read_density(row) for row in table.rows("density")), *sheet.density),
        cautions=tuple(caution(row) for row in table.rows("cautions")),
        law=_law(table.section("law"), sheet.law),
    )
    sheet = _habits(table, sheet)
    table.finish()
    return sheet


def _species(part: Table, path: Path, defaults: Defaults) -> SpeciesSheet:
    name = part.text("name")
    if name.casefold() != name_of(path).casefold():
        raise part.broken(
            "name", f'"{name}" is not what the file is called ({path.name}).'
        )
    plain = plain_sheet(name, part.text("family"), part.choice("size", Size), defaults)
    source, tag = part.source()
    sheet = replace(
        plain,
        short=part.text("short", short_name(name)),
        english=part.text("english", ""),
        note=part.text("note", ""),
        source=source,
        tag=tag,
        path=path,
    )
    part.finish()
    return sheet


def _instars(part: Table | None, otherwise: Instars) -> Instars:
    if part is None:
        return otherwise
    usual = part.whole("usual", 3, len(INSTARS))
    low, high = part.whole("low", 3, 15), part.whole("high", 3, 15)
    if not low <= usual <= high:
        raise part.broken("usual", f"{usual} is not between low and high.")
    varies = part.text("varies", "")
    source, tag = part.source()
    part.finish()
    return Instars(usual, low, high, varies, source, tag)


def _stage(table: Table, key: str) -> StageSheet:
    part = table.section(key)
    return StageSheet() if part is None else read_stage(part)


def _stages(table: Table) -> dict[Stage, StageSheet]:
    return {
        stage: _stage(table, stage.value) for stage in _STAGES if table.has(stage.value)
    }


def _eggs(part: Table | None) -> Eggs:
    if part is None:
        return Eggs(None, None)
    eggs = Eggs(
        per_female=figure_or_none(part.section("per_female"), 1, 20_000),
        nights=figure_or_none(part.section("nights"), 1, 60),
    )
    part.finish()
    return eggs


def _adult(part: Table | None) -> Adult:
    if part is None:
        return Adult(None, None, None)
    feeds, calling = part.section("feeds"), part.section("calling")
    adult = Adult(
        feeds=None if feeds is None else saying(feeds),
        life_days=figure_or_none(part.section("life_days"), 0.1, 400),
        calling=None if calling is None else _calling(calling),
    )
    part.finish()
    return adult


def _calling(part: Table) -> Calling:
    start, end = part.text("start"), part.text("end")
    for key, clock in (("start", start), ("end", end)):
        if not _CLOCK.fullmatch(clock):
            raise part.broken(key, f'"{clock}" is not a clock time such as "22:30".')
    note = part.text("note", "")
    source, tag = part.source()
    part.finish()
    return Calling(start, end, note, source, tag)


def _host(row: Table) -> Host:
    name, latin = row.text("name"), row.text("latin")
    poisonous = row.yes("poisonous", default=False)
    advice = row.text("caution", "")
    if poisonous and not advice:
        raise row.broken("caution", "a poisonous host needs its caution in words.")
    note = row.text("note", "")
    source, tag = row.source()
    row.finish()
    return Host(name, latin, note, poisonous, advice, source, tag)


def _leaf(table: Table, sheet: SpeciesSheet) -> dict[Stage, Figure]:
    part = table.section("leaf_g")
    own = {} if part is None else read_leaf(part)
    return {**sheet.leaf_g, **own}


def _winter(part: Table | None, otherwise: Winter, defaults: Defaults) -> Winter:
    if part is None:
        return otherwise
    stage = part.choice("stage", Stage) if part.has("stage") else None
    cold = figure_or_none(part.section("cold_weeks"), 0, 60)
    if stage not in {None, Stage.ADULT} and cold is None:
        cold = defaults.figures.cold_weeks
    same_year = part.yes("may_fly_same_year", default=False)
    lies_over = part.yes("lies_over", default=False)
    note = part.text("note", "")
    source, tag = part.source()
    part.finish()
    return Winter(stage, same_year, lies_over, note, source, tag, cold)


def _pupation(part: Table | None, otherwise: PupationSheet) -> PupationSheet:
    if part is None:
        return otherwise
    mode = part.choice("mode", Pupation)
    own = figure_or_none(part.section("undisturbed_days"), 0, 200)
    note = part.text("note", "")
    source, tag = part.source()
    part.finish()
    shut = own or otherwise.undisturbed_days
    return PupationSheet(mode, note, source, tag, shut)


def _law(part: Table | None, otherwise: Law) -> Law:
    if part is None:
        return otherwise
    flag = part.choice("flag", LawFlag) if part.has("flag") else None
    note = part.text("note")
    source, tag = part.source()
    part.finish()
    return Law(flag, note, source, tag)


def _habits(table: Table, sheet: SpeciesSheet) -> SpeciesSheet:
    feeds = table.section("feeds_as_l1")
    rest = table.section("moult_rest_hours")
    last = table.section("last_moult_rest_hours")
    return replace(
        sheet,
        feeds_as_l1=saying(feeds) if feeds else sheet.feeds_as_l1,
        moult_rest_hours=figure(rest, 0, 400) if rest else sheet.moult_rest_hours,
        last_moult_rest_hours=(
            figure(last, 0, 400) if last else sheet.last_moult_rest_hours
        ),
    )
