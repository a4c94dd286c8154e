"""Temperatures: in by the column, never twice, taken back whole, read as arrays."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rearing.problems import Cancelled, Refusal
from rearing.records.readings import (
    Origin,
    add_daily,
    add_readings,
    daily_between,
    days_not_yet_in,
    not_yet_in,
    readings_between,
    span,
)
from rearing.records.rows import PlaceRow, ReadingImportRow, ReadingSetAsideRow
from tests.records.filled_book import add_place

if TYPE_CHECKING:
    from rearing.records.book import Book
    from rearing.records.journal import Entry

EVER = (-1e12, 1e12)


@dataclass(frozen=True)
class Aside:
    line: int
    text: str
    reason: str


def take_in(
    book: Book, entry: Entry, place_id: int, at_s: object, celsius: object
) -> ReadingImportRow:
    with book.change(entry) as pen:
        pen.say("Temperatures.")
        origin = Origin(place_id, "logger.csv", "T1", "Comma, °C.")
        import_id = add_readings(
            pen, origin, np.asarray(at_s), np.asarray(celsius, dtype=float)
        )
    return book.one(ReadingImportRow, import_id)


def test_readings_come_back_in_order_of_time(
    book: Book, entry: Entry, place_id: int
) -> None:
    row = take_in(book, entry, place_id, [1200, 0, 600], [12.5, 10.0, -3.25])

    at_s, celsius = readings_between(book, place_id, *EVER)

    assert at_s.tolist() == [0, 600, 1200]
    assert celsius.tolist() == [10.0, -3.25, 12.5]
    assert (at_s.dtype.str, celsius.dtype.str) == ("<i8", "<f8")
    assert (row.first_s, row.last_s, row.number) == (0, 1200, 3)
    assert (row.file_name, row.column, row.words) == ("logger.csv", "T1", "Comma, °C.")
    assert not row.withdrawn
    assert not row.daily


@pytest.mark.parametrize("kind", [int, float, np.int64, np.float64])
def test_the_end_of_a_span_is_not_part_of_it(
    book: Book, entry: Entry, place_id: int, kind: type
) -> None:
    take_in(book, entry, place_id, [0, 600, 1200], [1, 2, 3])

    at_s, _ = readings_between(book, place_id, kind(0), kind(1200))

    assert at_s.tolist() == [0, 600]


def test_places_are_told_apart(book: Book, entry: Entry, place_id: int) -> None:
    other = add_place(book, entry, "Loft")
    take_in(book, entry, place_id, [0], [1])
    take_in(book, entry, other, [0, 60], [5, 6])

    assert readings_between(book, place_id, *EVER)[1].tolist() == [1]
    assert readings_between(book, other, *EVER)[1].tolist() == [5, 6]


def test_a_file_read_twice_adds_nothing(
    book: Book, entry: Entry, place_id: int
) -> None:
    take_in(book, entry, place_id, [0, 600], [1, 2])

    with pytest.raises(Refusal, match=r"Nothing new in logger\.csv.*all 2 readings"):
        take_in(book, entry, place_id, [0, 600], [1, 2])

    assert len(book.all(ReadingImportRow)) == 1
    assert len(book.journal()) == 2


def test_an_empty_column_is_refused(book: Book, entry: Entry, place_id: int) -> None:
    with pytest.raises(Refusal, match="holds no reading"):
        take_in(book, entry, place_id, np.zeros(0, dtype=int), [])


def test_only_what_is_new_is_added_and_the_rest_is_counted(
    book: Book, entry: Entry, place_id: int
) -> None:
    take_in(book, entry, place_id, [0, 600, 1200], [1, 2, 3])

    row = take_in(
        book, entry, place_id, [600, 1800, 1800, 2400, 3000], [9, 4, 9, 5, np.nan]
    )

    assert readings_between(book, place_id, *EVER)[1].tolist() == [1, 2, 3, 4, 5]
    assert row.number == 2
    assert row.words == (
        "Comma, °C. Left out: 1 without a number, 1 twice in the file, "
        "1 in the book already."
    )


def test_taken_back_and_done_again_whole(
    book: Book, entry: Entry, place_id: int
) -> None:
    take_in(book, entry, place_id, [0, 600], [1, 2])
    take_in(book, entry, place_id, [600, 1200], [9, 3])

    book.take_back(entry)
    assert readings_between(book, place_id, *EVER)[1].tolist() == [1, 2]
    book.take_back(entry)
    assert readings_between(book, place_id, *EVER)[0].size == 0
    assert span(book, place_id).imports == ()
    book.take_back(entry)
    assert book.all(PlaceRow) == ()
    for _ in range(3):
        book.do_again(entry)

    assert readings_between(book, place_id, *EVER)[1].tolist() == [1, 2, 3]
    assert book.unsound() == ()


def test_what_was_taken_back_may_be_read_in_anew(
    book: Book, entry: Entry, place_id: int
) -> None:
    take_in(book, entry, place_id, [0, 600], [100, 200])
    book.take_back(entry)

    assert not_yet_in(book, place_id, [0, 600, 1200]).tolist() == [True, True, True]
    take_in(book, entry, place_id, [0, 600], [10, 20])

    assert readings_between(book, place_id, *EVER)[1].tolist() == [10, 20]


def test_a_preview_knows_what_is_new(book: Book, entry: Entry, place_id: int) -> None:
    take_in(book, entry, place_id, [0, 600], [1, 2])

    assert not_yet_in(book, place_id, [600, 601, 0]).tolist() == [False, True, False]
    assert not_yet_in(book, place_id, np.zeros(0, dtype=int)).size == 0


def test_lines_set_aside_are_kept_with_their_reason(
    book: Book, entry: Entry, place_id: int
) -> None:
    asides = (Aside(3, "x;y", "no number"), Aside(9, "", "no date"))
    with book.change(entry) as pen:
        pen.say("Temperatures.")
        origin = Origin(place_id, "a.csv", "T", set_aside=asides, set_aside_number=40)
        import_id = add_readings(pen, origin, [0], [1.0])

    kept = book.all(ReadingSetAsideRow)
    assert [(row.line, row.text, row.reason) for row in kept] == [
        (3, "x;y", "no number"),
        (9, "", "no date"),
    ]
    assert book.one(ReadingImportRow, import_id).set_aside == 40


def test_progress_rises_to_the_whole(book: Book, entry: Entry, place_id: int) -> None:
    shares: list[float] = []
    at_s, celsius = np.arange(120_000), np.full(120_000, 20.0)
    with book.change(entry) as pen:
        pen.say("Temperatures.")
        origin = Origin(place_id, "a.csv", "T")
        add_readings(pen, origin, at_s, celsius, progress=shares.append)

    assert shares == sorted(shares)
    assert len(shares) > 1
    assert shares[-1] == 1.0


def test_a_cancelled_import_writes_nothing(
    book: Book, entry: Entry, place_id: int
) -> None:
    shares: list[float] = []

    def import_and_stop() -> None:
        with book.change(entry) as pen:
            pen.say("Temperatures.")
            add_readings(
                pen,
                Origin(place_id, "a.csv", "T"),
                np.arange(200_000),
                np.full(200_000, 20.0),
                progress=shares.append,
                cancelled=lambda: len(shares) == 2,
            )

    with pytest.raises(Cancelled):
        import_and_stop()

    assert len(shares) == 2
    assert book.all(ReadingImportRow) == ()
    assert len(book.journal()) == 1
    with book.reading() as connection:
        left = connection.exec_driver_sql("SELECT count(*) FROM reading")
        assert left.scalar_one() == 0


def test_columns_of_unequal_length_are_a_fault(
    book: Book, entry: Entry, place_id: int
) -> None:
    with pytest.raises(ValueError, match="instants"):
        take_in(book, entry, place_id, [0, 600], [1.0])


def test_days_are_kept_as_the_keepers_own(
    book: Book, entry: Entry, place_id: int
) -> None:
    days = np.array(["2021-03-28", "2021-03-27", "1969-12-31"], dtype="datetime64[D]")
    with book.change(entry) as pen:
        pen.say("Days.")
        add_daily(pen, Origin(place_id, "met.csv", "T"), days, [2, 1, -5], [9, 8, 0])

    found = daily_between(book, place_id, dt.date(2021, 3, 27), dt.date(2021, 3, 28))
    assert [column.tolist() for column in found] == [
        [dt.date(2021, 3, 27)],
        [1.0],
        [8.0],
    ]
    reach = span(book, place_id)
    assert (reach.first_day, reach.last_day, reach.days) == (
        dt.date(1969, 12, 31),
        dt.date(2021, 3, 28),
        3,
    )
    assert (reach.first_s, reach.last_s, reach.number) == (None, None, 0)
    assert days_not_yet_in(book, place_id, ["2021-03-28", "2021-03-29"]).tolist() == [
        False,
        True,
    ]


def test_a_day_upside_down_is_a_fault_that_names_it(
    book: Book, entry: Entry, place_id: int
) -> None:
    def add() -> None:
        with book.change(entry) as pen:
            days = np.array(["2021-03-27"], dtype="datetime64[D]")
            add_daily(pen, Origin(place_id, "met.csv", "T"), days, [9], [8])

    with pytest.raises(ValueError, match="2021-03-27: the lowest, 9"):
        add()


def test_days_and_instants_of_one_place_do_not_mix(
    book: Book, entry: Entry, place_id: int
) -> None:
    take_in(book, entry, place_id, [0, 86_400], [1, 2])
    with book.change(entry) as pen:
        pen.say("Days.")
        days = np.array(["1970-01-01", "1970-01-02"], dtype="datetime64[D]")
        add_daily(pen, Origin(place_id, "met.csv", "T"), days, [3, 4], [5, 6])

    assert readings_between(book, place_id, *EVER)[1].tolist() == [1, 2]
    _, low, high = daily_between(
        book, place_id, dt.date(1970, 1, 1), dt.date(1971, 1, 1)
    )
    assert (low.tolist(), high.tolist()) == ([3, 4], [5, 6])
    assert span(book, place_id).number == span(book, place_id).days == 2


def test_the_span_counts_each_import(book: Book, entry: Entry, place_id: int) -> None:
    take_in(book, entry, place_id, [7200, 7800], [1, 2])
    take_in(book, entry, place_id, [600], [3])

    reach = span(book, place_id)

    assert (reach.first_s, reach.last_s, reach.number) == (600, 7800, 3)
    assert [one.number for one in reach.imports] == [2, 1]
    assert (reach.first_day, reach.last_day, reach.days) == (None, None, 0)


batches = st.lists(
    st.lists(
        st.tuples(st.integers(0, 40), st.floats(-40, 60, allow_nan=False)), max_size=12
    ),
    min_size=1,
    max_size=4,
)


@given(batches=batches)
@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_any_batches_leave_the_first_reading_of_each_instant(
    book: Book, entry: Entry, batches: list[list[tuple[int, float]]]
) -> None:
    place_id = add_place(book, entry, f"Place {len(book.all(PlaceRow))}")
    expected: dict[int, float] = {}
    for batch in batches:
        new = {at for at, _ in batch} - set(expected)
        for at, celsius in batch:
            expected.setdefault(at, celsius)
        columns = ([at for at, _ in batch], [celsius for _, celsius in batch])
        if new:
            row = take_in(book, entry, place_id, *columns)
            assert row.number == len(new)
        else:
            with pytest.raises(Refusal):
                take_in(book, entry, place_id, np.array(columns[0], int), columns[1])

    at_s, values = readings_between(book, place_id, *EVER)

    assert dict(zip(at_s.tolist(), values.tolist(), strict=True)) == expected
    assert at_s.tolist() == sorted(expected)
