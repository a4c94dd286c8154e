"""How the larva's heat is shared among its instars, and how species differ in that."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt
from typing import TYPE_CHECKING

from rearing.terms import INSTARS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.sheets.form import Table
    from rearing.sheets.sheet import Tag

FIVE = INSTARS[:5]

LEAST_SPECIES = 3
"""A spread between species is not to be read from fewer."""


@dataclass(frozen=True, slots=True)
class InstarDays:
    """Days of each of five instars, as recorded of one species."""

    species: str
    days: tuple[float, ...]
    source: str
    tag: Tag

    @property
    def ln_shares(self) -> tuple[float, ...]:
        """Logs of the shares of the whole."""
        return tuple(log(day / sum(self.days)) for day in self.days)


@dataclass(frozen=True, slots=True)
class LarvalShares:
    """The shares of a species that nobody recorded: their mean, and its spread.

    `ln_sd` is the spread of ln share of an instar: that between the species on
    record, all five instars taken together, and what so few leave open of the mean.
    """

    five: tuple[float, ...]
    ln_sd: float
    species: int
    records: tuple[InstarDays, ...]


def read_shares(table: Table) -> LarvalShares:
    """Read ``[[larval_shares]]``; several records of one species count once."""
    records = tuple(_record(row) for row in table.rows("larval_shares"))
    if not records:
        raise table.broken("larval_shares", "this section is missing.")
    if len({record.species for record in records}) < LEAST_SPECIES:
        raise table.broken("larval_shares", f"needs {LEAST_SPECIES} species or more.")
    return pooled(records)


def pooled(records: Sequence[InstarDays]) -> LarvalShares:
    """Take the mean of the logs over species, and the spread about it."""
    by_species: dict[str, list[tuple[float, ...]]] = {}
    for record in records:
        by_species.setdefault(record.species, []).append(record.ln_shares)
    rows = [_means(own) for own in by_species.values()]
    n, middle = len(rows), _means(rows)
    away = [(x - m) ** 2 for row in rows for x, m in zip(row, middle, strict=True)]
    between = sum(away) / (len(FIVE) * (n - 1))
    whole = sum(exp(m) for m in middle)
    five = tuple(exp(m) / whole for m in middle)
    return LarvalShares(five, sqrt(between * (1 + 1 / n)), n, tuple(records))


def _means(rows: Sequence[tuple[float, ...]]) -> tuple[float, ...]:
    return tuple(sum(column) / len(rows) for column in zip(*rows, strict=True))


def _record(row: Table) -> InstarDays:
    species = row.text("species")
    days = tuple(row.number(instar.value, 0.1, 100) for instar in FIVE)
    source, tag = row.source()
    row.finish()
    return InstarDays(species, days, source, tag)
