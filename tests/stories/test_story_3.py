"""Two nights away in the heat: Marumba quercus, June 2021.

Every number is the invented scenario's own. That L1 of this species do not feed:
B. Mery, Breeding the Oak hawk-moth, AES Bulletin.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.round_lines import Task
from rearing.records.readings import readings_between
from rearing.records.rows import PlaceRow
from tests.stories.reader import ZONE

if TYPE_CHECKING:
    from tests.stories.reader import Reader

CODE = "B21-08"


def test_eggs_by_night_and_hatch(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 6, 23))

    assert [(n.evening.day, n.laid, n.hatched) for n in page.nights] == [
        (4, 20, 18),
        (5, 27, 24),
        (6, 18, 16),
        (7, 7, 6),
    ]
    assert page.numbers.hatched == 64
    assert [(x.cause, x.number) for x in page.numbers.losses] == [("collapsed", 8)]


def test_hatchlings_that_do_not_feed_are_no_alarm(season: Reader) -> None:
    line = season.lines(dt.date(2021, 6, 19))[f"{CODE} N"]

    assert line.task is Task.LEAVE_ALONE
    assert "sits unfed until its first moult: nothing is wrong" in line.reason


def test_eight_bottles_of_eight_in_the_attic(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 6, 24))
    bottles = [box for box in page.boxes if box.row.kind.value == "bottle"]

    assert [(box.row.label, box.standing.number) for box in bottles] == [
        (label, 8) for label in "ABCDEFGH"
    ]
    places = {page.place_names[box.stays[0].place_id] for box in bottles}
    assert places == {"Attic"}


def test_leaf_lasts_the_two_days_learnt_there_and_less_in_heat(
    season: Reader,
) -> None:
    usual = season.lines(dt.date(2021, 6, 25))[f"{CODE} A"]
    hot = season.lines(dt.date(2021, 6, 29))[f"{CODE} A"]

    assert usual.reason == "Downy oak lasts to Sat 26 June"
    assert hot.task is Task.CLEAN_AND_LEAF
    assert "Downy oak of Sun 27 June lasts a day and a half at 32°" in hot.reason


def test_the_attic_stood_at_31_to_33_degrees(season: Reader) -> None:
    attic = next(p for p in season.book.all(PlaceRow) if p.name == "Attic")
    _, celsius = readings_between(
        season.book,
        attic.id,
        dt.datetime(2021, 6, 28, 8, tzinfo=ZONE).timestamp(),
        dt.datetime(2021, 6, 30, 0, tzinfo=ZONE).timestamp(),
    )

    assert (round(celsius.min()), round(celsius.max())) == (31, 33)


def test_thirty_nine_were_lost_to_dry_leaf(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 6, 30))
    larvae = {x.cause: x.number for x in page.numbers.losses if not x.of_eggs}

    assert larvae == {"dry leaf": 39}
    assert page.numbers.alive == 25
    assert page.numbers.unaccounted == 0


def test_twenty_one_of_the_living_were_at_moulting_rest(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 6, 30))
    looks = [
        box.last_look for box in page.boxes if box.last_look and box.standing.number
    ]

    assert sum(look.total for look in looks) == 25
    assert sum(sum(look.resting.values()) for look in looks) == 21
    assert "Two of the 25 have lost their horns." in {n.text for n in page.notes}


def test_the_days_away_are_a_gap_and_not_noughts(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 6, 30))
    words = [doing.words for doing in page.doings]

    assert "no visit 28 to 29 June" in words
    away = {dt.date(2021, 6, 28), dt.date(2021, 6, 29)}
    entered = [d for d in page.doings if d.on in away and not d.words.startswith("no ")]
    assert entered == []


def test_three_bottles_are_left_on_1_july(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 7, 2))

    assert [(b.row.label, b.standing.number) for b in page.open_boxes] == [
        ("A", 9),
        ("B", 8),
        ("C", 8),
    ]


def test_22_of_64_came_to_pupae(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 8, 9))
    larvae = {x.cause: x.number for x in page.numbers.losses if not x.of_eggs}

    assert page.summary == "22 pupae, seen 9 August"
    assert page.numbers.alive == 22
    assert page.numbers.alive / page.numbers.hatched == pytest.approx(0.34, abs=0.005)
    assert larvae == {"dry leaf": 39, "failed moult": 1}
    assert page.numbers.unaccounted == 2
    assert page.numbers.is_balanced
