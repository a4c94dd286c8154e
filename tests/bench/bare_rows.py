"""Rows written straight into the tables of a book, as the benchmarks need thousands."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rearing.records import tables as t

if TYPE_CHECKING:
    from rearing.records.book import Writing
    from rearing.records.tables import Base

_FIRST = (t.Place, t.Brood, t.EggPot, t.Box, t.StageLook)
"""What others point at is written first."""


@dataclass(slots=True)
class Rows:
    """Rows to come, by table, with ids given beforehand."""

    kept: dict[type[Base], list[dict[str, object]]] = field(default_factory=dict)

    def add(self, table: type[Base], **values: object) -> int:
        rows = self.kept.setdefault(table, [])
        rows.append({"id": len(rows) + 1, **values})
        return len(rows)

    def write(self, pen: Writing) -> None:
        for table in sorted(self.kept, key=_rank):
            for alike in _alike(self.kept[table]):
                pen.add_unkept(table, alike)


def at(day: dt.date, hour: int = 18) -> dt.datetime:
    """Return an hour of a day, UTC."""
    return dt.datetime.combine(day, dt.time(hour), dt.UTC)


def _rank(table: type[Base]) -> int:
    return _FIRST.index(table) if table in _FIRST else len(_FIRST)


def _alike(lines: list[dict[str, object]]) -> list[list[dict[str, object]]]:
    """Part the rows by the columns they name: one insert takes one set of them."""
    parts: dict[tuple[str, ...], list[dict[str, object]]] = {}
    for line in lines:
        parts.setdefault(tuple(line), []).append(line)
    return list(parts.values())
