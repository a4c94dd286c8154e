"""A sheet made of defaults alone, for a species that nobody has written up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.sheets.sheet import (
    Adult,
    Eggs,
    Instars,
    Law,
    PupationSheet,
    Saying,
    Size,
    SpeciesSheet,
    StageSheet,
    Tag,
    Winter,
)

if TYPE_CHECKING:
    from rearing.sheets.defaults import Defaults
    from rearing.sheets.sheet import Figure

NO_SHEET = "no sheet for this species: class defaults"
DEFAULT = "class default; common practice, no source"
ASK = "Nothing on this sheet. Ask the local authority before you keep or release it."


def plain_sheet(name: str, family: str, size: Size, defaults: Defaults) -> SpeciesSheet:
    """Build the sheet of defaults, which says of each value that it is one."""
    figures = defaults.figures
    unknown = (DEFAULT, Tag.COMMON_PRACTICE)
    return SpeciesSheet(
        name=name,
        short=short_name(name),
        english="",
        family=family,
        size=size,
        source=NO_SHEET,
        tag=Tag.COMMON_PRACTICE,
        note="",
        instars=_instars(figures.instars),
        stages={},
        larva=StageSheet(),
        eggs=Eggs(None, None),
        adult=Adult(None, None, None),
        hosts=(),
        leaf_g=defaults.leaf_g[size],
        winter=Winter(None, False, False, "", *unknown, None),
        pupation=PupationSheet(None, "", *unknown, shut_days(family, defaults)),
        feeds_as_l1=Saying(True, "", *unknown),
        moult_rest_hours=figures.moult_rest_hours,
        last_moult_rest_hours=figures.last_moult_rest_hours,
        density=defaults.density,
        cautions=(),
        law=Law(None, ASK, *unknown),
        path=None,
    )


def short_name(name: str) -> str:
    """Shorten the genus: *Saturnia pyri* becomes *S. pyri*."""
    genus, _, rest = name.partition(" ")
    return f"{genus[:1]}. {rest}" if rest else name


def shut_days(family: str, defaults: Defaults) -> Figure:
    """Days a pupa tub stays shut; hawkmoths are given longer."""
    figures = defaults.figures
    if family == "Sphingidae":
        return figures.tub_closed_hawkmoth_days
    return figures.tub_closed_days


def _instars(figure: Figure) -> Instars:
    return Instars(
        usual=round(figure.middle),
        low=round(figure.low),
        high=round(figure.high),
        varies="",
        source=figure.source,
        tag=figure.tag,
    )
