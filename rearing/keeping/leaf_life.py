"""How long the leaf of a box lasts: until it wilts, or until it is eaten."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.sheets.advice import leaf_life
from rearing.terms import BoxKind

if TYPE_CHECKING:
    from rearing.sheets.defaults import Defaults
    from rearing.sheets.sheet import SpeciesSheet

GROWING = frozenset({BoxKind.SLEEVE, BoxKind.POT_PLANT, BoxKind.TUB})
"""Containers in which leaf is not renewed: it grows there, or nobody eats."""

HOT_C = 30.0
"""From here on a place's own leaf life, learnt on usual days, no longer holds."""

LAST_INSTAR_DAYS = 1.0
"""The last instar is fed every day (common practice): what is left is stripped."""


@dataclass(frozen=True, slots=True)
class LeafLife:
    """Days that leaf lasts, and whether it is eaten before it wilts."""

    days: float
    is_eaten: bool


def life_of_leaf(
    defaults: Defaults,
    kind: BoxKind,
    *,
    at_c: float,
    host_latin: str,
    place_days: float | None,
    in_last_instar: bool,
) -> LeafLife | None:
    """Return how long leaf lasts in a box; None where it is not renewed.

    A place's own leaf life, which the keeper learnt there, stands before the table's
    until it is so hot that the table's is shorter.
    """
    if kind in GROWING:
        return None
    table = leaf_life(defaults, kind, at_c, host_latin)
    known = [place_days] if place_days is not None else []
    if table is not None and (place_days is None or at_c >= HOT_C):
        known.append(table.middle)
    if not known:
        return None
    wilts = min(known)
    if in_last_instar and wilts > LAST_INSTAR_DAYS:
        return LeafLife(LAST_INSTAR_DAYS, is_eaten=True)
    return LeafLife(wilts, is_eaten=False)


def latin_of(sheet: SpeciesSheet, host: str | None) -> str:
    """Return a host's Latin name by the sheet; another's stays as it is."""
    for known in sheet.hosts:
        if host and known.name.casefold() in host.casefold():
            return known.latin
    return host or ""
