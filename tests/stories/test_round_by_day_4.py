"""Story 4 kept from the Round page alone: oak for sixty fifth instars.

Every number is the invented scenario's own (hatch by pot and what stood in which cage,
the sample season's); its brood is the first of an empty book, so B20-01 here. 14 days
apart after a virus death, two larvae for three days on suspect leaf, 120 g of leaf in a
large last instar of which 1.6 times as much is cut: common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from rearing.keeping.broods import brood_page
from rearing.keeping.leaf_view import leaf_view
from rearing.records.rows import BroodRow
from rearing.sheets.shelf import load_all
from rearing.terms import ExitKind
from tests.stories.begun_book import begin_book, evenings
from tests.stories.round_hand import Hand

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

    from rearing.keeping.broods import Numbers

CODE = "B20-01"
POTS = [f"{CODE} pot {number}" for number in range(1, 5)]
CAGES = [f"{CODE} cage {number}" for number in range(1, 5)]
SICK = CAGES[1]
CLEAN = "Clean, fresh leaf"
HATCHED = {
    dt.date(2021, 4, 27): [(1, 12, "A")],
    dt.date(2021, 4, 28): [(1, 14, "A"), (1, 7, "B"), (2, 6, "B")],
    dt.date(2021, 4, 29): [(1, 13, "B"), (2, 14, "C")],
    dt.date(2021, 4, 30): [(2, 10, "C"), (3, 5, "D")],
    dt.date(2021, 5, 1): [(3, 8, "D"), (2, 3, "D")],
    dt.date(2021, 5, 2): [(3, 4, "D"), (4, 5, "D")],
    dt.date(2021, 5, 3): [(4, 3, "D")],
}


def april(day: int) -> dt.date:
    return dt.date(2021, 4, day)


def may(day: int) -> dt.date:
    return dt.date(2021, 5, day)


def june(day: int) -> dt.date:
    return dt.date(2021, 6, day)


@pytest.fixture
def hand(qapp: QApplication, tmp_path: Path) -> Iterator[Hand]:
    path = tmp_path / "story.rearing"
    begin_book(path, "W20-03", year=2020)
    made = Hand(tmp_path, path)
    yield made
    made.close()


def test_story_4_from_the_eggs_to_54_cocoons(hand: Hand) -> None:
    eggs_on_twigs(hand)
    through_the_winter(hand)
    out_of_the_fridge(hand)
    hatching_in_a_week(hand)
    small_larvae(hand)
    overdue_eggs(hand)
    into_four_cages(hand)
    seventy_eight_counted(hand)
    oak_for_sixty(hand)
    a_tree_is_closed(hand)
    flacherie_in_cage_2(hand)
    two_test_larvae(hand)
    cocoons(hand)
    what_the_story_must_answer(hand)


def numbers(hand: Hand, on: dt.date) -> Numbers:
    (row,) = hand.book.all(BroodRow)
    return brood_page(hand.book, load_all(), row.id, on).numbers


def lose(hand: Hand, code: str, number: int, cause: str, stage: str) -> None:
    hand.at(code, "X", Number=number, Cause=cause, Stage=stage)


def eggs_on_twigs(hand: Hand) -> None:
    for evening, number in ((15, 52), (16, 37), (17, 20), (18, 9)):
        hand.evening(dt.date(2020, 8, evening + 1), dt.time(8))
        hand.enter(
            *"E",
            Eggs=number,
            Evening=f"2020-08-{evening}",
            Pot="new pot, North shed",
        )


def through_the_winter(hand: Hand) -> None:
    """Eggs of the winter ask for nothing, week after week."""
    for day in evenings(dt.date(2020, 8, 24), dt.date(2021, 2, 28)):
        if day.weekday() == 0:
            hand.evening(day)
            assert hand.due() == {}, day
    hand.evening(dt.date(2021, 3, 1))
    for pot in POTS:
        assert hand.task(pot) == "Nothing due"
        hand.at(pot, "M", To="Fridge")
    for day in (dt.date(2021, 3, 15), april(1), april(15)):
        hand.evening(day)
        assert hand.due() == {}


def out_of_the_fridge(hand: Hand) -> None:
    hand.evening(april(20), dt.time(8))
    for pot in POTS:
        hand.at(pot, "M", To="Hall shelf")
        assert "First " in hand.why(pot), "warm again, its hatch is foretold"
    hand.at(POTS[0], "N", Note="Oak not yet in leaf, frost forecast.")
    assert f"Next to hatch: {CODE} pot" in hand.foot()
    for day in evenings(april(21), april(26)):
        hand.evening(day)
        assert set(hand.due().values()) <= {"Look for hatching"}
        assert hand.due() == {} or day >= april(24), "nothing to look for so soon"
        hand.walk()


def hatching_in_a_week(hand: Hand) -> None:
    for day, hatched in HATCHED.items():
        hand.evening(day)
        assert {hand.task(pot) for pot in POTS} == {"Look for hatching"}
        for pot, number, box in hatched:
            new = {"Into": "new box", "Place": "Kitchen shelf", "Label": box}
            stands = f"{CODE} {box}" in hand.lines()
            into = {"Into": f"{CODE} {box}"} if stands else new
            hand.at(POTS[pot - 1], "L", How_many=number, **into)
        hand.walk()
    assert sum(hand.number(f"{CODE} {box}") for box in "ABCD") == 104
    assert f"{CODE} D" in hand.lines()
    hand.evening(may(4))
    assert hand.resting() == {f"{CODE} D": "until Wed 5 May"}


def small_larvae(hand: Hand) -> None:
    hand.evening(may(3), dt.time(21))
    lose(hand, f"{CODE} A", 3, "not known", "L1")
    for day in evenings(may(4), may(9)):
        hand.evening(day)
        hand.walk()
        if day == may(4):
            lose(hand, f"{CODE} B", 4, "not known", "L1")
            lose(hand, f"{CODE} C", 2, "not known", "L1")
        elif day == may(6):
            lose(hand, f"{CODE} D", 2, "not known", "L1")


def overdue_eggs(hand: Hand) -> None:
    hand.evening(may(10))
    assert hand.task(POTS[0]) == "Eggs overdue"
    assert hand.why(POTS[0]) == (
        "None hatched since 29 April: say what became of the rest"
    )
    for pot, dead, collapsed in zip(POTS, (4, 3, 2, 1), (2, 1, 1, 0), strict=True):
        hand.at(pot, "H", Number=dead, Fate="dead in shell")
        if collapsed:
            hand.at(pot, "H", Number=collapsed, Fate="collapsed")
    hand.walk()
    assert not [code for code in hand.lines() if "pot" in code]
    found = numbers(hand, may(10))
    assert (found.eggs, found.hatched, found.waiting) == (118, 104, 0)
    for day in evenings(may(11), may(19)):
        hand.evening(day)
        hand.walk()
        assert set(hand.due().values()) <= {"Count due"}
        if day == may(12):
            lose(hand, f"{CODE} D", 4, "drowned", "L2")
        elif day == may(14):
            friend = {"How": "given", "Stage": "L2", "To_whom": "a friend"}
            for box, number in (("A", 2), ("B", 2), ("C", 4)):
                hand.at(f"{CODE} {box}", "R", Number=number, **friend)


def into_four_cages(hand: Hand) -> None:
    hand.evening(may(20))
    for box, cage in zip("ABCD", CAGES, strict=True):
        source = f"{CODE} {box}"
        label = cage.removeprefix(f"{CODE} ")
        new = {"Into": "new cage", "Place": "Kitchen shelf", "Label": label}
        number = hand.number(source)
        hand.at(source, "V", How_many=number, Stage="L3", **new)
        hand.at(source, "Z")
        hand.at(cage, "E", Leaf="downy oak")
    for cage, second, third in zip(CAGES, (2, 3, 4, 5), (19, 17, 16, 15), strict=True):
        hand.at(cage, "G", L2=second, L3=third)
    for day in evenings(may(21), may(29)):
        hand.evening(day)
        asked = set(hand.due().values())
        assert asked <= {"Clean", CLEAN, "Fresh leaf", "Count due", "More room"}
        hand.walk()
    assert sum(hand.number(cage) for cage in CAGES) == 81


def seventy_eight_counted(hand: Hand) -> None:
    hand.evening(may(30), dt.time(17, 30))
    counted = [(20, 2, 15, 3), (19, 1, 15, 3), (19, 2, 15, 2), (20, 1, 16, 3)]
    for cage, (number, *stages) in zip(CAGES, counted, strict=True):
        hand.count(cage, number)
        hand.at(cage, "G", L3=stages[0], L4=stages[1], L5=stages[2])
    assert sum(hand.number(cage) for cage in CAGES) == 78
    assert numbers(hand, may(30)).unaccounted == 3
    hand.evening(may(30), dt.time(18, 30))
    school = {"How": "given", "Stage": "L4", "To_whom": "a school"}
    for cage, number in zip(CAGES, (5, 4, 4, 5), strict=True):
        hand.at(cage, "R", Number=number, **school)
    hand.evening(may(30), dt.time(19))
    left = [(2, 10, 3), (1, 11, 3), (2, 11, 2), (1, 11, 3)]
    for cage, still in zip(CAGES, left, strict=True):
        hand.at(cage, "G", L3=still[0], L4=still[1], L5=still[2])
    assert sum(hand.number(cage) for cage in CAGES) == 60
    hand.walk()


def oak_for_sixty(hand: Hand) -> None:
    """The answer for 60 fifth instars: 7.2 kg eaten, 11.5 kg cut, to about 23 June."""
    oak = leaf_view(hand.book, load_all(), may(30)).host("downy oak")
    assert oak is not None
    (eaters,) = oak.eaters
    assert (eaters.number, eaters.last_g) == (60, 7200)
    assert "7.2 kg eaten, about 11.5 kg to cut" in oak.last_words
    assert eaters.last_into is not None
    assert abs((eaters.last_into - june(11)).days) <= 2
    assert abs((oak.until - june(23)).days) <= 3


def a_tree_is_closed(hand: Hand) -> None:
    hand.evening(may(31))
    hand.walk()
    hand.evening(june(1))
    hand.enter("6", Tree="Oak 2", Until="15 June", Why="vineyard beside it sprayed")
    assert "Oak 2" in hand.last()
    hand.walk()
    for day in evenings(june(2), june(8)):
        hand.evening(day)
        hand.walk()
        if day == june(5):
            lose(hand, CAGES[2], 1, "drowned", "L4")
            hand.press(Qt.Key.Key_F2, "7")
            asked = hand.question(Leaf="downy oak", Tree="Oak 2")
            assert "Oak 2 is closed until Tue 15 June" in asked
    stages = [(2, 13), (2, 13), (3, 11), (1, 14)]
    for cage, (fourth, fifth) in zip(CAGES, stages, strict=True):
        hand.at(cage, "G", L4=fourth, L5=fifth)


def flacherie_in_cage_2(hand: Hand) -> None:
    """The sick cage is walked to last, for 14 days after the last death."""
    hand.evening(june(9))
    assert "Last instar, fed daily" in hand.why(SICK)
    lose(hand, SICK, 1, "flacherie", "L5")
    hand.at(SICK, "M", To="North shed")
    hand.walk()
    assert list(hand.lines())[-1] == SICK
    assert hand.line(SICK).alarm
    for day, number in ((10, 2), (11, 1)):
        hand.evening(june(day))
        lose(hand, SICK, number, "flacherie", "L5")
        hand.walk()
    hand.evening(june(12))
    assert list(hand.lines())[-1] == SICK
    assert "Last flacherie death 11 June; apart until 25 June" in hand.why(SICK)


def two_test_larvae(hand: Hand) -> None:
    hand.enter("0", Tree="Oak 2", Larvae=2)
    hand.walk()
    for day in (13, 14):
        hand.evening(june(day))
        assert "Judge the leaf" not in hand.due().values()
        hand.walk()
    hand.evening(june(15))
    (line,) = [x for x, task in hand.due().items() if task == "Judge the leaf"]
    hand.go_to(line)
    hand.press("J")
    hand.fill(Alive_of_2=2)
    hand.walk()
    hand.enter("7", Leaf="downy oak", Tree="Oak 2", Weight="1500")
    assert "Cut downy oak 1500 g from Oak 2" in hand.last()


def cocoons(hand: Hand) -> None:
    for day in evenings(june(16), june(23)):
        hand.evening(day)
        hand.walk()
        if day == june(18):
            spun = zip(CAGES, (8, 5, 8, 10), (7, 6, 6, 5), strict=True)
            for cage, cocoon, larva in spun:
                hand.at(cage, "G", L5=larva, Pupa=cocoon)
    hand.evening(june(24))
    for cage, number in zip(CAGES, (15, 11, 14, 14), strict=True):
        hand.count(cage, number)
        hand.at(cage, "G", Pupa=number)
    assert sum(hand.number(cage) for cage in CAGES) == 54


def what_the_story_must_answer(hand: Hand) -> None:
    before, after = numbers(hand, may(30)), numbers(hand, june(24))
    assert (before.alive, after.alive) == (60, 54)
    assert after.left[ExitKind.GIVEN] == 8 + 18
    lost = {x.cause: x.number for x in after.losses if not x.of_eggs}
    earlier = {x.cause: x.number for x in before.losses if not x.of_eggs}
    assert lost["flacherie"] == 4
    assert lost["drowned"] - earlier["drowned"] == 1
    assert after.unaccounted - before.unaccounted == 1
    assert after.is_balanced
    eggs = {x.cause: x.number for x in after.losses if x.of_eggs}
    assert eggs == {"dead in shell": 10, "collapsed": 4}
