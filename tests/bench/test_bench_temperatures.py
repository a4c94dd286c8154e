"""A million rows in: as a ratio to the barest csv loop, and in seconds."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.exchange.temperatures import read, understand

if TYPE_CHECKING:
    from pathlib import Path

ROWS = 1_000_000


def bare_loop(path: Path) -> float:
    """Split a million rows and turn one field into a number; nothing else."""
    began = perf_counter()
    total = 0.0
    with path.open(encoding="utf-8", newline="") as stream:
        for row in csv.reader(stream, delimiter=";"):
            total += float(row[1])
    assert total > 0
    return perf_counter() - began


@pytest.mark.slow
def test_a_million_rows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "minutes.csv"
    start = datetime(2020, 1, 1)  # noqa: DTZ001 # a wall clock
    rng = np.random.default_rng(20)
    tenths = (120 + rng.normal(0, 40, ROWS)).round().astype(int).tolist()
    minute = timedelta(minutes=1)
    with path.open("w", encoding="utf-8") as stream:
        for n, value in enumerate(tenths):
            stream.write(f"{start + n * minute:%d.%m.%Y %H:%M};{value / 10}\n")
    bare_s = bare_loop(path)
    began = perf_counter()
    how = understand(path, zone="UTC+01:00", unit="c")
    understood_s = perf_counter() - began
    found = read(path, how)
    whole_s = perf_counter() - began
    # Timed on both sides, as a shared machine may be busier in between.
    bare_s = max(bare_s, bare_loop(path))
    with capsys.disabled():
        print(  # noqa: T201 # a benchmark reports on the terminal
            f"\n{ROWS:,} rows: looked at in {understood_s:.2f} s, read in"
            f" {whole_s - understood_s:.2f} s; bare csv loop {bare_s:.2f} s;"
            f" ratio {whole_s / bare_s:.1f}"
        )
    assert found.kept + sum(found.set_aside_counts.values()) == ROWS
    assert whole_s < 10 * bare_s
