"""A million rows from a file into the book by the import's own jobs."""

from __future__ import annotations

import csv
import datetime as dt
import sqlite3
from contextlib import closing
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.desk.pages.import_job import Look, Read, Stop, Write
from rearing.desk.pages.import_places import found_in
from rearing.desk.tasks import Token
from rearing.keeping.temperatures_in import FileOrigin
from rearing.records.book import Book
from rearing.records.journal import Entry

if TYPE_CHECKING:
    from pathlib import Path

ROWS = 1_000_000

pytestmark = pytest.mark.slow


def told_to_nobody(token: Token, share: float) -> None:
    assert 0 <= share <= 1


class Gaps:
    """Times between two tellings: no longer is the book held at a time."""

    def __init__(self) -> None:
        self.longest_s = 0.0
        self._last: float | None = None

    def told(self, token: Token, share: float) -> None:
        now = perf_counter()
        if self._last is not None:
            self.longest_s = max(self.longest_s, now - self._last)
        self._last = now


def minutes(path: Path) -> Path:
    """Write a computed file of a reading a minute, without a clock change."""
    rng = np.random.default_rng(20)
    tenths = (120 + rng.normal(0, 40, ROWS)).round().astype(int).tolist()
    start, minute = dt.datetime(2019, 1, 1), dt.timedelta(minutes=1)  # noqa: DTZ001 # a wall clock
    with path.open("w", encoding="utf-8") as stream:
        stream.write("time;Temp (°C)\n")
        for n, value in enumerate(tenths):
            stream.write(f"{start + n * minute:%d.%m.%Y %H:%M};{value / 10}\n")
    return path


def bare_s(path: Path, folder: Path) -> float:
    """Split the rows and put one figure of each into a table; nothing else."""
    began = perf_counter()
    with closing(sqlite3.connect(folder / f"{perf_counter()}.db")) as bare, bare:
        bare.execute("CREATE TABLE t (at INTEGER PRIMARY KEY, c REAL)")
        with path.open(encoding="utf-8", newline="") as stream:
            rows = csv.reader(stream, delimiter=";")
            next(rows)
            bare.executemany(
                "INSERT INTO t VALUES (?, ?)",
                ((n, float(row[1])) for n, row in enumerate(rows)),
            )
    return perf_counter() - began


def test_a_million_rows_from_file_to_book(tmp_path: Path) -> None:
    path = minutes(tmp_path / "minutes.csv")
    with Book.make(tmp_path / "b.rearing") as book:
        file = book.path
    before_s = bare_s(path, tmp_path)
    stop = Stop(Token(told_to_nobody))
    began = perf_counter()
    how = Look(path, "UTC+01:00").run()
    looked_s = perf_counter() - began
    read = Read(path, how, stop).run()
    read_s = perf_counter() - began - looked_s
    (found,) = found_in(read, dt.UTC)
    entry = Entry(dt.datetime(2021, 6, 12, tzinfo=dt.UTC))
    arriving = (found.arriving("Attic"),)
    gaps = Gaps()
    stop = Stop(Token(gaps.told))
    Write(file, entry, FileOrigin(path.name), arriving, stop).run()
    whole_s = perf_counter() - began
    # Timed on both sides, as a shared machine may be busier in between.
    kernel_s = max(before_s, bare_s(path, tmp_path))
    print(  # noqa: T201 # a benchmark reports on the terminal
        f"\n{ROWS:,} rows: looked at in {looked_s:.2f} s, read in {read_s:.2f} s, "
        f"written in {whole_s - looked_s - read_s:.2f} s; whole {whole_s:.2f} s; bare "
        f"csv and sqlite {kernel_s:.2f} s; ratio {whole_s / kernel_s:.1f}; "
        f"the book held for at most {gaps.longest_s:.3f} s"
    )
    with Book.open(file) as book:
        assert book.journal(most=1)[0].sentence.startswith("1,000,000 readings")
    # A chunk is a fiftieth; the whole held at once would be as long as the kernel.
    assert gaps.longest_s < 0.3 * kernel_s
    assert whole_s < 8 * kernel_s
