"""A tree's year, opened again, and cuts that are gone."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import care, leaf
from rearing.keeping.closed_trees import is_closed
from rearing.keeping.reach import reach, set_bare
from rearing.keeping.trees import trees_now
from rearing.problems import AskFirst, Refusal
from rearing.records.earlier import closings
from rearing.records.rows import CutRow, TreeDayRow, TreeRow
from rearing.terms import TreeSign, Visit
from tests.keeping.karst_book import LATER, on, when

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


def test_a_day_that_is_past_keeps_the_closing_it_lay_in(book: Book, oak: int) -> None:
    for first, last, why in ((1, 15, "sprayed"), (25, 30, "sick brood")):
        leaf.close_tree(
            *(book, LATER), tree_id=oak, since=on(6, first), until=on(6, last), why=why
        )
    states = [trees_now(book, on(6, day))[0].state_words for day in (3, 20, 26)]
    assert states == [
        "closed until Tue 15 June, sprayed",
        "open",
        "closed until Wed 30 June, sick brood",
    ]
    told = [(one.since.day, one.until.day, one.why) for one in closings(book, oak)]
    assert told == [(1, 15, "sprayed"), (25, 30, "sick brood")]
    book.take_back(LATER)
    assert len(closings(book, oak)) == 1


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


# what the years tell


def noted(book: Book, tree: int, sign_: TreeSign, day: dt.date) -> None:
    leaf.note_sign(book, LATER, tree_id=tree, sign=sign_, on=day, sure=True)


def test_leaf_drop_of_earlier_years_stands_before_what_was_once_said(
    book: Book, oak: int
) -> None:
    """Middle of 4, 8 and 20 November: the 8th (computed)."""
    set_bare(book, LATER, host="downy oak", day=dt.date(2020, 12, 1))
    set_bare(book, LATER, host="beech", day=dt.date(2020, 11, 15))
    for year, day in ((2018, 20), (2019, 4), (2020, 8)):
        noted(book, oak, TreeSign.LEAF_DROP, dt.date(year, 11, day))
    found = reach(book, on(7, 20))
    assert found.bare_on("downy oak", on(7, 20)) == on(11, 8)
    assert found.bare_on("beech", on(7, 20)) == on(11, 15)
    # 2018 was known alone at the end of that year
    early = reach(book, dt.date(2019, 3, 1))
    assert early.bare_on("downy oak", dt.date(2019, 3, 1)) == dt.date(2019, 3, 1)


def test_a_host_is_bare_from_leaf_drop_to_bud_burst_of_all_its_trees(
    book: Book, oak: int
) -> None:
    other = leaf.add_tree(book, LATER, name="Oak 1", host="downy oak").new_id
    noted(book, oak, TreeSign.LEAF_DROP, dt.date(2020, 11, 8))
    winter = dt.date(2021, 1, 10)
    assert reach(book, winter).bare_now == frozenset()
    noted(book, other, TreeSign.LEAF_DROP, dt.date(2020, 11, 12))
    assert reach(book, winter).bare_now == {"downy oak"}
    assert {x.state_words for x in trees_now(book, winter)} == {
        "bare since 12 November"
    }
    noted(book, oak, TreeSign.BUD_BURST, on(4, 23))
    assert reach(book, on(4, 23)).bare_now == frozenset()


def test_bud_burst_is_this_years_where_seen_and_else_the_usual(
    book: Book, oak: int
) -> None:
    noted(book, oak, TreeSign.BUD_BURST, dt.date(2019, 4, 12))
    noted(book, oak, TreeSign.BUD_BURST, dt.date(2020, 4, 18))
    before = reach(book, on(4, 1)).burst["downy oak"]
    assert (before.seen_on, before.years) == (None, 2)
    assert before.day(2021) == on(4, 12)
    noted(book, oak, TreeSign.BUD_BURST, on(4, 23))
    assert reach(book, on(4, 23)).burst["downy oak"].day(2021) == on(4, 23)


def test_a_tree_tells_its_year_its_last_cut_and_who_lives_off_it(
    book: Book, ids: Ids, oak: int
) -> None:
    noted(book, oak, TreeSign.BUD_BURST, on(4, 23))
    noted(book, oak, TreeSign.MILDEW, on(6, 10))
    cut = leaf.cut_leaf(
        *(book, LATER), host="downy oak", on=on(6, 12), tree_id=oak, grams=300
    ).new_id
    care.visit(
        *(book, LATER),
        what=Visit.FED,
        when=when(6, 13),
        box_id=ids.box,
        leaf=care.Leaf("downy oak", 40, cut),
    )
    (one,) = trees_now(book, on(6, 14))
    assert one.state_words == "open"
    assert one.year_words == "bud burst 23 April, mildew 10 June"
    assert one.cut_words == "cut 12 June, 300 g"
    assert one.fed == ("B21-01 A",)
    (later,) = trees_now(book, on(6, 28))
    assert later.fed == ()
