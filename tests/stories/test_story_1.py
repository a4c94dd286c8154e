"""A busy sheet, a wrong key, a wrong sex: Terrace, night of Fri 28 May 2021.

Every number is the invented scenario's own. That a night is dated by its evening, and
that a second look keeps the first call, is common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.females import mother
from rearing.keeping.moments import evening_of
from rearing.records import tables as t
from rearing.records.rows import ArrivalRow, BroodRow
from rearing.terms import MothFate, Sex, Wings
from tests.stories.reader import ZONE, totals

if TYPE_CHECKING:
    from tests.stories.reader import Reader

EVENING = dt.date(2021, 5, 28)
NEXT_DAY = dt.date(2021, 5, 29)

PYRI, QUERCUS, ELPENOR = "Saturnia pyri", "Marumba quercus", "Deilephila elpenor"


def test_totals_of_the_night_before_the_second_look(season: Reader) -> None:
    found = season.night("Terrace", EVENING, EVENING)

    assert totals(found) == {
        (PYRI, Sex.MALE): 12,
        (PYRI, Sex.FEMALE): 2,
        (QUERCUS, Sex.MALE): 3,
        (QUERCUS, Sex.FEMALE): 1,
        (ELPENOR, Sex.NOT_LOOKED): 6,
    }
    assert not found.is_corrected


def test_totals_of_the_night_after_the_second_look(season: Reader) -> None:
    found = season.night("Terrace", EVENING, NEXT_DAY)

    assert totals(found) == {
        (PYRI, Sex.MALE): 12,
        (PYRI, Sex.FEMALE): 2,
        (QUERCUS, Sex.MALE): 4,
        (ELPENOR, Sex.NOT_LOOKED): 6,
    }
    assert totals(found, first=True)[QUERCUS, Sex.FEMALE] == 1
    assert found.is_corrected


def test_the_lamp_burnt_4_83_hours(season: Reader) -> None:
    found = season.night("Terrace", EVENING, NEXT_DAY)

    assert found.lamp_hours == pytest.approx(4.83, abs=0.005)


def test_all_four_checks_file_under_the_evening(season: Reader) -> None:
    found = season.night("Terrace", EVENING, NEXT_DAY)
    moments = [check.at.astimezone(ZONE) for check in found.checks if check.at]

    assert [f"{at:%d %H:%M}" for at in moments] == [
        "28 22:15",
        "28 23:30",
        "29 00:45",
        "29 02:00",
    ]
    assert {evening_of(at) for at in moments} == {EVENING}


def test_the_third_press_was_taken_back(season: Reader) -> None:
    found = season.night("Terrace", EVENING, NEXT_DAY)
    at_00_45 = found.checks[2]
    pressed = season.book.all(
        ArrivalRow,
        t.Arrival.check_id == at_00_45.id,
        t.Arrival.taxon == PYRI,
        t.Arrival.sex == Sex.FEMALE,
    )
    journal = season.book.journal(most=100_000)

    assert [arrival.number for arrival in pressed] == [1, 1]
    undone = [line for line in journal if line.undone and line.on == NEXT_DAY]
    assert [line.sentence for line in undone] == [
        "1 ♀ Saturnia pyri, night of Fri 28 May"
    ]


def test_the_first_call_of_the_oak_hawk_stays_readable(season: Reader) -> None:
    moth = season.moth("W21-06")
    arrival = season.book.one(ArrivalRow, moth.arrival_id or 0)

    assert (arrival.taxon, arrival.sex) == (QUERCUS, Sex.FEMALE)
    assert moth.fate is MothFate.NOT_FEMALE
    assert moth.fate_on == NEXT_DAY
    shown = mother(season.book, season.shelf, moth.id, NEXT_DAY)
    assert shown.sign == "♂"
    assert season.book.find(BroodRow, t.Brood.mother_id == moth.id) is None


def test_each_egg_paper_is_from_its_own_night(season: Reader) -> None:
    page = season.page("B21-07", dt.date(2021, 6, 2))

    assert page.row.mother_id == season.moth("W21-05").id
    assert [(n.pot, n.evening, n.laid) for n in page.nights] == [
        ("1", dt.date(2021, 5, 28), 41),
        ("2", dt.date(2021, 5, 29), 63),
        ("3", dt.date(2021, 5, 30), 38),
        ("4", dt.date(2021, 5, 31), 11),
    ]
    assert page.numbers.eggs == 153


def test_she_was_let_go_where_she_was_caught(season: Reader) -> None:
    moth = season.moth("W21-05")

    assert (moth.fate, moth.fate_where) == (MothFate.RELEASED, "Terrace")
    assert moth.fate_on == dt.date(2021, 6, 1)
    assert moth.wings is Wings.WORN
    assert (moth.container, moth.since) == ("bag 1", EVENING)


def test_the_chain_leads_back_to_the_lamp_night(season: Reader) -> None:
    first, second = season.page("B21-07", NEXT_DAY).chain

    assert first.words == "Night of 28 May 2021"
    assert first.beneath == "Terrace, 125 W MV, sheet, 17.5°"
    assert second.words == "♀ W21-05"
