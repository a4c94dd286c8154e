"""A year of one place out of five million readings, by the hour, as the page asks."""

from __future__ import annotations

import datetime as dt
import sqlite3
from contextlib import closing
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.keeping import facts, places
from rearing.keeping.heat_page import series
from rearing.keeping.temperatures_in import Arriving, FileOrigin, take_file_in
from rearing.records.book import Book
from rearing.records.journal import Entry

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

PLACES, EACH, STEP_S = 20, 250_000, 600
ENTRY = Entry(dt.datetime(2021, 6, 12, tzinfo=dt.UTC))
START = dt.datetime(2016, 1, 1, tzinfo=dt.UTC)
YEAR = (dt.date(2018, 1, 1), dt.date(2018, 12, 31))

pytestmark = pytest.mark.slow


def best_of(job: Callable[[], int]) -> float:
    taken = []
    for _ in range(3):
        began = perf_counter()
        job()
        taken.append(perf_counter() - began)
    return min(taken)


def test_a_year_of_a_place_among_five_million_readings(tmp_path: Path) -> None:
    at_s = int(START.timestamp()) + STEP_S * np.arange(EACH)
    celsius = 15 + 5 * np.sin(at_s / 13_750)
    with Book.make(tmp_path / "Many.rearing") as book:
        facts.set_home(book, ENTRY, name="Hiša", zone_name="Europe/Ljubljana")
        for number in range(PLACES):
            arriving = (Arriving("T", None, f"Place {number}", at_s, celsius),)
            take_file_in(book, ENTRY, origin=FileOrigin("a.csv"), arriving=arriving)
        place = places.places(book)[PLACES // 2]
        begin_s = dt.datetime(2018, 1, 1, tzinfo=dt.UTC).timestamp()

        def ours() -> int:
            return len(series(book, place, *YEAR).celsius)

        with closing(sqlite3.connect(book.path)) as bare:

            def kernel() -> int:
                found = bare.execute(
                    "SELECT at_s, celsius FROM reading"
                    " WHERE import_id = ? AND at_s >= ? AND at_s < ?",
                    (PLACES // 2 + 1, begin_s, begin_s + 365 * 86_400),
                ).fetchall()
                return len(found)

            assert ours() == 8760
            assert kernel() == 365 * 86_400 // STEP_S
            ours_s, kernel_s = best_of(ours), best_of(kernel)
    print(  # noqa: T201 # a benchmark reports on the terminal
        f"\na year of a place among {PLACES * EACH:,} readings, one in ten minutes: "
        f"{1_000 * ours_s:.0f} ms, {ours_s / kernel_s:.1f} x bare SQLite"
    )
    assert ours_s < 5 * kernel_s
