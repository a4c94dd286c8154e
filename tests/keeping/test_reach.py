"""Leaf in reach: trees, what lies cut, and the day a host is bare."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import leaf
from rearing.keeping.hosts import alike
from rearing.keeping.leaf_need import LeafWeek, Need
from rearing.keeping.reach import reach, set_bare, supplies
from rearing.problems import Refusal
from rearing.records.book import Book
from tests.desk.karst_season import ON, entry

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

DAY = dt.timedelta(days=1)
MONDAY = dt.date(2021, 6, 28)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "leaf.rearing") as made:
        yield made


def week(monday: dt.date, grams: float) -> LeafWeek:
    need = Need(grams, grams, grams)
    return LeafWeek(monday, {}, False, {"downy oak": need}, need)


def test_open_and_closed_trees_are_told_with_their_reasons(book: Book) -> None:
    lane = leaf.add_tree(book, entry(ON), name="Lane", host="oak").new_id
    leaf.add_tree(book, entry(ON), name="Gate", host="downy oak")
    leaf.close_tree(
        book, entry(ON), tree_id=lane, since=ON, until=ON + 5 * DAY, why="sprayed"
    )
    (one,) = supplies(reach(book, ON), [week(MONDAY, 100)], ON)
    assert one.open_trees == ("Gate",)
    assert one.words == "Downy oak: open Gate; Lane closed until 30 June (sprayed)."
    later = reach(book, ON + 5 * DAY)
    (one,) = supplies(later, [week(MONDAY, 100)], ON + 5 * DAY)
    assert one.open_trees == ("Lane", "Gate")


def test_what_lies_cut_lasts_as_long_as_the_need_lets_it(book: Book) -> None:
    """250 g cut, 50 g of it gone: 100 g a day is met on two days more."""
    leaf.cut_leaf(book, entry(ON), host="downy oak", on=ON, grams=200)
    gone = leaf.cut_leaf(book, entry(ON), host="downy oak", on=ON, grams=50).new_id
    leaf.throw_away(book, entry(ON), cut_id=gone, on=ON)
    weeks = [week(MONDAY - 7 * DAY, 100), week(MONDAY, 100)]
    (one,) = supplies(reach(book, ON), weeks, ON)
    assert one.lying_g == 200
    assert one.lasts_to == ON + 2 * DAY
    assert "200 g lies cut, to 27 June" in one.words


def test_leaf_that_was_not_weighed_or_is_old_is_not_reckoned_with(book: Book) -> None:
    leaf.cut_leaf(book, entry(ON), host="downy oak", on=ON)
    (one,) = supplies(reach(book, ON), [week(MONDAY, 100)], ON)
    assert one.lying_g is None
    leaf.cut_leaf(book, entry(ON), host="downy oak", on=ON, grams=90)
    old = ON + 6 * DAY
    (one,) = supplies(reach(book, old), [week(MONDAY, 100)], old)
    assert one.lying_g is None
    assert one.words == "Downy oak: no tree of it is entered."


def test_the_bare_day_is_kept_for_every_year_and_can_be_taken_back(book: Book) -> None:
    said = set_bare(book, entry(ON), host="Oak", day=dt.date(2020, 11, 10)).sentence
    assert said == "Oak is bare by 10 November"
    found = reach(book, ON)
    assert found.bare_on("downy oak", ON) == dt.date(2021, 11, 10)
    assert found.bare_on("oak", dt.date(2021, 11, 11)) == dt.date(2022, 11, 10)
    assert found.bare_on("beech", ON) is None
    set_bare(book, entry(ON), host="oak", day=dt.date(2021, 11, 20))
    assert reach(book, ON).bare_on("oak", ON) == dt.date(2021, 11, 20)
    book.take_back(entry(ON))
    assert reach(book, ON).bare_on("oak", ON) == dt.date(2021, 11, 10)


def test_a_leap_day_waits_for_its_year(book: Book) -> None:
    set_bare(book, entry(ON), host="ash", day=dt.date(2020, 2, 29))
    assert reach(book, ON).bare_on("ash", ON) == dt.date(2024, 2, 29)


def test_leaf_without_a_name_is_refused(book: Book) -> None:
    with pytest.raises(Refusal, match="Which leaf"):
        set_bare(book, entry(ON), host=" ", day=ON)


def test_names_of_a_host_that_mean_the_same() -> None:
    assert alike("Oak", "downy oak")
    assert not alike("", "oak")
    assert not alike("beech", "oak")
