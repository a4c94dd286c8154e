from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, eggs
from rearing.keeping.boxes import Origin
from rearing.keeping.holding import holding
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import BoxRow, HeadcountRow, StayRow
from rearing.terms import BoxKind, Cause, ExitKind, Stage, Visit
from tests.keeping.karst_book import LATER, at, on, when

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.records.journal import Touched
    from tests.keeping.karst_book import Ids


def number(book: Book, box_id: int, day: dt.date | None = None) -> int:
    held = holding(book, day or on(7, 20), all_ever=True)
    return next(box.standing.number for box in held.boxes if box.row.id == box_id)


def new_box(book: Book, ids: Ids, brood: int | None = None, day: int = 11) -> int:
    return boxes.open_box(
        book,
        LATER,
        brood_id=brood or ids.brood,
        kind=BoxKind.BOX,
        place_id=ids.hall,
        when=when(6, day),
    ).new_id


def move(
    book: Book,
    origin: Origin,
    to: int,
    how_many: int,
    moment: boxes.When,
    *,
    sure: bool = False,
) -> Touched:
    return boxes.move_animals(
        book,
        LATER,
        origin=origin,
        to_box_id=to,
        number=how_many,
        when=moment,
        stage=Stage.L2,
        sure=sure,
    )


def other_brood(book: Book, ids: Ids) -> int:
    from rearing.keeping import mothers
    from rearing.records.rows import LayingRow

    moth = mothers.keep_female(
        book, LATER, night_id=ids.night, taxon="Saturnia pyri"
    ).new_id
    laying = eggs.record_eggs(
        book,
        LATER,
        parents=eggs.Parents(moth),
        evening=on(5, 29),
        number=9,
        pot=eggs.Pot(place_id=ids.shelf),
    ).new_id
    return book.one(LayingRow, laying).brood_id


def test_boxes_take_the_letters_in_turn(book: Book, ids: Ids) -> None:
    touched = boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.shelf,
        when=when(6, 12),
    )
    assert touched.sentence == "Opened sleeve B21-01 B at Kitchen shelf"
    # a day without a time is taken from 08:00 on (common practice, no source)
    assert book.all(StayRow)[-1].from_at == at(6, 12, 8)
    with pytest.raises(Refusal, match="never used twice"):
        boxes.open_box(
            book,
            LATER,
            brood_id=ids.brood,
            kind=BoxKind.BOX,
            place_id=ids.shelf,
            when=when(6, 12),
            label="B",
        )


def test_a_box_is_not_opened_before_the_eggs_or_tomorrow(book: Book, ids: Ids) -> None:
    for moment, kind in ((when(5, 27), Refusal), (when(7, 21), AskFirst)):
        with pytest.raises(kind) as refused:
            boxes.open_box(
                book,
                LATER,
                brood_id=ids.brood,
                kind=BoxKind.BOX,
                place_id=ids.hall,
                when=moment,
            )
        assert refused.value.field == "on"


def test_animals_move_between_boxes(book: Book, ids: Ids) -> None:
    second = new_box(book, ids)
    touched = move(book, Origin(box_id=ids.box), second, 12, when(6, 14))
    assert touched.sentence == "12 L2 from B21-01 A into B21-01 B, Mon 14 June"
    assert (number(book, ids.box), number(book, second)) == (18, 12)
    assert number(book, ids.box, on(6, 13)) == 30


def test_moves_that_could_not_be_are_refused(book: Book, ids: Ids) -> None:
    second = new_box(book, ids, day=13)
    first, pot = Origin(box_id=ids.box), Origin(pot_id=ids.pot)
    for origin, to, many, moment, field in (
        (first, ids.box, 3, when(6, 14), "to_box"),
        (first, second, 0, when(6, 14), "number"),
        (first, second, 3, when(6, 12), "on"),
        (Origin(), second, 3, when(6, 14), "origin"),
        (pot, second, 6, when(6, 14), "number"),
        (pot, ids.box, 3, when(6, 10), "on"),
    ):
        with pytest.raises(Refusal) as refused:
            move(book, origin, to, many, moment, sure=True)
        assert refused.value.field == field
    move(book, pot, second, 5, when(6, 14))


def test_more_than_a_box_holds_is_refused_even_when_sure(book: Book, ids: Ids) -> None:
    second = new_box(book, ids)
    for sure in (False, True):
        with pytest.raises(Refusal, match="there are 30 in B21-01 A") as refused:
            move(book, Origin(box_id=ids.box), second, 31, when(6, 14), sure=sure)
        assert not isinstance(refused.value, AskFirst)
        assert "Enter a count of it first" in refused.value.sentence
    assert number(book, ids.box) == 30


def test_nothing_is_taken_out_before_that_leaves_too_few_for_later(
    book: Book, ids: Ids
) -> None:
    second = new_box(book, ids)
    move(book, Origin(box_id=ids.box), second, 20, when(6, 16))
    with pytest.raises(Refusal, match="less than none by what is entered of later"):
        move(book, Origin(box_id=ids.box), second, 11, when(6, 14))
    move(book, Origin(box_id=ids.box), second, 10, when(6, 14))
    assert number(book, ids.box) == 0


