"""The sleeve that would not balance: Aglia tau, B21-04.

Every number is the invented scenario's own. A tub lies still for 14 days after the last
arrival: common practice, no source (rearing sheets have 12 to 14 days).
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.round_lines import Task
from rearing.terms import Cause

if TYPE_CHECKING:
    from tests.stories.reader import Reader

CODE = "B21-04"
LAST_ARRIVAL = dt.date(2021, 7, 15)
OPENED = dt.date(2021, 7, 29)


def test_74_of_86_eggs_hatched(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 5, 30))

    assert (page.numbers.eggs, page.numbers.hatched) == (86, 74)
    hatched = {
        x.on.day for pot in page.pots for x in pot.outcomes if x.fate == "hatched"
    }
    assert hatched == {22, 23, 24}


@pytest.mark.parametrize(
    ("day", "holds", "unaccounted"),
    [
        (dt.date(2021, 6, 3), 40, 0),
        (dt.date(2021, 6, 17), 33, 7),
        (dt.date(2021, 6, 24), 34, 6),
        (dt.date(2021, 7, 2), 29, 6),
        (dt.date(2021, 7, 15), 0, 8),
    ],
)
def test_the_sleeve_on_each_of_its_days(
    season: Reader, day: dt.date, holds: int, unaccounted: int
) -> None:
    sleeve = season.box(CODE, "S1", day).standing

    assert sleeve.number == holds
    assert sleeve.unaccounted == unaccounted


def test_one_more_than_the_book_is_a_correction_and_no_birth(season: Reader) -> None:
    before = season.page(CODE, dt.date(2021, 6, 23)).numbers
    after = season.page(CODE, dt.date(2021, 6, 24)).numbers
    sentences = [
        line.sentence
        for line in season.book.journal(most=100_000)
        if line.on == dt.date(2021, 6, 24)
    ]

    assert after.hatched == before.hatched
    assert after.unaccounted == before.unaccounted - 1
    assert "Counted 34 in B21-04 S1; 1 more than the book, a correction" in sentences


def test_a_tub_is_shut_until_14_days_after_the_last_arrival(season: Reader) -> None:
    the_day_before = season.lines(OPENED - dt.timedelta(days=1))[f"{CODE} T3"]

    assert the_day_before.task is Task.LEAVE_ALONE
    assert the_day_before.until == "until Thu 29 July"
    assert dt.timedelta(days=14) == OPENED - LAST_ARRIVAL


def test_of_40_sleeved_25_pupae_5_parasitised_2_dead_8_unaccounted(
    season: Reader,
) -> None:
    sleeve, apart, tub = (season.box(CODE, x, OPENED) for x in ("S1", "S1-x", "T3"))
    causes = {
        lost.cause: lost.number for lost in season.page(CODE, OPENED).numbers.losses
    }

    assert sleeve.standing.came == 40
    assert tub.standing.came == 27
    assert tub.standing.number == 25
    assert apart.standing.lost == causes[Cause.PARASITOID] == 5
    assert tub.standing.lost == 2
    unaccounted = [x.standing.unaccounted for x in (sleeve, apart, tub)]
    assert unaccounted == [8, 0, 0]
    assert sleeve.standing.came == 25 + 5 + 2 + 8
    assert season.page(CODE, OPENED).numbers.is_balanced
