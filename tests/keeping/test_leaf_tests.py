"""Test larvae on a suspect tree, as in story 4: Oak 2 beside a sprayed vineyard.

Two larvae for three days: Plants and pesticides, how long to wait,
butterfly-fun-facts.com. A fortnight after deaths: common practice, no source. The days
are the invented scenario's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import leaf, leaf_tests
from rearing.keeping.closed_trees import is_closed
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import LeafTestRow, TreeRow
from tests.keeping.karst_book import LATER, on, picture

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


@pytest.fixture
def oak(book: Book, ids: Ids) -> int:
    tree_id = leaf.add_tree(book, LATER, name="Oak 2", host="downy oak").new_id
    leaf.close_tree(
        book, LATER, tree_id=tree_id, since=on(6, 1), until=on(6, 20), why="sprayed"
    )
    return tree_id


def begun(book: Book, oak: int, *, number: int = 2, box_id: int | None = None) -> int:
    return leaf_tests.begin_test(
        book, LATER, tree_id=oak, begun_on=on(6, 12), number=number, box_id=box_id
    ).new_id


def test_two_alive_after_three_days_open_the_tree_after_a_yes(
    book: Book, oak: int
) -> None:
    touched = leaf_tests.begin_test(book, LATER, tree_id=oak, begun_on=on(6, 12))
    assert touched.sentence == "2 larvae to test leaf of Oak 2; look on Tue 15 June"
    with pytest.raises(AskFirst) as asked:
        leaf_tests.judge_test(
            book, LATER, test_id=touched.new_id, alive=2, on=on(6, 15)
        )
    assert asked.value.sentence.startswith("All 2 live after 3 days. Growth regulators")
    assert asked.value.sentence.endswith("Open Oak 2 from 15 June?")
    before = picture(book)
    said = leaf_tests.judge_test(
        book, LATER, test_id=touched.new_id, alive=2, on=on(6, 15), sure=True
    )
    assert said.sentence == "2 of 2 alive on leaf of Oak 2; open again"
    tree = book.one(TreeRow, oak)
    assert (tree.closed_from, tree.closed_until) == (on(6, 1), on(6, 15))
    assert is_closed(tree, on(6, 14))
    assert not is_closed(tree, on(6, 15))
    # one entry: taken back, the tree is closed and the test is open again
    book.take_back(LATER)
    assert picture(book) == before


def test_one_dead_keeps_it_closed_for_a_fortnight_more(book: Book, oak: int) -> None:
    test_id = begun(book, oak)
    said = leaf_tests.judge_test(book, LATER, test_id=test_id, alive=1, on=on(6, 14))
    assert said.sentence == (
        "1 of 2 alive on leaf of Oak 2; Oak 2 stays closed until Mon 28 June: "
        "1 test larva died by 14 June"
    )
    tree = book.one(TreeRow, oak)
    assert tree.closed_from == on(6, 1)
    assert tree.closed_why == "sprayed; 1 test larva died by 14 June"


def test_a_tree_that_was_open_is_closed_when_they_die(book: Book, ids: Ids) -> None:
    tree_id = leaf.add_tree(book, LATER, name="Hedge", host="privet").new_id
    test_id = begun(book, tree_id)
    said = leaf_tests.judge_test(
        book, LATER, test_id=test_id, alive=0, on=on(6, 13), until=on(7, 30)
    )
    assert "Hedge is closed until Fri 30 July" in said.sentence
    tree = book.one(TreeRow, tree_id)
    assert (tree.closed_from, tree.closed_until) == (on(6, 13), on(7, 30))


def test_too_early_is_said_and_it_may_stay_closed(book: Book, oak: int) -> None:
    test_id = begun(book, oak)
    with pytest.raises(AskFirst, match=r"after 2 days\. 3 days are usual"):
        leaf_tests.judge_test(book, LATER, test_id=test_id, alive=2, on=on(6, 14))
    said = leaf_tests.judge_test(
        book, LATER, test_id=test_id, alive=2, on=on(6, 14), opens=False
    )
    assert said.sentence.endswith("closed until Sun 20 June all the same")
    assert book.one(TreeRow, oak).closed_until == on(6, 20)


def test_what_can_not_be_is_refused(book: Book, oak: int, ids: Ids) -> None:
    with pytest.raises(Refusal, match="By the book it holds 30"):
        begun(book, oak, number=31, box_id=ids.box)
    with pytest.raises(Refusal, match="at least one"):
        begun(book, oak, number=0)
    test_id = begun(book, oak)
    with pytest.raises(Refusal, match="judge them first"):
        begun(book, oak)
    for alive, day, words in (
        (3, on(6, 15), "Only 2 were on it"),
        (-1, on(6, 15), "below nought"),
        (1, on(6, 11), "begun on 12 June"),
    ):
        with pytest.raises(Refusal, match=words):
            leaf_tests.judge_test(book, LATER, test_id=test_id, alive=alive, on=day)
    with pytest.raises(Refusal, match="before it closed") as refused:
        leaf_tests.judge_test(
            book, LATER, test_id=test_id, alive=1, on=on(6, 15), until=on(6, 15)
        )
    assert refused.value.field == "until"
    leaf_tests.judge_test(book, LATER, test_id=test_id, alive=1, on=on(6, 15))
    with pytest.raises(Refusal, match="judged on 15 June"):
        leaf_tests.judge_test(book, LATER, test_id=test_id, alive=1, on=on(6, 16))
    assert len(book.all(LeafTestRow)) == 1


def test_a_test_is_told_as_on_each_day(book: Book, oak: int, ids: Ids) -> None:
    test_id = begun(book, oak, box_id=ids.box)
    assert leaf_tests.leaf_tests(book, on(6, 11)) == ()
    (young,) = leaf_tests.leaf_tests(book, on(6, 13))
    assert young.words == "2 larvae on leaf of Oak 2 since 12 June; look on Tue 15 June"
    assert young.box == "B21-01 A"
    assert not young.is_due
    (due,) = leaf_tests.leaf_tests(book, on(6, 15))
    assert due.is_due
    assert due.words.endswith("; look now")
    leaf_tests.judge_test(
        book, LATER, test_id=test_id, alive=2, on=on(6, 15), sure=True
    )
    (over,) = leaf_tests.leaf_tests(book, on(6, 15))
    assert over.words == "2 larvae on leaf of Oak 2 since 12 June: 2 alive on 15 June"
    (then,) = leaf_tests.leaf_tests(book, on(6, 14))
    assert then.is_running
