"""Boxes split and joined in one entry; every animal stays accounted for.

The numbers are the invented scenario's own (25 of eight bottles in three).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care
from rearing.keeping.holding import holding
from rearing.keeping.splitting import Parts, join_boxes, numbers_in, split_box
from rearing.problems import Refusal
from rearing.records.journal import Entry
from rearing.records.rows import BoxRow, StayRow
from rearing.terms import BoxKind, Stage
from tests.keeping.karst_book import LATER, at, on, picture, said, when

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids

NIGHT = Entry(at(6, 14), "N. K.")


def holds(book: Book) -> dict[str, int]:
    return {
        box.row.label: box.standing.number for box in holding(book, on(6, 20)).boxes
    }


def split(book: Book, ids: Ids, *numbers: int) -> None:
    split_box(
        book,
        NIGHT,
        box_id=ids.box,
        into=Parts(numbers, BoxKind.BOTTLE, ids.shelf),
        when=when(6, 14, 20),
        stage=Stage.L2,
    )


def test_a_box_is_split_into_lettered_new_ones(book: Book, ids: Ids) -> None:
    split(book, ids, 9, 8)
    assert holds(book) == {"A": 13, "B": 9, "C": 8}
    assert said(book) == (
        "Split B21-01 A: 9 into B, 8 into C, new at Kitchen shelf, Mon 14 June; 13 stay"
    )
    new = [box for box in book.all(BoxRow) if box.label in {"B", "C"}]
    assert {box.kind for box in new} == {BoxKind.BOTTLE}


def test_a_box_that_is_emptied_is_closed_with_its_stay(book: Book, ids: Ids) -> None:
    split(book, ids, 15, 15)
    assert holds(book) == {"B": 15, "C": 15}
    assert said(book).endswith("; A closed")
    box = book.one(BoxRow, ids.box)
    assert (box.closed_on, box.closed_why) == (on(6, 14), "emptied")
    stays = [stay for stay in book.all(StayRow) if stay.box_id == ids.box]
    assert stays[-1].to_at == at(6, 14)


def test_more_than_it_holds_is_refused_under_the_numbers(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal, match="By the book there are 30") as refused:
        split(book, ids, 20, 11)
    assert refused.value.field == "numbers"
    with pytest.raises(Refusal, match="How many go"):
        split(book, ids)
    with pytest.raises(Refusal, match="at least one"):
        split(book, ids, 5, 0)


def test_boxes_are_joined_and_the_emptied_one_closed(book: Book, ids: Ids) -> None:
    split(book, ids, 9)
    new = next(box for box in book.all(BoxRow) if box.label == "B")
    join_boxes(book, NIGHT, box_id=new.id, to_box_id=ids.box, when=when(6, 14, 21))
    assert holds(book) == {"A": 30}
    assert said(book) == "Joined 9 of B21-01 B to B21-01 A, Mon 14 June; B closed"


def test_an_empty_box_can_not_be_joined(book: Book, ids: Ids) -> None:
    empty = boxes.open_box(
        book,
        NIGHT,
        brood_id=ids.brood,
        kind=BoxKind.BOX,
        place_id=ids.hall,
        when=when(6, 14),
    ).new_id
    with pytest.raises(Refusal, match="is empty"):
        join_boxes(book, NIGHT, box_id=empty, to_box_id=ids.box, when=when(6, 14))
    with pytest.raises(Refusal, match="in that box already"):
        join_boxes(book, NIGHT, box_id=ids.box, to_box_id=ids.box, when=when(6, 14))


def test_what_was_entered_later_keeps_the_box_open(book: Book, ids: Ids) -> None:
    care.count_box(book, LATER, box_id=ids.box, number=2, when=when(6, 16))
    split(book, ids, 15, 15)
    assert book.one(BoxRow, ids.box).closed_on is None


def test_each_is_taken_back_whole(book: Book, ids: Ids) -> None:
    before = picture(book)
    split(book, ids, 15, 15)
    book.take_back(NIGHT)
    assert picture(book) == before


@pytest.mark.parametrize("words", ["9 8 8", "9, 8, 8", "9+8+8", "9, 8 and 8"])
def test_numbers_are_read_as_a_keeper_writes_them(words: str) -> None:
    assert numbers_in(words) == (9, 8, 8)


@pytest.mark.parametrize("words", ["", "nine", "9 -8"])
def test_what_is_no_number_is_refused(words: str) -> None:
    with pytest.raises(Refusal, match="9 8 8"):
        numbers_in(words)


def test_what_was_entered_later_stands_in_the_way_of_joining(
    book: Book, ids: Ids
) -> None:
    split(book, ids, 9)
    new = next(box.id for box in book.all(BoxRow) if box.label == "B")
    care.count_box(book, LATER, box_id=new, number=8, when=when(6, 16))
    with pytest.raises(Refusal) as refused:
        join_boxes(book, LATER, box_id=new, to_box_id=ids.box, when=when(6, 15))
    assert refused.value.field == "on"
    assert refused.value.sentence == (
        "B21-01 B would be empty by then, but for the count of 8 on Wed 16 June. Join "
        "them after that, take that entry back first, or move some only."
    )
    # a count of that day is of those that are joined
    join_boxes(book, LATER, box_id=new, to_box_id=ids.box, when=when(6, 16))
    assert holds(book) == {"A": 29}
    assert book.one(BoxRow, new).closed_on == on(6, 16)
