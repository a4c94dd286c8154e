"""Two books compared line by line: what a rebuilt sample has to agree in."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def differences(one: Path, other: Path) -> Iterator[str]:
    """Say table by table where two books differ; nothing where they agree."""
    with (
        closing(sqlite3.connect(one)) as left,
        closing(sqlite3.connect(other)) as right,
    ):
        tables = [_tables(connection) for connection in (left, right)]
        if tables[0] != tables[1]:
            yield f"tables: {sorted(set(tables[0]) ^ set(tables[1]))}"
            return
        for table in tables[0]:
            rows = [_rows(connection, table) for connection in (left, right)]
            if rows[0] != rows[1]:
                yield f"{table}: {_first_difference(*rows)}"


def _tables(connection: sqlite3.Connection) -> list[str]:
    found = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' "
        "AND name NOT LIKE 'sqlite_%' ORDER BY name"
    )
    return [name for (name,) in found]


def _rows(connection: sqlite3.Connection, table: str) -> list[tuple[object, ...]]:
    # The name comes from the file's own list of tables.
    return list(connection.execute(f'SELECT * FROM "{table}" ORDER BY 1'))


def _first_difference(
    one: list[tuple[object, ...]], other: list[tuple[object, ...]]
) -> str:
    if len(one) != len(other):
        return f"{len(one)} lines against {len(other)}"
    return next(
        f"{left} against {right}"
        for left, right in zip(one, other, strict=True)
        if left != right
    )
