"""The females, and one female's eggs, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.females import Mother, MotherLine

_FEMALES = ("code", "species", "eggs", "nights with a count", "state", "here")
_LAYINGS = ("female", "evening", "pot", "eggs", "how exact", "note")


def females_table(lines: Iterable[MotherLine]) -> Table:
    """Return the list of females."""
    rows = ((x.code, x.taxon, x.eggs, x.nights, x.state, x.is_here) for x in lines)
    return table("Females", _FEMALES, rows)


def layings_table(mother: Mother) -> Table:
    """Return her eggs, a row a night and pot."""
    labels = {line.pot.row.id: line.pot.row.label for line in mother.pots}
    code = mother.row.code
    rows = (
        (code, x.evening, labels.get(x.pot_id), x.number, x.quality, x.note)
        for x in mother.layings
    )
    return table(f"Eggs of {code} by night", _LAYINGS, rows)
