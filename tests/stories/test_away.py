"""Two nights away in the heat, asked three days before (story 3).

Every number is the invented scenario's own. Leaf in a bottle lasts two days at 29° and
a day and a half at 31° (common practice, no source).
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.away import Away, Why, away, by_words, saved_by
from rearing.keeping.away_saves import SaveKind
from rearing.problems import Refusal
from tests.stories.reader import ZONE

if TYPE_CHECKING:
    from tests.stories.reader import Reader

ASKED = dt.date(2021, 6, 25)
FIRST, LAST = dt.date(2021, 6, 28), dt.date(2021, 6, 29)


@pytest.fixture(scope="module")
def asked(season: Reader) -> Away:
    return away(season.book, season.shelf, ASKED, FIRST, LAST)


def test_all_eight_bottles_fail_by_midday_of_the_second_day(asked: Away) -> None:
    bottles = [one for one in asked.failing if one.code.startswith("B21-08 ")]

    assert [one.code[-1] for one in bottles] == list("ABCDEFGH")
    assert {one.why for one in bottles} == {Why.LEAF}
    assert {by_words(one.at_worst) for one in bottles} == {"by midday Tue 29 June"}
    assert sum(one.number for one in bottles) == 64
    assert all(one.is_likely for one in bottles)


def test_a_helper_the_cellar_or_a_sleeve_would_save_them(asked: Away) -> None:
    bottles = [one for one in asked.failing if one.code.startswith("B21-08 ")]
    kinds = {save.kind for save in bottles[0].saves}

    assert kinds == {SaveKind.HELPER, SaveKind.COOLER, SaveKind.SLEEVE}
    assert "Cellar (10°)" in {save.words for save in bottles[0].saves}
    for kind in kinds:
        assert saved_by(bottles, kind) == 8


def test_the_helper_is_asked_for_the_evenings_on_which_leaf_is_due(asked: Away) -> None:
    evenings = dict(asked.helper)

    assert set(evenings) == {FIRST, LAST}
    assert all(number >= 8 for number in evenings.values())
    assert asked.fed_at == dt.datetime(2021, 6, 27, 20, tzinfo=ZONE)
    assert asked.back_at == dt.datetime(2021, 6, 30, 20, tzinfo=ZONE)


def test_pots_that_hatch_meanwhile_are_named(asked: Away) -> None:
    """B21-09 (laid 18 June on) hatched from 28 June in the story."""
    pots = {one.code: one for one in asked.failing if one.why is Why.HATCH}

    assert "B21-09 pot 1" in pots
    assert by_words(pots["B21-09 pot 1"].at_worst) == "by midday Tue 29 June"


def test_last_instars_eat_their_leaf_within_the_day(asked: Away) -> None:
    eaten = [one for one in asked.failing if "eaten within a day" in one.words]

    assert eaten
    for one in eaten:
        assert by_words(one.at_worst) == "by the evening of Mon 28 June"
        assert not [x for x in one.saves if x.kind is SaveKind.COOLER]


def test_larvae_about_to_wander_are_named(season: Reader) -> None:
    """B21-04: wandered 12 to 15 July; asked on 8 July for a week."""
    found = away(
        *(season.book, season.shelf, dt.date(2021, 7, 8)),
        *(dt.date(2021, 7, 9), dt.date(2021, 7, 15)),
    )
    wanderers = {one.code: one for one in found.failing if one.why is Why.WANDER}

    assert any(code.startswith("B21-04 ") for code in wanderers)
    assert all(SaveKind.LITTER in {x.kind for x in w.saves} for w in wanderers.values())


def test_moths_that_may_emerge_shut_in_are_named(season: Reader) -> None:
    """B21-06: two moths in a shut tub on 30 July, both crippled."""
    found = away(
        *(season.book, season.shelf, dt.date(2021, 7, 27)),
        *(dt.date(2021, 7, 28), dt.date(2021, 8, 4)),
    )
    shut = [one for one in found.failing if one.why is Why.EMERGE]

    assert any(one.code.startswith("B21-06 ") for one in shut)


def test_an_evening_away_with_fresh_leaf_costs_nothing_in_the_cool(
    season: Reader,
) -> None:
    day = dt.date(2021, 6, 16)
    found = away(season.book, season.shelf, dt.date(2021, 6, 15), day, day)

    assert found.lasting > 0
    leaf = [one for one in found.failing if one.why is Why.LEAF]
    assert all("eaten" in one.words for one in leaf)


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (LAST, FIRST, "lies before the first"),
        (dt.date(2021, 6, 24), FIRST, "is past"),
        (FIRST, dt.date(2021, 9, 29), "more than two months"),
    ],
)
def test_days_that_can_not_be_meant_are_refused(
    season: Reader, first: dt.date, last: dt.date, words: str
) -> None:
    with pytest.raises(Refusal, match=words):
        away(season.book, season.shelf, ASKED, first, last)


@pytest.mark.parametrize(
    ("clock", "words"),
    [
        (dt.time(5), "by the morning of Tue 29 June"),
        (dt.time(12), "by midday Tue 29 June"),
        (dt.time(20), "by the evening of Tue 29 June"),
    ],
)
def test_a_moment_is_told_by_the_part_of_the_day(clock: dt.time, words: str) -> None:
    assert by_words(dt.datetime.combine(LAST, clock, ZONE)) == words
