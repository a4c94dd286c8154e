"""Pupae that wait and pupae that fly at once: B20-02, B21-06, B21-10.

Every number is the invented scenario's own.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.keeping.round_lines import Task
from rearing.terms import ExitKind, Wings

if TYPE_CHECKING:
    from tests.stories.reader import Reader


def test_of_44_cocoons_27_flew_3_died_and_14_wait(season: Reader) -> None:
    before = season.page("B20-02", dt.date(2021, 4, 1)).numbers
    page = season.page("B20-02", dt.date(2021, 6, 12))
    dead = {x.cause: x.number for x in page.numbers.losses}

    assert before.alive == 44
    assert page.numbers.left[ExitKind.EMERGED] == 27
    assert dead["died as pupa"] == 3
    assert page.numbers.alive == 14
    assert page.summary == "14 pupae, seen 6 June"
    assert 27 + 3 + 14 == 44


def test_pupae_that_wait_ask_for_nothing_in_june(season: Reader) -> None:
    lines = season.lines(dt.date(2021, 6, 12))

    assert lines["B20-02 heavy"].task is Task.NOTHING
    assert lines["B20-02 light"].task is Task.NOTHING


def test_pupae_carried_into_a_tub_are_no_wanderers(season: Reader) -> None:
    line = season.lines(dt.date(2021, 2, 1))["B20-02 heavy"]

    assert line.task is Task.NOTHING
    assert "wanderer" not in line.reason


def test_pupae_lying_over_are_not_expected_before_another_winter(
    season: Reader,
) -> None:
    (in_june,) = season.forecasts("B20-02", dt.date(2021, 6, 12))
    (in_spring,) = season.forecasts("B20-02", dt.date(2022, 4, 1))

    assert "14 animals, lying over" in in_june.assumption
    assert "Moths come after the winter's cold" in in_june.assumption
    moths = in_june.window("emerge")
    assert moths is not None
    assert (moths.first, moths.half) == (None, None)
    again = in_spring.window("emerge")
    assert again is not None
    assert again.half is not None
    assert again.half.middle.date().year == 2022


def test_pupae_that_still_come_out_are_not_lying_over(season: Reader) -> None:
    (forecast,) = season.forecasts("B20-02", dt.date(2021, 5, 10))

    assert "lying over" not in forecast.assumption
    moths = forecast.window("emerge")
    assert moths is not None
    assert moths.half is not None


def test_the_second_spring_accounts_for_the_14(season: Reader) -> None:
    page = season.page("B20-02", dt.date(2022, 5, 21)).numbers
    dead = {x.cause: x.number for x in page.losses}

    assert page.left[ExitKind.EMERGED] == 27 + 11
    assert dead["died as pupa"] == 3 + 3
    assert page.alive == 0
    assert page.is_balanced


def test_29_of_71_poplar_hawks_flew_the_same_summer(season: Reader) -> None:
    pupae = season.page("B21-06", dt.date(2021, 7, 25))
    august = season.page("B21-06", dt.date(2021, 8, 20))

    assert pupae.summary == "71 pupae, seen 25 July"
    assert august.numbers.left[ExitKind.EMERGED] == 29
    assert august.numbers.alive == 42
    assert season.moth("B21-06/♀01").wings is Wings.CRIPPLED


def test_the_late_brood_ends_with_61_pupae(season: Reader) -> None:
    page = season.page("B21-10", dt.date(2021, 10, 16)).numbers
    lost = {x.cause: x.number for x in page.losses if not x.of_eggs}

    assert (page.eggs, page.hatched, page.alive) == (110, 96, 61)
    assert lost == {"flacherie": 22}
    assert page.unaccounted == 13
