"""The sample book: what its sources say, sound, balanced, and full on 12 June 2021."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.facts import home
from rearing.keeping.females import mothers
from rearing.keeping.heat_page import place_lines, series
from rearing.keeping.nights import nights
from rearing.keeping.places import places
from rearing.keeping.round import round_of
from rearing.keeping.round_lines import Task
from rearing.records.rows import BroodRow, MothRow
from sample_db.making.book import BOOK
from sample_db.making.compare import differences

if TYPE_CHECKING:
    from pathlib import Path

    from tests.stories.reader import Reader

ON = dt.date(2021, 6, 12)
DAY = dt.timedelta(days=1)

# Hatched, kept and lost as the scenario's roster has them.
ROSTER = {
    "B20-02": (132, 109),
    "B20-03": (118, 104),
    "B21-01": (162, 148),
    "B21-02": (171, 158),
    "B21-03": (168, 102),
    "B21-04": (86, 74),
    "B21-05": (181, 160),
    "B21-06": (96, 88),
    "B21-07": (153, 131),
    "B21-08": (72, 64),
    "B21-09": (140, 71),
    "B21-10": (110, 96),
}


def test_the_book_is_what_its_sources_say(built: Path) -> None:
    assert list(differences(built, BOOK)) == []


def test_the_book_is_one_small_sound_file(season: Reader) -> None:
    assert season.book.unsound() == ()
    assert BOOK.stat().st_size < 6e6
    assert not list(BOOK.parent.glob(BOOK.name + "-*"))


def test_it_opens_as_on_12_june(season: Reader) -> None:
    told = home(season.book)

    assert (told.name, told.zone_name) == ("Hiša na Robu", "Europe/Ljubljana")
    assert told.as_on == ON


@pytest.mark.parametrize(("code", "numbers"), ROSTER.items())
def test_eggs_and_hatch_of_the_roster(
    season: Reader, code: str, numbers: tuple[int, int]
) -> None:
    found = season.page(code, dt.date(2022, 6, 1)).numbers

    assert (found.eggs, found.hatched) == numbers
    assert found.waiting == 0


def test_every_brood_is_in_the_roster(season: Reader) -> None:
    assert {brood.code for brood in season.book.all(BroodRow)} == set(ROSTER)


@pytest.mark.parametrize(
    "day",
    [
        *(dt.date(2020, 6, 1) + DAY * i for i in (0, 12, 190)),
        *(dt.date(2021, 4, 20) + DAY * i for i in range(0, 130, 16)),
        dt.date(2021, 9, 18),
        dt.date(2022, 5, 21),
    ],
)
def test_eggs_and_larvae_add_up_on_every_day(season: Reader, day: dt.date) -> None:
    broods = [b.code for b in season.book.all(BroodRow) if b.opened_on <= day]

    assert broods
    unbalanced = [
        code for code in broods if not season.page(code, day).numbers.is_balanced
    ]
    assert unbalanced == []


def test_entries_stand_in_order_of_time(season: Reader) -> None:
    lines = season.book.journal(most=100_000)[::-1]

    moments = [line.at for line in lines]
    assert moments == sorted(moments)


def test_22_further_nights_three_of_them_empty(season: Reader) -> None:
    found = nights(season.book, dt.date(2021, 12, 31))
    of_2021 = [night for night in found if night.row.evening.year == 2021]
    wild = [m for m in season.book.all(MothRow) if m.code.startswith("W21-")]
    story_nights = {moth.night_id for moth in wild}

    assert len([n for n in of_2021 if n.row.id not in story_nights]) == 22
    assert len([n for n in of_2021 if not n.totals]) == 3
    stations = [n.row.station for n in of_2021 if n.row.evening == dt.date(2021, 5, 7)]
    assert sorted(stations) == ["path", "spring"]


def test_a_failed_bulb_and_rain_shorten_the_lamp_hours(season: Reader) -> None:
    bulb = season.night("Terrace", dt.date(2021, 5, 21), ON)
    rain = season.night("Terrace", dt.date(2021, 4, 10), ON)

    # 21:10 to 01:30 is 4 h 20; the bulb was dark from 23:40 to 00:25.
    assert bulb.lamp_hours == pytest.approx(4 + 20 / 60 - 0.75)
    assert rain.lamp_hours == pytest.approx(35 / 60)


def test_the_round_of_12_june_is_full_and_still_to_walk(season: Reader) -> None:
    found = round_of(season.book, season.shelf, ON)
    tasks = {line.task for line in found.lines}

    assert 12 <= len(found.lines) <= 28
    assert (found.done, found.leave_alone >= 4) == (1, True)
    assert {
        Task.FRESH_LEAF,
        Task.CLEAN_AND_LEAF,
        Task.LEAVE_ALONE,
        Task.LOOK_FOR_HATCHING,
        Task.COUNT_DUE,
    } <= tasks
    assert len(found.places) >= 5
    walked = [place.name for place in found.places[:-1]]
    order = [place.name for place in places(season.book)]
    assert walked == [name for name in order if name in walked]


def test_a_female_is_in_her_bag_on_12_june(season: Reader) -> None:
    here = [m for m in mothers(season.book, season.shelf, ON) if m.is_here]

    assert [m.row.code for m in here] == ["W21-07"]


def test_next_to_hatch_is_the_brood_of_28_may(season: Reader) -> None:
    lines = season.lines(ON)

    assert lines["B21-07 pot 1"].task is Task.LOOK_FOR_HATCHING
    assert lines["B21-07 pot 1"].number == 41


def test_every_place_has_readings(season: Reader) -> None:
    told = place_lines(season.book, ON)

    assert len(told) == 9
    assert all(line.readings > 9_000 for line in told)
    assert {line.last for line in told} == {ON}


def test_holes_and_odd_readings_are_there_to_be_seen(season: Reader) -> None:
    by_name = {place.name: place for place in places(season.book)}
    attic = series(
        season.book, by_name["Attic"], dt.date(2021, 5, 17), dt.date(2021, 5, 23)
    )
    porch = series(
        season.book, by_name["Porch"], dt.date(2021, 5, 1), dt.date(2021, 5, 3)
    )

    assert attic.hole_hours + attic.filled_hours == 106
    assert porch.odd_c == (61.5,)


def test_the_broods_are_of_the_roster_s_species(season: Reader) -> None:
    assert {x.taxon for x in season.book.all(BroodRow)} == {
        "Aglia tau",
        "Antheraea yamamai",
        "Endromis versicolora",
        "Laothoe populi",
        "Marumba quercus",
        "Saturnia pavoniella",
        "Saturnia pyri",
        "Sphinx ligustri",
    }
