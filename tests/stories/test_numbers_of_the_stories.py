"""What the numbers say of the stories' broods, to the figure.

Every number is the invented scenario's own; shares are computed from them by hand.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.fates import UNACCOUNTED
from rearing.keeping.followed import followed
from rearing.keeping.life import compared, life_of, losses_of_species
from rearing.problems import Refusal
from rearing.terms import Cause, Stage

if TYPE_CHECKING:
    from tests.stories.reader import Reader


def test_oak_hawk_moths_after_two_nights_away(season: Reader) -> None:
    life = life_of(season.book, season.brood("B21-08"), dt.date(2021, 8, 9))

    lost = {(x.why, x.stage): x.number for x in life.losses}
    assert lost[Cause.DRY_LEAF, Stage.L2] == 39
    assert sum(lost.values()) == 8 + 39 + 3
    assert life.fates.hatched == life.came == 64
    assert life.fates.alive == {Stage.PUPA: 22}
    assert life.survived is not None
    assert f"{life.survived.share:.0%}" == "34%"
    # computed: Wilson's limits for 22 of 64
    assert life.survived.low == pytest.approx(0.2392, abs=1e-4)
    assert life.survived.high == pytest.approx(0.4660, abs=1e-4)
    assert life.survived_if_found == pytest.approx(24 / 64)


def test_the_life_table_of_a_brood_by_stage_and_by_day(season: Reader) -> None:
    life = life_of(season.book, season.brood("B21-08"), dt.date(2021, 8, 9))

    assert [(row.x, row.n, row.d) for row in life.stages] == [
        ("egg", 72, 8),
        ("L1", 64, 0),
        ("L2", 64, 39),
        ("L3", 25, 0),
        ("L4", 25, 0),
        ("L5", 25, 3),
        ("wandering", 22, 0),
        ("pupa", 22, 0),
    ]
    assert [(x.on.isoformat(), x.n, x.d) for x in life.days] == [
        ("2021-06-30", 64, 39),
        ("2021-07-18", 25, 1),
        ("2021-07-26", 24, 2),
    ]
    assert life.days[-1].l == pytest.approx(22 / 64)


def test_who_left_alive_is_no_loss(season: Reader) -> None:
    """Story 4: 8 had been given away before, 18 L4 went to a school on 30 May."""
    life = life_of(season.book, season.brood("B20-03"), dt.date(2021, 6, 24))

    assert life.came == 104
    assert life.fates.all_alive == 54
    lost = {(x.why, x.stage): x.number for x in life.losses}
    assert lost[Cause.FLACHERIE, Stage.L5] == 4
    assert lost[Cause.DROWNED, Stage.L4] == 1
    assert life.unaccounted == 4
    assert life.survived is not None
    # 26 of 104 were given away: 54 of the 78 that were kept
    assert life.survived.share == pytest.approx(54 / 78)
    school = next(x for x in life.days if x.on == dt.date(2021, 5, 30))
    assert (school.n, school.d, school.left) == (81, 3, 18)


def test_of_40_sleeved_wherever_they_went(season: Reader) -> None:
    found = life_of(season.book, season.brood("B21-04"), dt.date(2021, 7, 29)).fates
    sleeve = followed(found, "S1")

    assert sleeve.came == 40
    assert set(sleeve.onward) == {"S1-x", "T3"}
    assert sleeve.alive == {Stage.PUPA: 25}
    assert sleeve.lost == {Cause.PARASITOID: 5, Cause.DEAD_IN_LITTER: 2}
    assert sleeve.unaccounted == 8
    assert sleeve.is_balanced


def test_one_found_again_was_missing_last(season: Reader) -> None:
    found = life_of(season.book, season.brood("B21-04"), dt.date(2021, 6, 24)).fates
    gone = [(x.on, x.number) for x in found.ended if x.why == UNACCOUNTED]

    assert gone == [(dt.date(2021, 6, 17), 6)]


def test_two_broods_compared(season: Reader) -> None:
    day = dt.date(2021, 8, 9)
    dry, sleeved = (
        life_of(season.book, season.brood(code), day) for code in ("B21-08", "B21-04")
    )
    found = compared(dry, sleeved)

    assert found is not None
    assert found.died == 42
    assert found.expected < 30
    assert found.p < 0.001


def test_what_went_wrong_with_a_species_year_by_year(season: Reader) -> None:
    rows = losses_of_species(season.book, "marumba quercus", dt.date(2022, 6, 1))

    assert {year for year, _ in rows} == {2021}
    told = {(x.stage, x.why): x.number for _, x in rows}
    assert told[Stage.L2, Cause.DRY_LEAF] == 39
    assert told[Stage.EGG, "collapsed"] == 8


def test_every_brood_of_the_season_balances(season: Reader) -> None:
    for day in (dt.date(2021, 6, 12), dt.date(2021, 10, 1), dt.date(2022, 5, 20)):
        for line in season.book.all(type(season.brood("B21-08"))):
            if line.opened_on > day:
                continue
            life = life_of(season.book, line, day)
            gone = sum(one.number for one in life.fates.ended)
            assert life.came == life.fates.all_alive + gone
            assert all(one.hatched for one in life.fates.came)


def test_a_box_that_is_not_there_is_refused(season: Reader) -> None:
    found = life_of(season.book, season.brood("B21-08"), dt.date(2021, 8, 9)).fates
    with pytest.raises(Refusal, match=r"has no box “Z”\. It has N, A, B"):
        followed(found, "Z")
