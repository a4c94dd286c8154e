"""The order of the walk: clean broods first, youngest first, suspect last of all.

L. Day's and other keepers' order of a round (common practice, no source); test larvae
stay three days on suspect leaf (Plants and pesticides, butterfly-fun-facts.com).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, leaf, leaf_tests
from rearing.keeping.round import QUARANTINE, round_of
from rearing.keeping.round_lines import Task
from rearing.terms import Cause, Stage
from tests.keeping.karst_book import at, entry, on, second_box, when

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.round_lines import Round
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf
    from tests.keeping.karst_book import Ids


def walk(book: Book, shelf: SheetShelf, day: dt.date) -> Round:
    return round_of(book, shelf, day, everything=True)


def test_eggs_come_before_the_larvae_of_their_brood(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    boxes.shift(book, entry(12), place_id=ids.hall, at=at(6, 12, 9), pot_id=ids.pot)
    hall = next(
        p for p in walk(book, shelf, on(6, 12)).places if p.place_id == ids.hall
    )
    assert [line.code for line in hall.lines] == ["B21-01 pot 1", "B21-01 A"]


@pytest.mark.parametrize(("died", "last"), [(13, ["A", "B"]), (16, ["A"])])
def test_a_suspect_box_is_walked_last_wherever_it_stands(
    book: Book, ids: Ids, shelf: SheetShelf, died: int, last: list[str]
) -> None:
    # split from A on 12 June: a death on the next day makes both suspect
    second_box(book, ids)
    care.lose(
        book,
        entry(died),
        box_id=ids.box,
        lost=care.Lost(1, Cause.FLACHERIE, Stage.L1),
        when=when(6, died, 20),
    )
    found = walk(book, shelf, on(6, died + 1))
    assert found.places[-1].name == QUARANTINE
    codes = [line.code for line in found.places[-1].lines]
    assert codes == [f"B21-01 {label}" for label in last]


def test_larvae_that_test_leaf_are_asked_for_on_the_third_day(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    tree = leaf.add_tree(book, entry(12), name="Oak 2", host="downy oak").new_id
    test = leaf_tests.begin_test(
        book, entry(12), tree_id=tree, begun_on=on(6, 12), box_id=ids.box
    ).new_id
    for day, task in ((12, Task.NOTHING), (14, Task.NOTHING), (15, Task.JUDGE_LEAF)):
        place = next(
            p
            for p in walk(book, shelf, on(6, day)).places
            if any(line.kind == "test" for line in p.lines)
        )
        assert place.place_id == ids.hall
        line = next(x for x in place.lines if x.kind == "test")
        assert (line.code, line.task, line.tree_id) == ("Oak 2", task, tree)
    leaf_tests.judge_test(
        book, entry(15), test_id=test, alive=2, on=on(6, 15), sure=True
    )
    lines = [x for x in walk(book, shelf, on(6, 15)).lines if x.kind == "test"]
    assert [x.done for x in lines] == ["2 of 2 alive"]
    after = walk(book, shelf, on(6, 16))
    assert not [x for x in after.lines if x.kind == "test"]


def test_test_larvae_without_a_box_have_a_stop_of_their_own(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    tree = leaf.add_tree(book, entry(12), name="Oak 2", host="downy oak").new_id
    leaf_tests.begin_test(book, entry(12), tree_id=tree, begun_on=on(6, 12))
    names = [place.name for place in walk(book, shelf, on(6, 15)).places]
    assert names[-1] == "Test larvae"
