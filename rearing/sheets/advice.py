"""Rules of thumb by container, instar and warmth, read off sheet and defaults."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from rearing.terms import INSTARS, BoxKind, Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.sheets.defaults import Defaults, LeafLife
    from rearing.sheets.sheet import Density, Figure, SpeciesSheet

_LAST_IN_TABLE = Stage.L5


def room_for(sheet: SpeciesSheet, instar: Stage, container: BoxKind) -> Density | None:
    """Return how many larvae a container takes, or None where no rule is known.

    An instar beyond the fifth is given the room of a fifth.
    """
    if instar.is_larva and INSTARS.index(instar) > INSTARS.index(_LAST_IN_TABLE):
        instar = _LAST_IN_TABLE
    for row in sheet.density:
        if row.instar is instar and row.container is container:
            return row
    return None


def leaf_life(
    defaults: Defaults, container: BoxKind, celsius: float, host_latin: str = ""
) -> Figure | None:
    """Return the days that leaf stays good [d], or None where it goes on living.

    Between the temperatures of the table the days run in a straight line; beyond
    them the nearest holds. A rule for the host's genus stands before the usual one.
    """
    genus = host_latin.partition(" ")[0]
    rows = [row for row in defaults.leaf_life if row.container is container]
    of_host = [row for row in rows if genus in row.hosts]
    usable = of_host or [row for row in rows if not row.hosts]
    return _between(sorted(usable, key=_warmth), celsius) if usable else None


def clean_every(defaults: Defaults, sheet: SpeciesSheet, instar: Stage) -> Figure:
    """Return the days between cleanings of a box of this instar [d]."""
    figures = defaults.figures
    number = INSTARS.index(instar) + 1
    if number >= sheet.instars.usual:
        return figures.clean_last_days
    return figures.clean_l4_days if number >= 4 else figures.clean_small_days


def _warmth(row: LeafLife) -> float:
    return row.at_c


def _between(rows: Sequence[LeafLife], celsius: float) -> Figure:
    if celsius <= rows[0].at_c:
        return rows[0].days
    for cool, warm in pairwise(rows):
        if celsius <= warm.at_c:
            part = (celsius - cool.at_c) / (warm.at_c - cool.at_c)
            return replace(
                warm.days,
                low=cool.days.low + part * (warm.days.low - cool.days.low),
                high=cool.days.high + part * (warm.days.high - cool.days.high),
            )
    return rows[-1].days
