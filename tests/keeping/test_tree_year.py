"""A tree's year, opened again, and cuts that are gone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import leaf
from rearing.keeping.trees import is_closed
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import CutRow, TreeDayRow, TreeRow
from rearing.terms import TreeSign
from tests.keeping.karst_book import LATER, on

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


@pytest.fixture
def oak(book: Book, ids: Ids) -> int:
    return leaf.add_tree(book, LATER, name="Oak 2", host="downy oak").new_id


def sign(book: Book, oak: int, what: TreeSign, month: int, day: int) -> str:
    return leaf.note_sign(
        book, LATER, tree_id=oak, sign=what, on=on(month, day)
    ).sentence


def test_bud_burst_comes_once_a_year_and_is_moved_after_a_yes(
    book: Book, oak: int
) -> None:
    assert sign(book, oak, TreeSign.BUD_BURST, 4, 23) == "Oak 2: bud burst Fri 23 April"
    with pytest.raises(AskFirst, match="bud burst of 2021 on 23 April") as asked:
        sign(book, oak, TreeSign.BUD_BURST, 4, 25)
    assert asked.value.field == "on"
    leaf.note_sign(
        *(book, LATER),
        tree_id=oak,
        sign=TreeSign.BUD_BURST,
        on=on(4, 25),
        sure=True,
    )
    assert [row.on for row in book.all(TreeDayRow)] == [on(4, 25)]


def test_mildew_and_the_shears_may_come_again(book: Book, oak: int) -> None:
    for day in (2, 20):
        sign(book, oak, TreeSign.CUT_BACK, 6, day)
    assert len(book.all(TreeDayRow)) == 2


def test_a_sign_still_to_come_is_asked_about(book: Book, oak: int) -> None:
    with pytest.raises(AskFirst, match="still to come"):
        sign(book, oak, TreeSign.LEAF_DROP, 11, 8)


def test_a_closed_tree_opens_before_its_day_and_its_closing_stays_known(
    book: Book, oak: int
) -> None:
    leaf.close_tree(
        book, LATER, tree_id=oak, since=on(6, 1), until=on(6, 20), why="sprayed"
    )
    said = leaf.reopen_tree(book, LATER, tree_id=oak, on=on(6, 15))
    assert said.sentence == "Oak 2 open again from Tue 15 June"
    tree = book.one(TreeRow, oak)
    assert is_closed(tree, on(6, 14))
    assert not is_closed(tree, on(6, 15))
    assert tree.closed_why == "sprayed"
    with pytest.raises(Refusal, match="not closed on 15 June"):
        leaf.reopen_tree(book, LATER, tree_id=oak, on=on(6, 15))


def test_closed_for_no_reason_is_refused(book: Book, oak: int) -> None:
    with pytest.raises(Refusal) as refused:
        leaf.close_tree(
            book, LATER, tree_id=oak, since=on(6, 1), until=on(6, 20), why=" "
        )
    assert refused.value.field == "why"


def test_a_cut_is_gone_once(book: Book, oak: int) -> None:
    cut = leaf.cut_leaf(
        book, LATER, host="downy oak", on=on(6, 12), grams=400, note="wet"
    ).new_id
    with pytest.raises(Refusal, match="cut on 12 June, later"):
        leaf.throw_away(book, LATER, cut_id=cut, on=on(6, 11))
    said = leaf.throw_away(book, LATER, cut_id=cut, on=on(6, 18), note="mouldy")
    assert said.sentence == "Downy oak cut on 12 June is gone"
    row = book.one(CutRow, cut)
    assert (row.gone_on, row.note) == (on(6, 18), "wet; mouldy")
    with pytest.raises(Refusal, match="gone since 18 June"):
        leaf.throw_away(book, LATER, cut_id=cut, on=on(6, 19))
