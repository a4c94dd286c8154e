"""Which night did her grandmother come from? The line of B21-05.

Every name and day is the invented scenario's own.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.records import tables as t
from rearing.records.rows import PairingRow
from rearing.terms import Sire
from tests.stories.reader import ZONE

if TYPE_CHECKING:
    from tests.stories.reader import Reader

SPRING = dt.date(2022, 5, 4)


def test_the_mothers_mother_came_in_the_night_of_16_may_2020(season: Reader) -> None:
    grandchild = season.moth("B21-05/♂02")
    chain = season.page("B21-05", SPRING).chain

    assert grandchild.since == dt.date(2022, 5, 3)
    assert grandchild.brood_id == season.brood("B21-05").id
    assert [link.words for link in chain] == [
        "Night of 16 May 2020",
        "♀ W20-02",
        "B20-02",
        "B20-02/♀09",
    ]
    assert chain[0].beneath.startswith("Quarry rim, 125 W MV")


def test_the_father_is_a_wild_male_of_the_night_of_7_may_2021(season: Reader) -> None:
    mother = season.moth("B20-02/♀09")
    pairing = season.book.find(PairingRow, t.Pairing.dam_id == mother.id)

    assert pairing is not None
    assert pairing.sire_kind is Sire.WILD_UNKNOWN
    assert pairing.evening == dt.date(2021, 5, 7)
    assert pairing.coupled_at == dt.datetime(2021, 5, 8, 0, 20, tzinfo=ZONE)


def test_generations_since_the_wild_are_told_by_side(season: Reader) -> None:
    page = season.page("B21-05", SPRING)

    assert (page.generations.mother_side, page.generations.father_side) == (2, 1)
    assert page.generation_words == "since the wild: mother's side 2, father's side 1"
    assert page.numbers.hatched == 160


def test_hatch_of_the_sibs_and_of_the_outcross(season: Reader) -> None:
    sibs = season.page("B21-03", dt.date(2021, 6, 1)).numbers.hatched_share
    outcross = season.page("B21-05", dt.date(2021, 6, 1)).numbers.hatched_share

    assert (round((sibs or 0) * 100), round((outcross or 0) * 100)) == (61, 88)
