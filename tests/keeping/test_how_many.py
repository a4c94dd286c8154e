"""How many can be kept by leaf and by room, and the leaf as it is shown.

Larvae of the last instar by container, 12 to 15 in a cage and 1 to 3 in a box: the
class defaults (boxes published, cages common practice). That the hungriest day asks
for half as much again as the mean: common practice, no source. All else computed.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis.strategies import integers, tuples

from rearing.keeping import leaf
from rearing.keeping.how_many import how_many
from rearing.keeping.leaf_need import Need
from rearing.keeping.leaf_plan import (
    HostPlan,
    LeafDay,
    LeafPlan,
    days_to_end,
    fullest_week,
)
from rearing.keeping.leaf_view import (
    Eaters,
    HostView,
    LeafView,
    leaf_view,
)
from rearing.keeping.reach import Supply
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, TreeSign
from tests.commands.small_season import make_season
from tests.keeping.karst_book import LATER, on

if TYPE_CHECKING:
    from collections.abc import Iterator

SHELF = load_all()
ASKED = on(6, 12)
DAY = dt.timedelta(days=1)


def flat(grams: float) -> Need:
    return Need(grams, grams, grams)


def view(number: int, peak_g: float, *, give_by: dt.date | None = None) -> LeafView:
    """A made-up view: nothing for ten days, then the fullest day, ten days long."""
    supply = Supply("oak", ("Oak 1",), (), None, None)
    plan = HostPlan(
        host="oak",
        eaters=number,
        whole=flat(10 * peak_g),
        ends_on=on(7, 2),
        last_on=on(7, 2),
        week=(on(6, 23), on(6, 29)),
        week_g=peak_g,
        peak_on=on(6, 24),
        peak=flat(peak_g),
        heaviest_g=1.5 * peak_g,
        supply=supply,
        short_on=None,
        short_why="",
    )
    days = tuple(
        LeafDay(
            ASKED + at * DAY,
            {"oak": flat(peak_g if at > 10 else 5.0)},
            flat(peak_g if at > 10 else 5.0),
        )
        for at in range(1, 21)
    )
    eaters = (Eaters(1, "B21-01", "Antheraea yamamai", number, give_by, 0.0, None),)
    host = HostView(
        *(plan, 100.0, 1.6, on(7, 2), (on(6, 23), on(6, 29)), peak_g, eaters, 3, ()),
    )
    return LeafView(LeafPlan(ASKED, days, (plan,)), (host,), ())


def test_leaf_binds_where_less_can_be_carried_than_the_hungriest_day_asks() -> None:
    """60 ask for 900 g, 1,350 g on the hungriest day: 600 g feed 26, at most 40."""
    (one,) = how_many(view(60, 900), SHELF, carry_g=600)
    assert one.by_leaf == (26, 40)
    assert (one.binds, one.keep, one.too_many) == ("leaf", 26, 34)
    assert one.give_by == ASKED + 10 * DAY
    assert one.words == (
        "Oak, 60 to feed: leaf for 26 to 40 at 600 g a day. Leaf binds, fullest "
        "24 June. Give 34 away by Tue 22 June, or find more leaf."
    )


def test_room_binds_where_the_boxes_are_few_and_they_go_at_l3() -> None:
    """Two cages of 12 to 15 and four boxes of 1 to 3: room for 28 to 42."""
    rooms = {BoxKind.CAGE: 2, BoxKind.BOX: 4}
    asked = view(60, 900, give_by=on(6, 16))
    (one,) = how_many(asked, SHELF, carry_g=2000, rooms=rooms)
    assert one.by_leaf == (60, 60)
    assert one.by_room == (28, 42)
    assert one.words == (
        "Oak, 60 to feed: leaf for 60 at 2.0 kg a day; room for 28 to 42 (2 cages of "
        "12 to 15, 4 boxes of 1 to 3). Room binds, in the last instar. Give 32 away "
        "at L3 by Wed 16 June, or find more room."
    )


def of_two(oak: tuple[int, int], beech: tuple[int, int]) -> LeafView:
    """A made-up view of two hosts, each with its animals and its boxes."""
    hosts = []
    for host, (number, boxes) in (("oak", oak), ("beech", beech)):
        (one,) = view(number, 100).hosts
        own = replace(one.plan, host=host)
        hosts.append(replace(one, plan=own, boxes=boxes))
    plan = LeafPlan(ASKED, (), tuple(one.plan for one in hosts))
    return LeafView(plan, tuple(hosts), ())


def test_the_room_of_two_hosts_is_shared_by_the_boxes_that_stand() -> None:
    """Of five cages three and two, as of ten boxes six and four stand."""
    oak, beech = how_many(of_two((90, 6), (90, 4)), SHELF, rooms={BoxKind.CAGE: 5})
    assert oak.by_room == (36, 45)
    assert beech.by_room == (24, 30)
    assert oak.room_words == (
        "3 cages of 12 to 15; its part, with 6 of the 10 boxes that stand"
    )
    assert (oak.too_many, beech.too_many) == (54, 66)


def test_a_host_without_a_box_yet_has_its_part_by_the_animals() -> None:
    oak, beech = how_many(of_two((60, 0), (30, 2)), SHELF, rooms={BoxKind.CAGE: 3})
    assert (oak.by_room, beech.by_room) == ((24, 30), (12, 15))
    assert "with 60 of the 90 animals to feed" in oak.words


def test_what_one_host_has_no_use_for_falls_to_the_other() -> None:
    """One cage of 12 is enough for ten; without that, beech had two of three."""
    oak, beech = how_many(of_two((60, 1), (10, 2)), SHELF, rooms={BoxKind.CAGE: 3})
    assert (oak.by_room, beech.by_room) == ((24, 30), (10, 10))
    assert beech.binds == ""


def test_one_host_asked_of_alone_has_all_the_room_and_it_is_said() -> None:
    asked = of_two((60, 1), (60, 2))
    (oak,) = how_many(asked, SHELF, rooms={BoxKind.CAGE: 3}, host="oak")
    assert oak.by_room == (36, 45)
    assert oak.room_words == "3 cages of 12 to 15; all taken to be for it"


@given(
    oak=tuples(integers(1, 90), integers(0, 9)),
    beech=tuples(integers(1, 90), integers(0, 9)),
    cages=integers(0, 6),
    boxes=integers(0, 30),
)
def test_no_box_is_given_twice_and_none_is_kept_back(
    oak: tuple[int, int], beech: tuple[int, int], cages: int, boxes: int
) -> None:
    rooms = {BoxKind.CAGE: cages, BoxKind.BOX: boxes}
    assume(cages + boxes)
    found = how_many(of_two(oak, beech), SHELF, rooms=rooms)
    given_out = Counter[BoxKind]()
    for one in found:
        assert one.part is not None
        given_out.update(one.part.boxes)
    for kind, number in rooms.items():
        assert given_out[kind] <= number
    if any(one.too_many for one in found):
        assert given_out == Counter(rooms)


def test_where_nothing_binds_all_can_be_kept() -> None:
    (one,) = how_many(view(10, 100), SHELF, carry_g=500, rooms={BoxKind.CAGE: 1})
    assert (one.binds, one.keep, one.give_by) == ("", 10, None)
    assert one.words.endswith("All can be kept.")


def test_room_without_a_rule_is_said_to_be_unknown() -> None:
    (one,) = how_many(view(10, 100), SHELF, rooms={BoxKind.BOTTLE: 3})
    assert one.by_room is None
    assert one.words == (
        "Oak, 10 to feed: no rule for the last instar in a bottle is known."
    )


def test_what_can_not_be_meant_is_refused() -> None:
    asked = view(10, 100)
    for carry, rooms, words in (
        (0.0, None, "above nought"),
        (None, {BoxKind.CAGE: -1}, "fewer than none"),
        (None, {BoxKind.CAGE: 0}, "Say how much"),
    ):
        with pytest.raises(Refusal, match=words):
            how_many(asked, SHELF, carry_g=carry, rooms=rooms)


def test_the_fullest_week_is_seven_days_in_a_row() -> None:
    mean = np.array([0, 1, 9, 9, 9, 9, 1, 9, 0], dtype=float)
    begins, a_day = fullest_week(mean)
    assert begins == 1
    assert a_day == pytest.approx(47 / 7)


def test_the_end_is_when_nearly_all_is_eaten_however_far_off() -> None:
    """Ninety-five days of a gram and ten of half a one: 95 of the hundred grams."""
    mean = np.array([1.0] * 95 + [0.5] * 10)
    assert days_to_end(mean) == 95


# of a book


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("view") / "leaf.rearing"
    make_season(path)
    return path


@pytest.fixture
def book(made: Path, tmp_path: Path) -> Iterator[Book]:
    import shutil

    with Book.open(Path(shutil.copy(made, tmp_path))) as opened:
        yield opened


def test_a_host_is_told_in_one_sentence_and_its_days_by_why(book: Book) -> None:
    tree = leaf.add_tree(book, LATER, name="Beech 2", host="beech").new_id
    leaf.close_tree(
        *(book, LATER),
        tree_id=tree,
        since=on(6, 15),
        until=on(6, 20),
        why="sprayed",
    )
    beech = leaf_view(book, SHELF, ASKED).host("beech")
    assert beech is not None
    assert beech.words.startswith("Beech for 83, from now to about ")
    assert beech.words.endswith("Runs short Tue 15 June (closed: Beech 2).")
    assert [(x.first, x.last, x.why) for x in beech.reached[:3]] == [
        (on(6, 13), on(6, 14), ""),
        (on(6, 15), on(6, 19), "closed"),
        (on(6, 20), on(8, 11), ""),
    ]
    assert beech.eaten_g * beech.cut_per_eaten == pytest.approx(
        beech.plan.whole.expected
    )


def test_hatch_before_bud_burst_is_warned_of(book: Book) -> None:
    """An earlier year's bud burst set beyond the hatch to come: 1 July."""
    tree = leaf.add_tree(book, LATER, name="Beech 2", host="beech").new_id
    assert leaf_view(book, SHELF, ASKED).warnings == ()
    leaf.note_sign(
        *(book, LATER),
        tree_id=tree,
        sign=TreeSign.BUD_BURST,
        on=dt.date(2020, 7, 1),
    )
    (warning,) = leaf_view(book, SHELF, ASKED).warnings
    assert "beech bursts about 1 July (1 year noted)" in warning
    leaf.note_sign(*(book, LATER), tree_id=tree, sign=TreeSign.BUD_BURST, on=on(4, 20))
    assert leaf_view(book, SHELF, ASKED).warnings == ()
