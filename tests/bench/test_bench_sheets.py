"""The shelf of sheets against the bare parser on the same files."""

from __future__ import annotations

import tomllib
from time import perf_counter

from rearing import sheets
from rearing.belongings import resource


def best_of(times: int, *, bare: bool) -> float:
    """Return the quickest of several runs [s]."""
    texts = [path.read_text("utf-8") for path in resource("species").glob("*.toml")]
    took = []
    for _ in range(times):
        start = perf_counter()
        if bare:
            for text in texts:
                tomllib.loads(text)
        else:
            sheets.load_all().all()
        took.append(perf_counter() - start)
    return min(took)


def test_reading_all_sheets_costs_little_over_parsing_them() -> None:
    bare, whole = best_of(5, bare=True), best_of(5, bare=False)
    print(  # noqa: T201 - a benchmark reports on the terminal
        f"all sheets {whole * 1000:.1f} ms, bare parser {bare * 1000:.1f} ms"
    )
    assert whole < 2 * bare


def test_opening_the_shelf_reads_no_species() -> None:
    bare = best_of(5, bare=True)
    took = []
    for _ in range(5):
        start = perf_counter()
        sheets.load_all()
        took.append(perf_counter() - start)
    assert min(took) < bare / 2
