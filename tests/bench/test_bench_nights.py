"""Questions to a night book of 2,000 nights, against reading its bare lines."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from time import process_time
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.arrivals import beside_earlier
from rearing.keeping.night_counts import all_nights, nights_of
from rearing.keeping.night_sky import site_sky
from rearing.keeping.years import nights_calendar, suggested_species
from tests.bench.many_nights import LAST, NIGHTS, make_nights

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def bare_lines(path: Path) -> int:
    """Fetch every line of the nights with the driver alone, and group it."""
    with closing(sqlite3.connect(path)) as bare:
        found: dict[object, list[tuple[object, ...]]] = {}
        for table in ("lamp_night", "lamp_check", "arrival"):
            for row in bare.execute(f"SELECT * FROM {table}").fetchall():
                found.setdefault(row[2], []).append(row)
    return len(found)


def best_of(run: Callable[[], object], times: int = 3) -> float:
    taken = []
    for _ in range(times):
        start = process_time()
        run()
        taken.append(process_time() - start)
    return min(taken)


# computed on two shared cores: bare 0.06 s; all 0.37, calendar 0.05, beside 0.03 s
@pytest.mark.slow
def test_a_night_book_of_two_thousand_nights(tmp_path: Path) -> None:
    path = tmp_path / "many.rearing"
    with make_nights(path) as book:
        assert len(all_nights(book, LAST)) == NIGHTS
        (last,) = nights_of(book, LAST, LAST)
        bare = best_of(lambda: bare_lines(path))
        taken = {
            "all": best_of(lambda: all_nights(book, LAST)),
            "one": best_of(lambda: nights_of(book, LAST, LAST)),
            "calendar": best_of(lambda: nights_calendar(book, 2016, LAST)),
            "beside": best_of(lambda: beside_earlier(book, last.row.id, LAST)),
            "keys": best_of(lambda: suggested_species(book, LAST)),
            "sky": best_of(lambda: site_sky(last.site, LAST)),
        }
    for name, seconds in {"bare lines": bare, **taken}.items():
        print(f"2,000 nights, {name}: {seconds:.3f} s")  # noqa: T201
    most = {"all": 15, "one": 1, "calendar": 4, "beside": 2, "keys": 6, "sky": 2}
    over = {
        name: taken[name] / bare for name in most if taken[name] > most[name] * bare
    }
    assert over == {}
