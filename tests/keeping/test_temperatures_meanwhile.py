"""A file going in while the keeper writes on; what a cut-off import leaves unseen."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from rearing.keeping import places
from rearing.keeping.heat_page import place_lines
from rearing.keeping.temperatures_in import Arriving, FileOrigin, take_file_in
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.laying_in import lay_in, made_to_count
from rearing.records.reading_arrays import INSTANTS, in_order
from rearing.records.readings import Origin, readings_between
from rearing.records.rows import ReadingImportRow

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

ENTRY = Entry(dt.datetime(2021, 6, 12, 18, tzinfo=dt.UTC), "Ana")
MANY = 100_000


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "shelf.rearing") as book:
        places.add_place(book, ENTRY, name="Shelf")
        yield book


def column(celsius: list[float] | Any, first: int = 0) -> Arriving:
    values = np.asarray(celsius, dtype=float)
    at_s = 1_600_000_000 + 60 * (first + np.arange(len(values)))
    return Arriving("T", 1, at_s=at_s, celsius=values)


def take(
    book: Book, one: Arriving, progress: Callable[[float], None] | None = None
) -> str:
    origin = FileOrigin("a.csv")
    return take_file_in(
        book, ENTRY, origin=origin, arriving=[one], progress=progress
    ).sentence


def test_an_entry_made_meanwhile_is_taken_at_once(shelf: Book) -> None:
    made: list[float] = []

    def write_on(share: float) -> None:
        with Book.open(shelf.path) as other:
            places.change_place(other, ENTRY, place_id=1, note=f"at {share}")
            made.append(share)
            # Half a file is no reading of the place.
            assert readings_between(other, 1, 0, 2e10)[0].size == 0
            assert place_lines(other, ENTRY.on)[0].readings == 0

    take(shelf, column(np.full(MANY, 20.0)), write_on)
    assert len(made) >= 4
    assert readings_between(shelf, 1, 0, 2e10)[0].size == MANY
    lines = shelf.journal()
    assert sum("readings for Shelf" in line.sentence for line in lines) == 1
    shelf.take_back(ENTRY)
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 0


def test_what_was_put_down_and_never_counted_is_unseen(shelf: Book) -> None:
    """As after a power cut between the rows and the change that lets them count."""
    before = shelf.journal()
    one = column([20.0] * 500)
    assert one.at_s is not None
    assert one.celsius is not None
    rows = in_order(INSTANTS, one.at_s, one.celsius)
    lay_in(shelf, Origin(1, "a.csv", "T"), rows, None, None)
    assert shelf.journal() == before
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 0
    assert place_lines(shelf, ENTRY.on)[0].readings == 0
    assert take(shelf, one) == "500 readings for Shelf from a.csv"
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 500
    assert shelf.unsound() == ()


def test_two_files_at_once_never_count_twice(shelf: Book) -> None:
    one = column([20.0] * 500)
    assert one.at_s is not None
    assert one.celsius is not None
    rows = in_order(INSTANTS, one.at_s, one.celsius)
    laid = lay_in(shelf, Origin(1, "a.csv", "T"), rows, None, None)
    take(shelf, one)
    with pytest.raises(Refusal, match="meanwhile"), shelf.change(ENTRY) as pen:
        made_to_count(pen, laid, 1)
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 500


def test_a_refused_file_leaves_no_row(shelf: Book) -> None:
    def another(share: float) -> None:
        with Book.open(shelf.path) as other:
            take(other, column([18.0] * 10))

    with pytest.raises(Refusal, match="meanwhile"):
        take(shelf, column([20.0] * 500), another)
    assert [row.number for row in shelf.all(ReadingImportRow)] == [10]
    with shelf.reading() as connection:
        left = connection.exec_driver_sql("SELECT count(*) FROM reading")
        assert left.scalar_one() == 10


def test_what_disagrees_is_told_and_the_books_stay(shelf: Book) -> None:
    take(shelf, column([20.0, 20.0, 20.0, 20.0]))
    told = take(shelf, column([20.0, 21.5, 19.0, 20.04, 22.0]))
    assert told == (
        "1 reading for Shelf from a.csv; 4 in the book already (2 differ by up to "
        "1.5°, and the book's stay)"
    )
    assert readings_between(shelf, 1, 0, 2e10)[1].tolist() == [20, 20, 20, 20, 22]
    with pytest.raises(Refusal, match=r"1 differs by up to 3\.0°, and the book's stay"):
        take(shelf, column([20.0, 23.0]))
