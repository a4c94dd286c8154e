from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping.holding import holding
from rearing.keeping.housing import Hatch, Into, NewBox, move_into_new, put_on_leaf
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import (
    BoxRow,
    BoxVisitRow,
    EggOutcomeRow,
    LayingRow,
    MoveRow,
    StayRow,
)
from rearing.terms import BoxKind, EggFate, Known, Stage, Visit
from tests.keeping.karst_book import LATER, on, picture, when
from tests.keeping.test_verbs_boxes import number

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


def a_bottle(ids: Ids) -> Into:
    new = NewBox(BoxKind.BOTTLE, ids.shelf, host="blackthorn")
    return Into(new=new, leaf="blackthorn")


def test_putting_on_leaf_is_one_entry(book: Book, ids: Ids) -> None:
    before = picture(book)
    lines = len(book.journal())
    touched = put_on_leaf(
        book,
        LATER,
        pot_id=ids.pot,
        number=9,
        into=a_bottle(ids),
        when=when(6, 12, 18),
        hatch=Hatch(on(6, 11), Known.BETWEEN_CHECKS),
    )
    assert touched.sentence == (
        "9 from pot 1 on leaf in B21-01 B at Kitchen shelf, Sat 12 June; "
        "4 entered as hatched"
    )
    assert len(book.journal()) == lines + 1
    assert book.one(BoxRow, touched.new_id).host == "blackthorn"
    assert number(book, touched.new_id) == 9
    hatched = book.all(EggOutcomeRow)[-1]
    assert (hatched.fate, hatched.number, hatched.on, hatched.known) == (
        EggFate.HATCHED,
        4,
        on(6, 11),
        Known.BETWEEN_CHECKS,
    )
    assert book.all(MoveRow)[-1].stage is Stage.L1
    visit = book.all(BoxVisitRow)[-1]
    assert (visit.what, visit.host) == (Visit.FED, "blackthorn")
    pot = holding(book, on(6, 12)).pots[0]
    assert (pot.waiting, pot.unhoused) == (2, 0)
    book.take_back(LATER)
    assert picture(book) == before


def test_those_hatched_already_are_not_entered_twice(book: Book, ids: Ids) -> None:
    touched = put_on_leaf(
        book,
        LATER,
        pot_id=ids.pot,
        number=5,
        into=Into(box_id=ids.box),
        when=when(6, 12),
    )
    assert touched.sentence == "5 from pot 1 on leaf in B21-01 A, Sat 12 June"
    assert len(book.all(EggOutcomeRow)) == 1
    assert len(book.all(BoxVisitRow)) == 0
    assert number(book, ids.box) == 35


def test_larvae_that_go_straight_into_a_tub_get_no_leaf(book: Book, ids: Ids) -> None:
    into = Into(new=NewBox(BoxKind.TUB, ids.hall), leaf="blackthorn")
    put_on_leaf(book, LATER, pot_id=ids.pot, number=1, into=into, when=when(6, 12))
    assert len(book.all(BoxVisitRow)) == 0


def test_more_than_the_pot_held_is_asked_about(book: Book, ids: Ids) -> None:
    with pytest.raises(AskFirst, match="6 eggs waiting and 5 hatched") as asked:
        put_on_leaf(
            book,
            LATER,
            pot_id=ids.pot,
            number=13,
            into=a_bottle(ids),
            when=when(6, 12),
        )
    assert asked.value.field == "number"
    put_on_leaf(
        book,
        LATER,
        pot_id=ids.pot,
        number=13,
        into=a_bottle(ids),
        when=when(6, 12),
        sure=True,
    )
    assert book.one(LayingRow, ids.laying).number == 43
    pot = holding(book, on(6, 12)).pots[0]
    assert (pot.waiting, pot.unhoused) == (0, 0)


def test_what_cannot_be_is_refused(book: Book, ids: Ids) -> None:
    for many, into, moment, hatch, field in (
        (0, a_bottle(ids), when(6, 12), None, "number"),
        (3, Into(), when(6, 12), None, "to_box"),
        (3, a_bottle(ids), when(6, 12), Hatch(on(6, 13)), "hatched_on"),
        (3, a_bottle(ids), when(5, 27), None, "on"),
        (3, Into(box_id=ids.box), when(6, 10), None, "on"),
    ):
        with pytest.raises(Refusal) as refused:
            put_on_leaf(
                book,
                LATER,
                pot_id=ids.pot,
                number=many,
                into=into,
                when=moment,
                hatch=hatch,
                sure=True,
            )
        assert refused.value.field == field
    taken = Into(new=NewBox(BoxKind.BOX, ids.hall, label="A"))
    before = picture(book)
    with pytest.raises(Refusal) as refused:
        put_on_leaf(book, LATER, pot_id=ids.pot, number=9, into=taken, when=when(6, 12))
    assert refused.value.field == "code"
    assert picture(book) == before


def test_a_split_opens_the_new_box_in_the_same_entry(book: Book, ids: Ids) -> None:
    touched = move_into_new(
        book,
        LATER,
        box_id=ids.box,
        number=14,
        into=NewBox(BoxKind.CAGE, ids.shelf),
        when=when(6, 20),
        stage=Stage.L3,
    )
    assert touched.sentence == (
        "14 L3 from B21-01 A into B21-01 B at Kitchen shelf, new, Sun 20 June"
    )
    assert (number(book, ids.box), number(book, touched.new_id)) == (16, 14)
    assert book.all(StayRow)[-1].place_id == ids.shelf
    with pytest.raises(Refusal, match="there are 16 in B21-01 A"):
        move_into_new(
            book,
            LATER,
            box_id=ids.box,
            number=17,
            into=NewBox(BoxKind.CAGE, ids.shelf),
            when=when(6, 20),
            sure=True,
        )
