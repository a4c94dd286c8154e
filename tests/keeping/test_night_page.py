"""A lamp night read back check by check, and the night book's list of them.

Story 1 of the invented season: 24 moths, one "♀" that proved male.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import lamp
from rearing.keeping.night_page import night_lines, night_page
from rearing.keeping.nights import nights
from rearing.records.book import Book
from rearing.terms import CountingMode, Sex
from tests.desk.karst_season import ON, Season, at, day, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

Kept = tuple[Book, Season]


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Kept]:
    with Book.make(tmp_path / "karst.rearing") as book:
        yield book, write_season(book)


def test_each_check_keeps_what_came_at_it(kept: Kept) -> None:
    book, season = kept
    page = night_page(book, season.terrace_night, ON)
    assert [check.number for check in page.checks] == [3, 7, 9, 5]
    quercus = [a for a in page.checks[2].arrivals if a.taxon == "Marumba quercus"]
    assert quercus[0].sex is Sex.FEMALE


def test_second_looks_are_known_from_their_day_on(kept: Kept) -> None:
    book, season = kept
    assert night_page(book, season.terrace_night, day(5, 28)).calls == ()
    (call,) = night_page(book, season.terrace_night, day(5, 29)).calls
    assert (call.moth_id, call.sex) == (season.proved_male, Sex.MALE)


def test_the_list_is_latest_first_and_agrees_with_each_night_s_page(kept: Kept) -> None:
    book, _ = kept
    lines = night_lines(book, ON)
    assert [line.evening for line in lines] == [day(5, 28), day(5, 7)]
    assert [line.moths for line in lines] == [
        sum(total.number for total in night.totals) for night in nights(book, ON)
    ]
    assert [(line.moths, line.kept) for line in lines] == [(24, 3), (1, 1)]


def test_moths_counted_as_present_count_with_their_largest_check(kept: Kept) -> None:
    book, _ = kept
    night = lamp.record_night(
        book,
        entry(ON, 23),
        site_id=1,
        evening=ON,
        lamp="15 W actinic",
        mode=CountingMode.PRESENT,
    ).new_id
    for hour, number in ((22, 4), (23, 7)):
        check = lamp.record_check(book, entry(ON, 23), night_id=night, at=at(ON, hour))
        lamp.record_arrival(
            book,
            entry(ON, 23),
            check_id=check.new_id,
            taxon="Deilephila elpenor",
            sex=Sex.NOT_LOOKED,
            number=number,
        )
    assert night_lines(book, ON)[0].moths == 7


def test_a_night_still_to_come_is_not_in_the_list(kept: Kept) -> None:
    book, _ = kept
    assert [line.evening for line in night_lines(book, day(5, 27))] == [day(5, 7)]
