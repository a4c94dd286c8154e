"""Oak for sixty fifth instars: Antheraea yamamai, 2020 to 2021.

Every number is the invented scenario's own.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import care, leaf
from rearing.keeping.boxes import When
from rearing.keeping.round import QUARANTINE, round_of
from rearing.problems import AskFirst
from rearing.records.rows import TreeRow
from rearing.terms import ExitKind, LawFlag, Stage
from tests.stories.reader import entry, middle

if TYPE_CHECKING:
    from tests.stories.reader import Reader

CODE = "B20-03"
COUNTED = dt.date(2021, 5, 30)
DAY = dt.timedelta(days=1)


def test_eggs_of_four_nights_and_what_became_of_them(season: Reader) -> None:
    page = season.page(CODE, dt.date(2021, 5, 12))

    assert [night.laid for night in page.nights] == [52, 37, 20, 9]
    assert page.numbers.hatched == 104
    fates = {x.cause: x.number for x in page.numbers.losses if x.of_eggs}
    assert fates == {"dead in shell": 10, "collapsed": 4}
    hatched = [x.on for pot in page.pots for x in pot.outcomes if x.fate == "hatched"]
    assert (min(hatched), max(hatched)) == (dt.date(2021, 4, 27), dt.date(2021, 5, 3))


def test_hatch_is_foreseen_when_the_eggs_leave_the_fridge(season: Reader) -> None:
    hatch = season.window(CODE, "hatch", dt.date(2021, 4, 20))

    assert hatch.first is not None
    assert hatch.last is not None
    assert hatch.first.low.date() <= dt.date(2021, 4, 27) <= hatch.first.high.date()
    assert hatch.last.low.date() <= dt.date(2021, 5, 3) <= hatch.last.high.date()


def test_the_book_said_81_and_78_were_counted(season: Reader) -> None:
    before = season.page(CODE, COUNTED - DAY).numbers
    after = season.page(CODE, COUNTED).numbers

    assert before.alive == 81
    assert (before.unaccounted, after.unaccounted) == (0, 3)
    assert after.left[ExitKind.GIVEN] - before.left[ExitKind.GIVEN] == 18
    assert after.alive == 60


def test_stages_of_the_sixty_that_are_left(season: Reader) -> None:
    page = season.page(CODE, COUNTED)
    counted: Counter[Stage] = Counter()
    left: Counter[Stage] = Counter()
    for box in page.open_boxes:
        counted.update(box.looks[-2].numbers)
        left.update(box.looks[-1].numbers)

    assert counted == {Stage.L3: 6, Stage.L4: 61, Stage.L5: 11}
    assert left == {Stage.L3: 6, Stage.L4: 43, Stage.L5: 11}
    assert page.summary == "L3 6, L4 43, L5 11, seen 30 May"


def test_the_last_reaches_l5_about_11_june(season: Reader) -> None:
    into_l5 = season.window(CODE, "L5", COUNTED)

    # 11 are there already
    assert into_l5.number == 60
    assert abs(middle(into_l5.last) - dt.date(2021, 6, 11)) <= 2 * DAY


def test_the_first_and_half_go_down_when_the_window_says(season: Reader) -> None:
    """The first cocoon is of 12 June; 31 of 55 had spun by 18 June (invented)."""
    going = season.window(CODE, "wander", COUNTED)

    assert going.first is not None
    assert going.half is not None
    assert going.first.low.date() <= dt.date(2021, 6, 12) <= going.first.high.date()
    assert going.half.low.date() <= dt.date(2021, 6, 17) <= going.half.high.date()


def test_a_sprayed_tree_is_asked_about(own_season: Reader) -> None:
    oak = next(x for x in own_season.book.all(TreeRow) if x.name == "Oak 2")
    closed, opened = dt.date(2021, 6, 10), dt.date(2021, 6, 15)

    with pytest.raises(AskFirst, match="Oak 2 is closed until Tue 15 June"):
        leaf.cut_leaf(
            own_season.book, entry(closed), host="downy oak", on=closed, tree_id=oak.id
        )
    made = leaf.cut_leaf(
        own_season.book, entry(opened), host="downy oak", on=opened, tree_id=oak.id
    )
    assert made.sentence == "Cut downy oak from Oak 2"


def test_the_sick_cage_comes_last_in_the_round(season: Reader) -> None:
    found = round_of(season.book, season.shelf, dt.date(2021, 6, 12))
    last = found.places[-1]

    assert last.name == QUARANTINE
    assert [line.code for line in last.lines] == ["B20-03 cage 2"]
    assert "Last flacherie death 11 June; apart until 25 June" in last.lines[0].reason


def test_54_cocoons_and_six_lost(season: Reader) -> None:
    at_sixty = season.page(CODE, COUNTED).numbers
    page = season.page(CODE, dt.date(2021, 6, 24))
    lost = Counter({x.cause: x.number for x in page.numbers.losses if not x.of_eggs})
    lost -= Counter({x.cause: x.number for x in at_sixty.losses if not x.of_eggs})

    assert page.summary == "54 pupae, seen 24 June"
    assert page.numbers.alive == 54
    assert lost == {"flacherie": 4, "drowned": 1}
    assert page.numbers.unaccounted - at_sixty.unaccounted == 1


def test_letting_an_alien_go_is_asked_about(own_season: Reader) -> None:
    on = dt.date(2021, 6, 24)
    box = own_season.box_row(CODE, "cage 1")

    with pytest.raises(AskFirst, match="only where local rules allow it"):
        care.let_leave(
            own_season.book,
            entry(on),
            box_id=box.id,
            kind=ExitKind.RELEASED,
            number=1,
            when=When(on),
        )
    law = own_season.shelf.sheet_for("Antheraea yamamai").law
    assert law is not None
    assert law.flag is LawFlag.DO_NOT_RELEASE
