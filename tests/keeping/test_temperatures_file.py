from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from rearing.keeping import places
from rearing.keeping.heat_page import (
    day_hours,
    earlier_years,
    filled_hours,
    heat_by_day,
    place_lines,
    recent_c,
    series,
    set_aside,
)
from rearing.keeping.temperatures_in import Arriving, FileOrigin, take_file_in
from rearing.problems import Cancelled, Refusal
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.readings import LineSetAside, readings_between, span
from rearing.records.rows import PlaceRow, ReadingImportRow

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NOW = dt.datetime(2021, 6, 12, 18, tzinfo=dt.UTC)
ENTRY = Entry(NOW, "Ana")
START_S = int(dt.datetime(2021, 6, 1, tzinfo=dt.UTC).timestamp())
HOUR_S = 3600


class Aside:
    def __init__(self, line: int) -> None:
        self.line, self.text, self.reason = line, "--", "no figure"


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Book]:
    """Return a book with two places and nothing read."""
    with Book.make(tmp_path / "shelf.rearing") as book:
        places.add_place(book, ENTRY, name="Shelf")
        places.add_place(book, ENTRY, name="Porch")
        yield book


def hours(many: int, first: int = 0, c: float = 20.0) -> dict[str, Any]:
    at_s = START_S + HOUR_S * np.arange(first, first + many)
    return {"at_s": at_s, "celsius": np.full(many, c)}


def take(book: Book, *arriving: Arriving, **origin: Any) -> str:
    where = FileOrigin("a.csv", **origin)
    return take_file_in(book, ENTRY, origin=where, arriving=arriving).sentence


def column(
    name: str, place_id: int | None = None, new: str = "", **values: Any
) -> Arriving:
    return Arriving(name, place_id, new, **values)


def test_a_file_is_one_change_whatever_its_columns(shelf: Book) -> None:
    before = len(shelf.journal())
    sentence = take(
        shelf, column("T1", 1, **hours(48)), column("T2", new="Cellar", **hours(24))
    )
    assert sentence == "48 readings for Shelf, 24 readings for Cellar from a.csv"
    assert len(shelf.journal()) == before + 1
    assert [p.name for p in shelf.all(PlaceRow)] == ["Shelf", "Porch", "Cellar"]
    shelf.take_back(ENTRY)
    assert [p.name for p in shelf.all(PlaceRow)] == ["Shelf", "Porch"]
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 0
    shelf.do_again(ENTRY)
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 48
    assert readings_between(shelf, 3, 0, 2e10)[0].size == 24
    assert shelf.unsound() == ()


def test_what_is_there_already_is_counted_not_written(shelf: Book) -> None:
    take(shelf, column("T", 1, **hours(48)))
    sentence = take(shelf, column("T", 1, **hours(48, 24)), set_aside_number=3)
    assert sentence == (
        "24 readings for Shelf from a.csv; 24 in the book already, 3 set aside"
    )
    assert readings_between(shelf, 1, 0, 2e10)[0].size == 72


def test_a_column_with_nothing_new_is_passed_over(shelf: Book) -> None:
    take(shelf, column("T", 1, **hours(48)))
    sentence = take(shelf, column("T", 1, **hours(48)), column("U", 2, **hours(10)))
    assert sentence.startswith("10 readings for Porch from a.csv; 48 in the book")
    assert len(shelf.all(ReadingImportRow)) == 2


def test_a_file_with_nothing_new_is_refused_and_leaves_nothing(shelf: Book) -> None:
    take(shelf, column("T", 1, **hours(48)))
    before = len(shelf.journal())
    with pytest.raises(Refusal, match="all 48 temperatures are in the book"):
        take(shelf, column("T", 1, **hours(48)))
    assert len(shelf.journal()) == before
    assert len(shelf.all(ReadingImportRow)) == 1


def test_days_go_in_beside_hours(shelf: Book) -> None:
    day = np.arange("2021-05-01", "2021-05-11", dtype="datetime64[D]")
    low = np.linspace(5, 8, 10)
    sentence = take(
        shelf,
        column("T", 1, **hours(1)),
        column("min max", 2, day=day, low_c=low, high_c=low + 9),
        column("mean", new="Hall", day=day[:1], low_c=low[:1]),
    )
    assert sentence == (
        "1 reading for Shelf, 10 days for Porch, 1 day for Hall from a.csv"
    )
    assert span(shelf, 2).days == 10


@pytest.mark.parametrize(
    ("arriving", "words"),
    [
        ((), "at least one"),
        ((column("T", new="  ", **hours(1)),), "needs a name"),
        (
            (column("T", 1, **hours(1)), column("U", 1, **hours(1))),
            "Two columns are meant for one place",
        ),
        ((column("T", 99, **hours(1)),), "no longer in the book"),
    ],
)
def test_what_cannot_be_meant_is_refused(
    shelf: Book, arriving: tuple[Arriving, ...], words: str
) -> None:
    with pytest.raises(Refusal, match=words):
        take(shelf, *arriving)
    assert shelf.all(ReadingImportRow) == ()


