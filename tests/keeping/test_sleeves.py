"""Sleeves put on another branch (story 6), and what shares a tree with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, leaf
from rearing.keeping.boxes import Origin
from rearing.keeping.holding import holding
from rearing.keeping.housing import NewBox
from rearing.keeping.sleeves import move_sleeve, trees_of_sleeves
from rearing.keeping.taken_down import take_down
from rearing.keeping.tracing import Shared, trace
from rearing.keeping.trees import trees_now
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import BoxRow, BoxVisitRow, SleeveMoveRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Cause, Stage, Visit
from tests.keeping.karst_book import LATER, on, picture, when
from tests.keeping.test_verbs_boxes import number

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


@pytest.fixture
def trees(book: Book) -> tuple[int, int]:
    return (
        leaf.add_tree(book, LATER, name="Thorn 1", host="blackthorn").new_id,
        leaf.add_tree(book, LATER, name="Thorn 2", host="blackthorn").new_id,
    )


@pytest.fixture
def sleeve(book: Book, ids: Ids, trees: tuple[int, int]) -> int:
    """Return a sleeve on the first tree with twenty L2."""
    made = boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.shelf,
        when=when(6, 12),
        label="S1",
        host="blackthorn",
        tree_id=trees[0],
    ).new_id
    boxes.move_animals(
        book,
        LATER,
        origin=Origin(box_id=ids.box),
        to_box_id=made,
        number=20,
        when=when(6, 12),
        stage=Stage.L2,
    )
    return made


def test_it_is_counted_on_the_way_and_hangs_on_fresh_leaf(
    book: Book, sleeve: int, trees: tuple[int, int]
) -> None:
    before = picture(book)
    touched = move_sleeve(
        book,
        LATER,
        box_id=sleeve,
        tree_id=trees[1],
        when=when(6, 17),
        number=16,
        losses=[care.Lost(1, Cause.PREDATOR, Stage.L2)],
    )
    assert touched.sentence == (
        "Put the sleeve B21-01 S1 on Thorn 2, Thu 17 June; 16 counted, "
        "3 are unaccounted for"
    )
    assert number(book, sleeve) == 16
    visit = book.all(BoxVisitRow)[-1]
    assert (visit.what, visit.host) == (Visit.FED, "blackthorn")
    row = book.one(BoxRow, sleeve)
    assert trees_of_sleeves(book, [row], on(6, 16)) == {sleeve: trees[0]}
    assert trees_of_sleeves(book, [row], on(6, 17)) == {sleeve: trees[1]}
    book.take_back(LATER)
    assert picture(book) == before


def test_its_tree_names_it_from_then_on(
    book: Book, sleeve: int, trees: tuple[int, int]
) -> None:
    move_sleeve(book, LATER, box_id=sleeve, tree_id=trees[1], when=when(6, 17))
    fed = {tree.row.id: tree.fed for tree in trees_now(book, on(6, 20))}
    assert fed == {trees[0]: (), trees[1]: ("B21-01 S1",)}


def test_both_of_its_trees_tie_it_to_others(
    book: Book, ids: Ids, sleeve: int, trees: tuple[int, int]
) -> None:
    other = boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.hall,
        when=when(6, 12),
        label="S2",
        tree_id=trees[0],
    ).new_id
    move_sleeve(book, LATER, box_id=sleeve, tree_id=trees[1], when=when(6, 17))

    def tied(days: int) -> bool:
        found = trace(book, load_all(), book.one(BoxRow, sleeve), on(6, 20), days=days)
        near = next(one for one in found.neighbours if one.box_id == other)
        return Shared.TREE in {tie.shared for tie in near.ties}

    assert tied(days=14)
    # moved away before the days that are asked for
    assert not tied(days=2)


@pytest.mark.parametrize(
    ("days", "last"),
    [
        ((17, 12), on(6, 17)),
        ((13, 13), on(6, 13)),
        ((13, 14), None),
        ((13, 20), None),
    ],
)
def test_a_tree_ties_only_those_that_hung_there_together(
    book: Book,
    ids: Ids,
    sleeve: int,
    trees: tuple[int, int],
    days: tuple[int, int],
    last: dt.date | None,
) -> None:
    """The first leaves the tree on one day, the other comes to it on another."""
    left, came = days
    move_sleeve(book, LATER, box_id=sleeve, tree_id=trees[1], when=when(6, left))
    other = boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.hall,
        when=when(6, came),
        label="S2",
        tree_id=trees[0],
    ).new_id
    for one, near_id in ((sleeve, other), (other, sleeve)):
        found = trace(book, load_all(), book.one(BoxRow, one), on(6, 25))
        near = next(x for x in found.neighbours if x.box_id == near_id)
        lasts = [tie.last for tie in near.ties if tie.shared is Shared.TREE]
        assert lasts == ([] if last is None else [last])


def test_what_can_not_be_is_refused_and_the_doubtful_asked(
    book: Book, ids: Ids, sleeve: int, trees: tuple[int, int]
) -> None:
    with pytest.raises(Refusal, match="is no sleeve"):
        move_sleeve(book, LATER, box_id=ids.box, tree_id=trees[1], when=when(6, 17))
    with pytest.raises(Refusal, match="Losses are entered with a count"):
        move_sleeve(
            book,
            LATER,
            box_id=sleeve,
            tree_id=trees[1],
            when=when(6, 17),
            losses=[care.Lost(1, Cause.PREDATOR)],
        )
    leaf.close_tree(
        book,
        LATER,
        tree_id=trees[1],
        since=on(6, 14),
        until=on(6, 28),
        why="sprayed beside it",
    )
    with pytest.raises(AskFirst, match="closed until Mon 28 June"):
        move_sleeve(book, LATER, box_id=sleeve, tree_id=trees[1], when=when(6, 17))
    assert not book.all(SleeveMoveRow)


def test_a_count_behind_what_was_taken_later_is_asked_about(
    book: Book, sleeve: int, trees: tuple[int, int]
) -> None:
    lost = care.Lost(15, Cause.PREDATOR)
    care.lose(book, LATER, box_id=sleeve, lost=lost, when=when(6, 20))
    with pytest.raises(AskFirst, match="9 more were taken out") as asked:
        move_sleeve(
            *(book, LATER),
            box_id=sleeve,
            tree_id=trees[1],
            when=when(6, 17),
            number=6,
        )
    assert asked.value.field == "number"


@pytest.mark.parametrize("hour", [None, 9])
def test_it_is_taken_off_its_tree_into_a_box_indoors(
    book: Book, ids: Ids, sleeve: int, hour: int | None
) -> None:
    touched = take_down(
        book,
        LATER,
        box_id=sleeve,
        into=NewBox(BoxKind.BOX, ids.hall, host="blackthorn"),
        when=when(6, 17, hour),
        number=16,
        losses=[care.Lost(1, Cause.PREDATOR, Stage.L2)],
    )
    assert touched.sentence == (
        "Took the sleeve B21-01 S1 off Thorn 1, 16 into B21-01 B at Hall shelf, "
        "Thu 17 June"
    )
    old, new = book.one(BoxRow, sleeve), book.all(BoxRow)[-1]
    assert (old.closed_on, old.closed_why) == (on(6, 17), "taken off Thorn 1")
    assert (number(book, sleeve), number(book, new.id)) == (0, 16)
    held = {x.row.id: x for x in holding(book, on(6, 17), all_ever=True).boxes}
    assert held[sleeve].standing.unaccounted == 3
    assert [move.stage for move in held[new.id].moves_in] == [Stage.L2]


def test_given_up_is_asked_about_and_leaves_them_unaccounted(
    book: Book, sleeve: int
) -> None:
    with pytest.raises(AskFirst, match="20 animals live in it by the book: given up"):
        take_down(book, LATER, box_id=sleeve, into=None, when=when(6, 17))
    touched = take_down(
        book, LATER, box_id=sleeve, into=None, when=when(6, 17), sure=True
    )
    assert touched.sentence == (
        "Took the sleeve B21-01 S1 off Thorn 1, given up; 20 unaccounted, Thu 17 June"
    )
    assert number(book, sleeve) == 0


def test_what_can_not_be_taken_down_is_refused(
    book: Book, ids: Ids, sleeve: int
) -> None:
    new = NewBox(BoxKind.BOX, ids.hall)
    with pytest.raises(Refusal, match="is no sleeve"):
        take_down(book, LATER, box_id=ids.box, into=new, when=when(6, 17))
    care.count_box(book, LATER, box_id=sleeve, number=18, when=when(6, 18))
    with pytest.raises(Refusal, match="up to Fri 18 June; take it down then or later"):
        take_down(book, LATER, box_id=sleeve, into=new, when=when(6, 17))
    walnut = NewBox(BoxKind.BOX, ids.hall, host="walnut")
    seen = {Stage.L4: care.Seen(18)}
    care.look_at_stages(book, LATER, box_id=sleeve, seen=seen, when=when(6, 18))
    with pytest.raises(AskFirst, match="Give walnut all the same"):
        take_down(book, LATER, box_id=sleeve, into=walnut, when=when(6, 19))
    take_down(book, LATER, box_id=sleeve, into=new, when=when(6, 18))
    assert number(book, book.all(BoxRow)[-1].id) == 18