def test_what_was_given_on_the_day_of_a_count_explains_the_count(
    book: Book, ids: Ids
) -> None:
    care.count_box(book, LATER, box_id=ids.box, number=17, when=when(6, 14))
    second = new_box(book, ids)
    move(book, Origin(box_id=ids.box), second, 13, when(6, 14))
    assert number(book, ids.box) == 17
    with pytest.raises(Refusal, match="there are 17 in B21-01 A"):
        move(book, Origin(box_id=ids.box), second, 18, when(6, 14))


def test_a_box_is_carried_as_of_an_earlier_moment_too(book: Book, ids: Ids) -> None:
    boxes.shift(book, LATER, place_id=ids.shelf, at=at(6, 20, 18), box_id=ids.box)
    touched = boxes.shift(
        book, LATER, place_id=ids.shelf, at=at(6, 15, 18), box_id=ids.box
    )
    assert touched.sentence == "Carried B21-01 A to Kitchen shelf, Tue 15 June"
    stays = [x for x in book.all(StayRow) if x.box_id == ids.box]
    spans = sorted((x.from_at, x.to_at, x.place_id) for x in stays[:2])
    assert spans[0][:2] == (at(6, 11, 8), at(6, 15, 18))
    assert [x.to_at for x in stays].count(None) == 1
    # every moment is at one place: each stay ends where the next begins
    order = sorted(stays, key=lambda stay: stay.from_at)
    assert [x.to_at for x in order[:-1]] == [x.from_at for x in order[1:]]


def test_carrying_is_from_where_it_stands(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal, match="already") as refused:
        boxes.shift(book, LATER, place_id=ids.hall, at=at(6, 15), box_id=ids.box)
    assert refused.value.field == "place"
    with pytest.raises(Refusal, match="not standing anywhere"):
        boxes.shift(book, LATER, place_id=ids.shelf, at=at(6, 10), box_id=ids.box)
    with pytest.raises(Refusal, match="Which box or pot"):
        boxes.shift(book, LATER, place_id=ids.shelf, at=at(6, 15))
    touched = boxes.shift(book, LATER, place_id=ids.hall, at=at(6, 2), pot_id=ids.pot)
    assert touched.sentence == "Carried B21-01 pot 1 to Hall shelf, Wed 2 June"


def test_a_closed_box_leaves_what_it_held_unaccounted(book: Book, ids: Ids) -> None:
    care.lose(
        book,
        LATER,
        box_id=ids.box,
        lost=care.Lost(2, Cause.HEAT),
        when=when(6, 16),
    )
    with pytest.raises(Refusal, match="up to Wed 16 June"):
        boxes.close_box(book, LATER, box_id=ids.box, when=when(6, 15))
    touched = boxes.close_box(book, LATER, box_id=ids.box, when=when(6, 18))
    assert touched.sentence == "Closed B21-01 A, Fri 18 June; 28 unaccounted"
    assert book.one(BoxRow, ids.box).closed_on == on(6, 18)
    assert book.all(HeadcountRow)[-1].number == 0
    stay = [x for x in book.all(StayRow) if x.box_id == ids.box][-1]
    assert stay.to_at == at(6, 18, 8)
    with pytest.raises(Refusal, match="closed on"):
        boxes.close_box(book, LATER, box_id=ids.box, when=when(6, 19))


@pytest.mark.parametrize("act", ["count", "visit", "move", "look", "lose", "leave"])
def test_nothing_happens_in_a_box_that_is_not_there(
    book: Book, ids: Ids, act: str
) -> None:
    second = new_box(book, ids)
    boxes.close_box(book, LATER, box_id=second, when=when(6, 18))
    for box_id, moment in ((second, when(6, 19)), (ids.box, when(6, 10))):
        with pytest.raises(Refusal) as refused:
            _do(act, book, box_id, moment, second)
        assert refused.value.field == "on"


def _do(act: str, book: Book, box_id: int, moment: boxes.When, to: int) -> None:
    if act == "count":
        care.count_box(book, LATER, box_id=box_id, number=1, when=moment)
    elif act == "visit":
        care.visit(book, LATER, what=Visit.FED, box_id=box_id, when=moment)
    elif act == "look":
        seen = {Stage.L1: care.Seen(1)}
        care.look_at_stages(book, LATER, box_id=box_id, seen=seen, when=moment)
    elif act == "lose":
        lost = care.Lost(1, Cause.HEAT)
        care.lose(book, LATER, box_id=box_id, lost=lost, when=moment)
    elif act == "leave":
        care.let_leave(
            book, LATER, box_id=box_id, kind=ExitKind.GIVEN, number=1, when=moment
        )
    else:
        into = to if box_id != to else box_id - 1
        move(book, Origin(box_id=box_id), into, 1, moment)
