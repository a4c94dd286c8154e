"""Story 3 kept from the Round page alone: two nights away in the heat.

Every number is the invented scenario's own; its brood is the first of an empty book,
so B21-01 here. That L1 of this species do not feed: B. Mery, Breeding the Oak
hawk-moth, AES Bulletin. Three weeks in the tub for a hawkmoth, leaf of two days at 29°,
eight to a bottle: common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from rearing.keeping.broods import brood_page
from rearing.keeping.fates import End
from rearing.records.rows import BroodRow
from rearing.sheets.shelf import load_all
from tests.stories.begun_book import begin_book, evenings
from tests.stories.round_hand import Hand

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

CODE = "B21-01"
BOTTLES = [f"{CODE} {letter}" for letter in "ABCDEFGH"]
THREE = BOTTLES[:3]
FRESH, CLEAN = "Fresh leaf", "Clean, fresh leaf"
MORNING, EARLY = dt.time(8), dt.time(7, 30)
UNFED = "M. quercus sits unfed until its first moult: nothing is wrong"


def june(day: int) -> dt.date:
    return dt.date(2021, 6, day)


def july(day: int) -> dt.date:
    return dt.date(2021, 7, day)


@pytest.fixture
def hand(qapp: QApplication, tmp_path: Path) -> Iterator[Hand]:
    path = tmp_path / "story.rearing"
    begin_book(path, "W21-07", year=2021)
    made = Hand(tmp_path, path)
    yield made
    made.close()


def test_story_3_from_the_eggs_to_22_pupae(hand: Hand) -> None:
    eggs_by_night(hand)
    waiting_for_the_hatch(hand)
    hatching_on_three_days(hand)
    first_days_on_leaf(hand)
    eight_bottles_in_the_attic(hand)
    days_away_are_entered_and_answered(hand)
    two_days_in_the_heat(hand)
    twenty_five_are_left(hand)
    three_bottles_again(hand)
    to_the_last_instar(hand)
    into_the_tub(hand)
    what_the_story_must_answer(hand)


def eggs_by_night(hand: Hand) -> None:
    for evening, number in ((4, 20), (5, 27), (6, 18), (7, 7)):
        hand.evening(june(evening + 1), MORNING)
        hand.enter(
            *"E",
            Eggs=number,
            Evening=f"2021-06-{evening:02d}",
            Pot="new pot, Hall shelf",
        )
        assert f"{number} eggs from W21-07" in hand.last()
    assert hand.due() == {}


def waiting_for_the_hatch(hand: Hand) -> None:
    """From some days before the first may hatch on, the page asks to look."""
    asked = {}
    for day in evenings(june(8), june(16)):
        hand.evening(day)
        asked[day] = set(hand.due().values())
        hand.walk()
        assert hand.due() == {}
    assert asked[june(8)] == set()
    assert asked[june(16)] == {"Look for hatching"}


def hatching_on_three_days(hand: Hand) -> None:
    days = {17: [(1, 18), (2, 4)], 18: [(2, 20), (3, 8)], 19: [(3, 8), (4, 6)]}
    for day, hatched in days.items():
        hand.evening(june(day))
        assert "First " in hand.why(f"{CODE} pot 4")
        for pot, number in hatched:
            place = {"Into": f"{CODE} N"}
            if (day, pot) == (17, 1):
                place = {"Into": "new box", "Place": "Hall shelf", "Label": "N"}
            hand.at(f"{CODE} pot {pot}", "L", How_many=number, **place)
        hand.walk()
        assert hand.due() == {}
    assert hand.number(f"{CODE} N") == 64


def first_days_on_leaf(hand: Hand) -> None:
    hand.evening(june(20))
    assert hand.resting() == {f"{CODE} N": "until Mon 21 June"}
    assert UNFED in hand.why(f"{CODE} N")
    hand.walk()
    for day in (21, 22):
        hand.evening(june(day))
        assert hand.task(f"{CODE} N") == "Look"
        assert UNFED in hand.why(f"{CODE} N")
        hand.walk()
    hand.evening(june(23))
    assert hand.task(f"{CODE} N") == CLEAN
    for pot, number in ((1, 2), (2, 3), (3, 2), (4, 1)):
        hand.at(f"{CODE} pot {pot}", "H", Number=number, Fate="collapsed")
    hand.walk()
    assert set(hand.lines()) == {f"{CODE} N"}


def eight_bottles_in_the_attic(hand: Hand) -> None:
    hand.evening(june(24), MORNING)
    hand.at(f"{CODE} N", "G", L2=64)
    eights = {"How_many_into_each": "8 8 8 8 8 8 8 8", "New_ones": "bottle"}
    hand.at(f"{CODE} N", "D", **eights, Place="Attic")
    assert f"{CODE} N" not in hand.lines(), "emptied, and so closed"
    hand.evening(june(24))
    assert hand.due() == dict.fromkeys(BOTTLES, FRESH)
    assert {hand.number(bottle) for bottle in BOTTLES} == {8}
    assert hand.walk() == dict.fromkeys(BOTTLES, FRESH)
    assert hand.why(BOTTLES[0]) == "Fed 20:00: downy oak"


def days_away_are_entered_and_answered(hand: Hand) -> None:
    hand.evening(june(25))
    assert hand.due() == {}
    for bottle in BOTTLES:  # a look is a record, no look is a gap
        hand.go_to(bottle)
        hand.press("W")
    hand.chord(Qt.KeyboardModifier.ControlModifier, Qt.Key.Key_J)
    hand.fill(From="28 June", To="29 June")
    told = hand.panel_words(while_saying="being worked out")
    assert "the leaf of 8 boxes runs out, the first by midday Tue 29 June" in told
    assert f"{CODE} A, B, C, D, E, F, G, H" in told
    assert "Saved by a helper, or Cellar (10°), or a sleeve on Oak 1" in told
    assert "A helper has to give leaf on Mon 28 June (8 boxes)" in told
    hand.press(Qt.Key.Key_Escape)
    assert hand.page.heading().under.startswith("Away Mon 28 and Tue 29 June")
    assert "Away Mon 28 and Tue 29 June: the leaf of 8 boxes runs out" in hand.foot()


def two_days_in_the_heat(hand: Hand) -> None:
    """She ignores the answer: all is fed on the eve, and nobody comes for two days."""
    hand.evening(june(26))
    assert hand.due() == dict.fromkeys(BOTTLES, CLEAN)
    assert "lasts two days" in hand.why(BOTTLES[0])
    hand.walk()
    hand.evening(june(27))
    for bottle in BOTTLES:
        hand.go_to(bottle)
        hand.press("F")
        assert "Fed 20:00: downy oak" in hand.why(bottle)
    for day, life in ((28, "lasts 1.6 days at 31°"), (29, "a day and a half at 32°")):
        hand.evening(june(day))
        assert hand.due() == dict.fromkeys(BOTTLES, CLEAN)
        assert f"Downy oak of Sun 27 June {life}".replace("a day", "lasts a day") in (
            hand.why(BOTTLES[0])
        )


def twenty_five_are_left(hand: Hand) -> None:
    hand.evening(june(30), EARLY)
    assert "it ended Tue 29 June" in hand.why(BOTTLES[0])
    seen = [(4, 0), (2, 1), (2, 1), (3, 0), (3, 0), (3, 0), (2, 1), (2, 1)]
    for bottle, (rest, moulted) in zip(BOTTLES, seen, strict=True):
        alive = rest + moulted
        lost = {"Found_lost": 8 - alive, "to_what_cause": "dry leaf"}
        hand.count(bottle, alive, **lost)
        hand.at(bottle, "G", L2=rest, L3=moulted, L2_at_rest=rest)
    assert sum(hand.number(bottle) for bottle in BOTTLES) == 25
    hand.at(BOTTLES[0], "N", Note="Two of the 25 have lost their horns.")
    hand.evening(june(30))
    assert hand.resting() == dict.fromkeys(BOTTLES, "until Thu 1 July, night")
    assert "Moulting rest, 4 of 4 since Wed 30 June" in hand.why(BOTTLES[0])
    assert hand.walk() == {}


def three_bottles_again(hand: Hand) -> None:
    hand.evening(july(1), dt.time(9))
    assert set(hand.due()) == set(BOTTLES)
    moves = [("E", "A", 2), ("E", "B", 1), ("G", "B", 1), ("G", "C", 2)]
    for source, target, number in moves:
        hand.at(
            *(f"{CODE} {source}", "V"),
            How_many=number,
            Into=f"{CODE} {target}",
            Stage="L3",
        )
    for source, target in (("D", "A"), ("F", "B"), ("H", "C")):
        hand.at(f"{CODE} {source}", "J", To=f"{CODE} {target}", Stage="L3")
    for empty in ("E", "G"):
        hand.at(f"{CODE} {empty}", "Z")
    for bottle, number in zip(THREE, (9, 8, 8), strict=True):
        hand.at(bottle, "M", To="Hall shelf")
        hand.count(bottle, number)
        hand.at(bottle, "G", L3=number)
        assert hand.known(bottle) == "counted today"
    hand.evening(july(1))
    assert hand.walk() == dict.fromkeys(THREE, CLEAN)
    assert set(hand.lines()) == set(THREE)


def to_the_last_instar(hand: Hand) -> None:
    """Every second day leaf and a brush; after a week a count is asked for."""
    for day in evenings(july(2), july(13)):
        hand.evening(day)
        due = set(hand.due().values())
        assert due <= {CLEAN, FRESH, "Count due"}, (day, hand.due())
        assert (CLEAN in due) == (day.day % 2 == 1), (day, hand.due())
        hand.walk()
        if day == july(8):
            assert "7 days since the last headcount" in hand.why(THREE[0])
            for bottle, number in zip(THREE, (9, 8, 8), strict=True):
                hand.count(bottle, number)
            assert hand.due() == {}
    hand.evening(july(14))
    hand.at(THREE[0], "G", L4=1, L5=8)
    for bottle in THREE[1:]:
        hand.at(bottle, "G", L5=8)
    for day in evenings(july(15), july(23)):
        hand.evening(day)
        assert set(hand.due()) >= set(THREE), "the last instar is fed daily"
        assert "Last instar, fed daily" in hand.why(THREE[0])
        hand.walk()
        if day == july(18):
            hand.at(THREE[1], "X", Number=1, Cause="failed moult", Stage="L5")


def into_the_tub(hand: Hand) -> None:
    tub = f"{CODE} T8"
    hand.evening(july(24))
    hand.walk()
    new = {"Into": "new tub", "Place": "Hall shelf", "Label": "T8"}
    hand.at(THREE[0], "V", How_many=4, Stage="wandering", **new)
    hand.at(THREE[1], "V", How_many=3, Stage="wandering", Into=tub)
    hand.evening(july(25))
    assert hand.resting() == {tub: "until Sat 14 August"}
    hand.walk()
    hand.evening(july(26))
    hand.walk()
    for bottle, number in zip(THREE, (5, 4, 6), strict=True):
        hand.at(bottle, "V", How_many=number, Stage="wandering", Into=tub)
    hand.count(THREE[2], 0)
    for bottle in THREE:
        hand.at(bottle, "Z")
    for day in evenings(july(27), dt.date(2021, 8, 8)):
        hand.evening(day)
        assert hand.due() == {}
        assert hand.resting() == {tub: "until Mon 16 August"}
    hand.evening(dt.date(2021, 8, 9))
    assert "Last wanderer 26 July; pupae are soft" in hand.why(tub)
    hand.count(tub, 22)
    hand.at(tub, "G", Pupa=22)
    assert (hand.number(tub), hand.known(tub)) == (22, "counted today")


def what_the_story_must_answer(hand: Hand) -> None:
    on = dt.date(2021, 8, 9)
    life = hand.life(CODE, on)
    lost = {str(one.why): one.number for one in life.losses}
    assert lost == {"collapsed": 8, "dry leaf": 39, "failed moult": 1, "unaccounted": 2}
    assert (life.fates.hatched, life.living) == (64, 22)
    assert life.survived is not None
    assert life.survived.share == pytest.approx(0.34, abs=0.005)
    assert life.fates.number(End.UNACCOUNTED) == 2
    (row,) = hand.book.all(BroodRow)
    back = brood_page(hand.book, load_all(), row.id, june(30))
    gaps = [one.words for one in back.doings if one.words.startswith("no visit")]
    assert gaps == ["no visit 28 to 29 June, away"]
    assert brood_page(hand.book, load_all(), row.id, on).numbers.is_balanced
