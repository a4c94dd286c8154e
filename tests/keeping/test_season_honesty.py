"""Windows replayed as on their day; the sample's story is its own invention."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import honesty as honest
from rearing.keeping.came import turning_days, what_came
from rearing.keeping.holding import holding
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import BroodRow
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.holding import Holding
    from rearing.keeping.honesty import Honesty

ON = dt.date(2021, 6, 30)


@pytest.fixture(scope="module")
def book(built_copy: Path) -> Iterator[Book]:
    with Book.open(built_copy) as opened:
        yield opened


@pytest.fixture(scope="module")
def found(book: Book) -> Honesty:
    return honest.honesty(book, load_all(), ON)


def ever(book: Book, code: str) -> Holding:
    brood = book.find(BroodRow, t.Brood.code == code)
    assert brood is not None
    return holding(book, ON, brood_id=brood.id, all_ever=True)


def day_of(at_s: float) -> dt.date:
    return dt.datetime.fromtimestamp(at_s, dt.UTC).date()


def test_wandering_is_dated_by_the_tubs(book: Book) -> None:
    """B21-01: 60 went down from 31 May to 8 June, the thirtieth on 3 June."""
    came = {(x.event, x.piece): x for x in what_came(ever(book, "B21-01"))}
    days = [day_of(came["wander", piece].by_s) for piece in ("first", "half", "last")]
    assert days == [dt.date(2021, 5, 31), dt.date(2021, 6, 3), dt.date(2021, 6, 8)]
    assert day_of(came["wander", "first"].after_s) == dt.date(2021, 5, 30)


def test_a_moult_lies_between_two_looks(book: Book) -> None:
    """B21-01 was in L3 on 15 May and in L4 and L5 on 29 May; 23 May saw half of it."""
    came = {(x.event, x.piece): x for x in what_came(ever(book, "B21-01"))}
    moult = came["L4", "half"]
    assert day_of(moult.after_s) == dt.date(2021, 5, 15)
    assert day_of(moult.by_s) == dt.date(2021, 5, 29)


def test_ages_come_in_the_order_of_life(book: Book) -> None:
    one = ever(book, "B21-01")
    ages = dict(turning_days(one, what_came(one)))
    assert ages["egg"] == dt.date(2021, 3, 31)
    assert ages["L1"] == dt.date(2021, 4, 21)
    assert ages["pupation"] == dt.date(2021, 6, 3)


def test_only_finished_broods_are_replayed(found: Honesty) -> None:
    assert set(found.broods) <= {"B20-02", "B21-01"}
    assert "B21-01" in found.broods


def test_no_window_is_judged_by_what_its_day_had_shown(found: Honesty) -> None:
    assert found.replayed
    for _, one in found.replayed:
        assert one.by_s > one.made_s
        assert one.low_s <= one.middle_s <= one.high_s


def test_all_windows_are_in_each_table(found: Honesty) -> None:
    assert found.in_all is not None
    for table in (found.by_age, found.by_event, found.by_piece):
        assert sum(score.number for score in table.values()) == found.in_all.number


def test_the_calendar_knows_only_what_was_before(found: Honesty) -> None:
    """B20-02 is the first Saturnia pyri of the book, B21-01 its only Endromis."""
    assert all(one.calendar_s is None for _, one in found.replayed)


def test_a_replay_is_what_was_forecast_that_day(book: Book, found: Honesty) -> None:
    again = honest.honesty(book, load_all(), ON)
    assert again == found


def test_a_stop_ends_it_between_broods(book: Book) -> None:
    none = honest.honesty(book, load_all(), ON, lambda: True)
    assert none.in_all is None
    assert none.broods == ()
