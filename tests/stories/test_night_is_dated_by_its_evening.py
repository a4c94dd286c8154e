"""A night is dated by its evening: common practice, no source."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import facts, lamp
from rearing.keeping.moments import evening_of, in_night
from rearing.keeping.nights import nights
from rearing.problems import AskFirst, Refusal
from rearing.records.book import Book
from rearing.terms import Sex
from tests.stories.reader import ZONE, entry

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

TWENTY_PAST_MIDNIGHT = dt.time(0, 20)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    day = dt.date(2021, 3, 1)
    with Book.make(tmp_path / "nights.rearing") as made:
        facts.set_home(made, entry(day), name="Home", zone_name=str(ZONE))
        lamp.add_site(
            made, entry(day), name="Site", latitude=45.5, longitude=13.9, zone=str(ZONE)
        )
        yield made


@pytest.mark.parametrize(
    ("evening", "clock_day"),
    [
        (dt.date(2021, 5, 31), dt.date(2021, 6, 1)),
        (dt.date(2021, 2, 28), dt.date(2021, 3, 1)),
        (dt.date(2021, 12, 31), dt.date(2022, 1, 1)),
        (dt.date(2021, 3, 27), dt.date(2021, 3, 28)),
        (dt.date(2021, 10, 30), dt.date(2021, 10, 31)),
    ],
)
def test_twenty_past_midnight_files_under_the_evening_before(
    book: Book, evening: dt.date, clock_day: dt.date
) -> None:
    at = in_night(evening, TWENTY_PAST_MIDNIGHT, ZONE)
    night = lamp.record_night(
        book, entry(evening), site_id=1, evening=evening_of(at), lamp="actinic"
    )
    check = lamp.record_check(book, entry(clock_day), night_id=night.new_id, at=at)
    lamp.record_arrival(
        book,
        entry(clock_day),
        check_id=check.new_id,
        taxon="Orthosia gothica",
        sex=Sex.MALE,
        number=1,
    )

    assert at.date() == clock_day
    (found,) = nights(book, evening)
    assert found.row.evening == evening
    assert [total.number for total in found.totals] == [1]
    assert found.checks[0].at == at


def test_an_hour_that_comes_twice_is_asked_about() -> None:
    evening = dt.date(2021, 10, 30)

    with pytest.raises(AskFirst, match="02:30 comes twice"):
        in_night(evening, dt.time(2, 30), ZONE)
    first = in_night(evening, dt.time(2, 30), ZONE, later=False)
    second = in_night(evening, dt.time(2, 30), ZONE, later=True)
    assert second.timestamp() - first.timestamp() == 3600
    assert evening_of(first) == evening_of(second) == evening


def test_an_hour_that_does_not_exist_is_refused_with_its_neighbours() -> None:
    with pytest.raises(Refusal, match="01:30 or 03:30"):
        in_night(dt.date(2021, 3, 27), dt.time(2, 30), ZONE)


def test_elapsed_lamp_time_counts_the_hour_that_comes_twice(book: Book) -> None:
    evening = dt.date(2021, 10, 30)
    times = lamp.LampTimes(
        in_night(evening, dt.time(22), ZONE), in_night(evening, dt.time(4), ZONE)
    )
    lamp.record_night(
        book, entry(evening), site_id=1, evening=evening, lamp="actinic", times=times
    )

    (found,) = nights(book, evening)
    assert found.lamp_hours == 7
