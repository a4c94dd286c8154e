"""How long leaf stays good in a container, at a temperature, for a host."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

from rearing.terms import BoxKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.sheets.defaults import Defaults, LeafLife

GROWING = frozenset({BoxKind.SLEEVE, BoxKind.POT_PLANT, BoxKind.TUB})
"""Containers in which leaf is not renewed: it grows there, or nobody eats."""


def leaf_life_days(
    defaults: Defaults, kind: BoxKind, host: str | None, at_c: float
) -> float | None:
    """Return the days leaf lasts, read between the table's temperatures.

    None where leaf is not renewed. Above and below the table its end holds.
    """
    if kind in GROWING:
        return None
    rows = [row for row in defaults.leaf_life if row.container is kind]
    rows = rows or [row for row in defaults.leaf_life if row.container is BoxKind.BOX]
    own = [row for row in rows if host and _is_of(host, row)]
    rows = own or [row for row in rows if not row.hosts]
    return _between(sorted(rows, key=lambda row: row.at_c), at_c)


def _is_of(host: str, row: LeafLife) -> bool:
    return any(genus.casefold() in host.casefold() for genus in row.hosts)


def _between(rows: Sequence[LeafLife], at_c: float) -> float | None:
    if not rows:
        return None
    if at_c <= rows[0].at_c:
        return rows[0].days.middle
    for low, high in itertools.pairwise(rows):
        if at_c <= high.at_c:
            part = (at_c - low.at_c) / (high.at_c - low.at_c)
            return low.days.middle + part * (high.days.middle - low.days.middle)
    return rows[-1].days.middle
