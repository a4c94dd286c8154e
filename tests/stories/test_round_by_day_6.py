"""Story 6 kept from the Round page alone: the sleeve that would not balance.

Every number is the invented scenario's own (of the boxes beside the sleeve, the sample
season's); its brood is the first of an empty book, so B21-01 here. A tub lies still for
14 days after the last arrival, twelve weeks' larvae are fed daily in the last instar:
common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.broods import brood_page
from rearing.keeping.followed import followed
from rearing.records.rows import BroodRow
from rearing.sheets.shelf import load_all
from rearing.terms import Cause, Stage
from tests.stories.begun_book import begin_book, evenings
from tests.stories.round_hand import Hand

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

CODE = "B21-01"
A, B, SLEEVE, APART = (f"{CODE} {label}" for label in ("A", "B", "S1", "S1-x"))
T3, T7 = f"{CODE} T3", f"{CODE} T7"
CLEAN = "Clean, fresh leaf"


def may(day: int) -> dt.date:
    return dt.date(2021, 5, day)


def june(day: int) -> dt.date:
    return dt.date(2021, 6, day)


def july(day: int) -> dt.date:
    return dt.date(2021, 7, day)


@pytest.fixture
def hand(qapp: QApplication, tmp_path: Path) -> Iterator[Hand]:
    path = tmp_path / "story.rearing"
    begin_book(path, "W21-03", year=2021)
    made = Hand(tmp_path, path)
    yield made
    made.close()


def test_story_6_from_the_eggs_to_25_pupae_and_8_unaccounted(hand: Hand) -> None:
    eggs_by_night(hand)
    hatching_on_three_days(hand)
    first_days_on_leaf(hand)
    forty_into_the_sleeve(hand)
    seven_are_missing(hand)
    one_is_found_again(hand)
    five_with_white_eggs(hand)
    boxes_go_down(hand)
    maggots_out(hand)
    into_litter(hand)
    the_tub_is_left_shut(hand)
    what_the_story_must_answer(hand)


def eggs_by_night(hand: Hand) -> None:
    for evening, number in ((7, 31), (8, 33), (9, 16), (10, 6)):
        hand.evening(may(evening + 1), dt.time(8))
        hand.enter(
            *"E",
            Eggs=number,
            Evening=f"2021-05-{evening:02d}",
            Pot="new pot, Hall shelf",
        )
    for day in evenings(may(12), may(21)):
        hand.evening(day)
        due = hand.due()
        assert set(due.values()) <= {"Look for hatching"}
        # asked for from a few days before the first may hatch, and not sooner
        assert bool(due) == (day >= may(15)), day
        hand.walk()


def hatching_on_three_days(hand: Hand) -> None:
    days = {
        22: [(1, 20, A), (2, 9, A)],
        23: [(1, 7, A), (2, 1, A), (2, 17, B), (3, 8, B)],
        24: [(2, 2, B), (3, 5, B), (4, 5, B)],
    }
    for day, hatched in days.items():
        hand.evening(may(day))
        assert hand.task(f"{CODE} pot 1") == "Look for hatching"
        for pot, number, box in hatched:
            new = {"Into": "new box", "Place": "Hall shelf", "Label": box[-1:]}
            into = {"Into": box} if box in hand.lines() else {**new, "Leaf": "beech"}
            hand.at(f"{CODE} pot {pot}", "L", How_many=number, **into)
        hand.walk()
    assert (hand.number(A), hand.number(B)) == (37, 37)


def first_days_on_leaf(hand: Hand) -> None:
    hand.evening(may(25))
    assert hand.resting() == {B: "until Wed 26 May"}
    assert "Hatched 24 May; they settle on the leaf" in hand.why(B)
    assert hand.task(A) == "Look"
    hand.walk()
    for day in evenings(may(26), may(28)):
        hand.evening(day)
        hand.walk()
    hand.evening(may(29))
    for pot, collapsed, dead in ((1, 3, 1), (2, 2, 2), (3, 2, 1), (4, 1, 0)):
        hand.at(f"{CODE} pot {pot}", "H", Number=collapsed, Fate="collapsed")
        if dead:
            hand.at(f"{CODE} pot {pot}", "H", Number=dead, Fate="dead in shell")
    hand.walk()
    assert not [code for code in hand.lines() if "pot" in code]
    for day in evenings(may(30), june(2)):
        hand.evening(day)
        asked = {hand.due()[code] for code in hand.due()}
        assert asked <= {"Clean", CLEAN, "Fresh leaf", "Count due"}
        hand.walk()


def forty_into_the_sleeve(hand: Hand) -> None:
    hand.evening(june(3))
    hand.walk()
    new = {"Into": "new sleeve", "Place": "Beech hollow trees", "Label": "S1"}
    hand.at(A, "V", How_many=20, Stage="L2", **new)
    hand.at(B, "V", How_many=20, Stage="L2", Into=SLEEVE)
    for box in (A, B):
        hand.count(box, 17)
        hand.at(box, "G", L2=17)
    hand.at(SLEEVE, "G", L2=40)
    assert (hand.number(SLEEVE), hand.known(SLEEVE)) == (40, "by the book")
    for day in evenings(june(4), june(9)):
        hand.evening(day)
        assert SLEEVE not in hand.due(), "on the living plant: nothing to feed"
        hand.walk()
    hand.evening(june(10))
    assert hand.task(SLEEVE) == "Count due"
    assert "7 days since they were put in" in hand.why(SLEEVE)
    hand.walk()


def seven_are_missing(hand: Hand) -> None:
    for day in evenings(june(11), june(16)):
        hand.evening(day)
        hand.walk()
        assert set(hand.due().values()) <= {"Count due"}
    hand.evening(june(17))
    assert "14 days since they were put in" in hand.why(SLEEVE)
    note = "one wasp hole mended, 2 spiders out"
    hand.at(SLEEVE, "B", Tree="Beech 2", Counted=33, Note=note)
    assert (
        "Put the sleeve B21-01 S1 on Beech 2, Thu 17 June; 33 counted, 7 are "
        "unaccounted for."
    ) in hand.last()
    hand.at(SLEEVE, "G", L3=33)
    for box in (A, B):
        hand.count(box, 17)
    hand.walk()
    assert hand.due() == {}


def one_is_found_again(hand: Hand) -> None:
    for day in evenings(june(18), june(23)):
        hand.evening(day)
        hand.walk()
        if day == june(20):
            hand.at(A, "X", Number=1, Cause="failed moult", Stage="L4")
            hand.at(A, "G", L3=2, L4=14)
            hand.at(B, "G", L3=5, L4=12)
    hand.evening(june(24))
    assert hand.task(SLEEVE) == "Count due"
    hand.count(SLEEVE, 34)
    assert "1 more than the book, a correction" in hand.last()
    hand.at(SLEEVE, "G", L3=9, L4=25)
    hand.count(A, 16)
    hand.count(B, 17)
    hand.walk()
    life = hand.life(CODE, june(24))
    assert (life.came, life.unaccounted) == (74, 6), "a correction, not a birth"


def five_with_white_eggs(hand: Hand) -> None:
    for day in evenings(june(25), july(1)):
        hand.evening(day)
        assert "L4, cleaned daily" in hand.why(A)
        hand.walk()
        if day == june(27):
            hand.at(A, "X", Number=1, Cause="not known", Stage="L4")
    hand.at(A, "G", L5=15)
    hand.at(B, "G", L4=3, L5=14)
    hand.evening(july(2))
    assert "Last instar, fed daily" in hand.why(A)
    new = {"Into": "new box", "Place": "North shed", "Label": "S1-x"}
    hand.at(SLEEVE, "V", How_many=5, Stage="L5", **new)
    hand.at(SLEEVE, "G", L5=29)
    hand.at(APART, "E", Leaf="beech")
    hand.at(APART, "G", L5=5)
    hand.at(APART, "N", Note="White eggs on the skin.")
    hand.at(APART, "K", Why="tachinid eggs", Until="16 July")
    hand.walk()
    hand.evening(july(3))
    assert list(hand.lines())[-1] == APART, "who is kept apart is walked to last"


def boxes_go_down(hand: Hand) -> None:
    down = {5: (A, 6), 7: (A, 9), 8: (B, 10), 10: (B, 7)}
    for day in evenings(july(3), july(10)):
        hand.evening(day)
        hand.walk()
        if day.day not in down:
            continue
        box, number = down[day.day]
        new = {"Into": "new tub", "Place": "Hall shelf", "Label": "T7"}
        tub = {"Into": T7} if T7 in hand.lines() or day > july(5) else new
        hand.at(box, "V", How_many=number, Stage="wandering", **tub)
    hand.evening(july(11))
    assert hand.resting()[T7] == "until Sat 24 July"
    for box in (A, B):
        hand.at(box, "Z")


def maggots_out(hand: Hand) -> None:
    maggots = {"Cause": "parasitoid", "Stage": "L5", "Note": "maggots out"}
    hand.at(APART, "X", Number=5, **maggots)
    assert "Lost 5 in B21-01 S1-x: parasitoid" in hand.last()
    hand.at(APART, "Z", Why="all dead")
    hand.walk()
    assert APART not in hand.lines()


def into_litter(hand: Hand) -> None:
    for day, number in ((12, 9), (13, 8), (14, 6), (15, 4)):
        hand.evening(july(day))
        new = {"Into": "new tub", "Place": "Hall shelf", "Label": "T3"}
        tub = new if day == 12 else {"Into": T3}
        hand.at(SLEEVE, "V", How_many=number, Stage="wandering", **tub)
        hand.walk()
    hand.at(SLEEVE, "Z", Why="empty")
    assert "Closed B21-01 S1, Thu 15 July; 2 unaccounted" in hand.last()


def the_tub_is_left_shut(hand: Hand) -> None:
    """14 days after the last arrival, 15 July, it may be opened: 29 July."""
    for day in evenings(july(16), july(28)):
        hand.evening(day)
        assert hand.resting()[T3] == "until Thu 29 July"
        assert "Last wanderer 15 July; pupae are soft" in hand.why(T3)
        assert (T7 in hand.resting()) == (day < july(24))
        if day == july(25):
            hand.count(T7, 30, Found_lost=1, to_what_cause="dead in litter")
            hand.at(T7, "G", Pupa=30)
        hand.walk()
    hand.evening(july(29))
    assert hand.task(T3) == "Look"
    assert "the tub may be opened since 29 July" in hand.why(T3)
    hand.count(T3, 25, Found_lost=2, to_what_cause="dead in litter")
    hand.at(T3, "G", Pupa=25)
    assert (hand.number(T3), hand.known(T3)) == (25, "counted today")


def what_the_story_must_answer(hand: Hand) -> None:
    on = july(29)
    life = hand.life(CODE, on)
    sleeved = followed(life.fates, "S1")
    assert sleeved.came == 40
    assert sleeved.alive == {Stage.PUPA: 25}
    assert sleeved.lost == {Cause.PARASITOID: 5, Cause.DEAD_IN_LITTER: 2}
    assert sleeved.unaccounted == 8
    assert 25 + 5 + 2 + 8 == 40
    (row,) = hand.book.all(BroodRow)
    numbers = brood_page(hand.book, load_all(), row.id, on).numbers
    assert (numbers.eggs, numbers.hatched) == (86, 74)
    assert numbers.is_balanced
