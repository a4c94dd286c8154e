"""A year's tracing question in a book of 2,000 open boxes, against the bare lines."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from time import perf_counter
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.tracing import trace
from rearing.records.rows import BoxRow
from rearing.sheets.shelf import load_all
from tests.bench.many_boxes import ON, make_book

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def bare_lines(path: Path) -> int:
    """Count by box the visits of the year with the driver alone."""
    with closing(sqlite3.connect(path)) as bare:
        return len(
            bare.execute(
                'SELECT box_id, "on", max(at) FROM visit GROUP BY box_id, "on"'
            ).fetchall()
        )


def best_of(run: Callable[[], object], times: int = 3) -> float:
    taken = []
    for _ in range(times):
        start = perf_counter()
        run()
        taken.append(perf_counter() - start)
    return min(taken)


@pytest.mark.slow
def test_a_years_tracing_costs_little_more_than_reading_its_visits(
    tmp_path: Path,
) -> None:
    path = tmp_path / "many.rearing"
    with make_book(path) as book:
        shelf, box = load_all(), book.one(BoxRow, 100)
        assert len(trace(book, shelf, box, ON, days=365).neighbours) > 1000

        ours = best_of(lambda: trace(book, shelf, box, ON, days=365))
        bare = best_of(lambda: bare_lines(path))

    print(f"a year's tracing: {ours:.3f} s; bare visits: {bare:.3f} s")  # noqa: T201
    assert ours < 6 * bare