def test_a_new_place_of_a_name_that_stands_is_that_place(shelf: Book) -> None:
    take(shelf, column("T", new="Porch", **hours(3)))
    assert len(shelf.all(PlaceRow)) == 2
    assert span(shelf, 2).number == 3


def test_lines_set_aside_stay_with_every_column(shelf: Book) -> None:
    lines: tuple[LineSetAside, ...] = (Aside(17), Aside(20))
    take(
        shelf,
        column("T", 1, **hours(3)),
        column("U", 2, **hours(3)),
        set_aside=lines,
        set_aside_number=2,
    )
    for row in shelf.all(ReadingImportRow):
        assert row.set_aside == 2
        assert [one.line for one in set_aside(shelf, row)] == [17, 20]


def test_a_stopped_file_leaves_nothing(shelf: Book) -> None:
    told: list[float] = []
    many = 250_000
    with pytest.raises(Cancelled):
        take_file_in(
            shelf,
            ENTRY,
            origin=FileOrigin("a.csv"),
            arriving=[column("T", new="Cellar", **hours(many))],
            progress=told.append,
            cancelled=lambda: bool(told),
        )
    assert told
    assert len(shelf.all(PlaceRow)) == 2
    assert shelf.all(ReadingImportRow) == ()
    assert shelf.unsound() == ()


def test_progress_grows_over_all_columns(shelf: Book) -> None:
    told: list[float] = []
    take_file_in(
        shelf,
        ENTRY,
        origin=FileOrigin("a.csv"),
        arriving=[column("T", 1, **hours(5000)), column("U", 2, **hours(5000))],
        progress=told.append,
    )
    assert told == sorted(told)
    assert told[-1] == 1.0


# what the page asks


def test_days_are_cut_at_local_midnight(shelf: Book) -> None:
    from rearing.keeping.facts import set_home

    set_home(shelf, ENTRY, name="Home", zone_name="Europe/Ljubljana")
    place = shelf.one(PlaceRow, 1)
    # 28 March and 31 October 2021 have 23 and 25 hours (Directive 2000/84/EC).
    for day, length in ((dt.date(2021, 3, 28), 23), (dt.date(2021, 10, 31), 25)):
        around = (day - dt.timedelta(days=1), day + dt.timedelta(days=1))
        cut = day_hours(series(shelf, place, *around))
        assert [end - begin for begin, end in cut.values()] == [24, length, 24]
        hours = series(shelf, place, *around).hours
        for on, (begin, end) in cut.items():
            assert {moment.date() for moment in hours[begin:end]} == {on}
            assert hours[begin].time() == dt.time(0)


def test_heat_by_day_agrees_with_a_sum_by_hand(shelf: Book) -> None:
    hour = np.arange(24 * 10)
    celsius = 17 + 16 * np.sin(2 * np.pi * hour / 24) + 3 * np.sin(hour / 40)
    at_s = START_S + HOUR_S * np.arange(celsius.size)
    take(shelf, column("T", 1, at_s=at_s, celsius=celsius))
    read = series(
        shelf, shelf.one(PlaceRow, 1), dt.date(2021, 6, 1), dt.date(2021, 6, 10)
    )
    days = heat_by_day(read, lower_c=9.0, upper_c=30.0)
    by_hand = [
        sum(max(0.0, min(c, 30.0) - 9.0) for c in celsius[n * 24 : n * 24 + 24]) / 24
        for n in range(10)
    ]
    np.testing.assert_allclose([d.degree_days for d in days], by_hand)
    np.testing.assert_allclose(days[-1].total, sum(by_hand))
    assert filled_hours(read) == (0,) * 10


def test_earlier_years_are_those_that_were_read(shelf: Book) -> None:
    day = np.arange("2019-03-01", "2021-06-12", dtype="datetime64[D]")
    low = np.full(day.size, 10.0)
    take(shelf, column("T", 1, day=day, low_c=low, high_c=low + 8))
    place = shelf.one(PlaceRow, 1)
    ends = (dt.date(2021, 2, 12), dt.date(2021, 6, 11))
    found = earlier_years(shelf, place, ends, lower_c=10, upper_c=None, most=4)
    assert [name for name, _ in found] == ["2020", "2019"]
    assert len(found[0][1]) == 121, "February 2020 has a leap day"
    ends = (dt.date(2020, 9, 1), dt.date(2021, 2, 28))
    found = earlier_years(shelf, place, ends, lower_c=10, upper_c=None)
    assert [name for name, _ in found] == ["2019–20"]


def test_what_a_place_stood_at_last_forgets_old_and_odd_readings(shelf: Book) -> None:
    celsius = np.full(48, 18.0)
    celsius[40] = 61.0
    at_s = START_S + HOUR_S * np.arange(48)
    take(shelf, column("T", 1, at_s=at_s, celsius=celsius))
    place = shelf.one(PlaceRow, 1)
    assert recent_c(shelf, place, dt.date(2021, 6, 3)) == 18.0
    assert recent_c(shelf, place, dt.date(2021, 6, 20)) is None
    assert place_lines(shelf, dt.date(2021, 6, 3))[1].last is None
