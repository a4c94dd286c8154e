from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import care
from rearing.keeping.holding import holding
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import BoxVisitRow, ExitRow, LossRow, StageCountRow
from rearing.terms import Cause, ExitKind, Known, Quality, Stage, Visit
from tests.keeping.karst_book import LATER, at, on, when

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.boxes import When
    from rearing.keeping.ledger import Standing
    from rearing.records.book import Book
    from rearing.records.journal import Touched
    from tests.keeping.karst_book import Ids


def standing(book: Book, ids: Ids) -> Standing:
    held = holding(book, on(7, 20))
    return next(box.standing for box in held.boxes if box.row.id == ids.box)


def count(
    book: Book, ids: Ids, number: int, moment: When, losses: Sequence[care.Lost] = ()
) -> Touched:
    return care.count_box(
        book, LATER, box_id=ids.box, number=number, when=moment, losses=losses
    )


def test_a_visit_says_what_was_given(book: Book, ids: Ids) -> None:
    touched = care.visit(
        book,
        LATER,
        what=Visit.FED_AND_CLEANED,
        when=when(6, 13, 19),
        box_id=ids.box,
        leaf=care.Leaf("blackthorn", 12.5),
    )
    assert touched.sentence == "B21-01 A fed and cleaned, blackthorn 12.5 g"
    assert ("box", ids.box) in touched.subjects
    assert book.all(BoxVisitRow)[-1].at == at(6, 13, 19)
    pot = care.visit(book, LATER, what=Visit.LOOKED, when=when(6, 13), pot_id=ids.pot)
    assert pot.sentence == "B21-01 pot 1 looked"


def test_a_visit_is_to_something_and_leaf_weighs_something(
    book: Book, ids: Ids
) -> None:
    with pytest.raises(Refusal) as refused:
        care.visit(book, LATER, what=Visit.ALL_WELL, when=when(6, 13))
    assert refused.value.field == "box"
    with pytest.raises(Refusal) as refused:
        care.visit(
            book,
            LATER,
            what=Visit.FED,
            when=when(6, 13),
            box_id=ids.box,
            leaf=care.Leaf("pear", -1),
        )
    assert refused.value.field == "grams"
    with pytest.raises(AskFirst):
        care.visit(book, LATER, what=Visit.FED, when=when(7, 21), box_id=ids.box)


def test_a_count_says_what_is_unaccounted(book: Book, ids: Ids) -> None:
    assert count(book, ids, 30, when(6, 13)).sentence == "Counted 30 in B21-01 A"
    assert count(book, ids, 27, when(6, 14)).sentence == (
        "Counted 27 in B21-01 A; 3 unaccounted"
    )
    assert count(book, ids, 29, when(6, 15)).sentence == (
        "Counted 29 in B21-01 A; 2 more than the book, a correction"
    )
    assert standing(book, ids).unaccounted == 1
    with pytest.raises(Refusal):
        count(book, ids, -1, when(6, 16))


def test_losses_found_at_a_count_explain_it(book: Book, ids: Ids) -> None:
    touched = count(
        book,
        ids,
        24,
        when(6, 14),
        (care.Lost(4, Cause.DRY_LEAF), care.Lost(1, Cause.CRUSHED, Stage.L1)),
    )
    assert touched.sentence == "Counted 24 in B21-01 A; 1 unaccounted"
    assert [(x.number, x.cause) for x in book.all(LossRow)] == [
        (4, Cause.DRY_LEAF),
        (1, Cause.CRUSHED),
    ]
    now = standing(book, ids)
    assert (now.number, now.lost, now.unaccounted, now.is_counted) == (24, 5, 1, True)


def test_a_late_loss_explains_what_an_earlier_count_missed(
    book: Book, ids: Ids
) -> None:
    count(book, ids, 27, when(6, 14))
    care.lose(
        book,
        LATER,
        box_id=ids.box,
        lost=care.Lost(3, Cause.ESCAPED),
        when=when(6, 13),
        known=Known.ABOUT,
    )
    now = standing(book, ids)
    assert (now.number, now.lost, now.unaccounted) == (27, 3, 0)


def test_stages_need_not_be_all_of_them(book: Book, ids: Ids) -> None:
    touched = care.look_at_stages(
        book,
        LATER,
        box_id=ids.box,
        seen={
            Stage.L1: care.Seen(4, 3),
            Stage.L2: care.Seen(11),
            Stage.L3: care.Seen(0),
        },
        when=when(6, 17),
        quality=Quality.AT_LEAST,
    )
    assert touched.sentence == "Stages in B21-01 A: L1 4, L2 11"
    assert [x.stage for x in book.all(StageCountRow)] == [Stage.L1, Stage.L2]
    for seen in ({}, {Stage.L1: care.Seen(0)}, {Stage.L1: care.Seen(2, 3)}):
        with pytest.raises(Refusal) as refused:
            care.look_at_stages(
                book, LATER, box_id=ids.box, seen=seen, when=when(6, 17)
            )
        assert refused.value.field == "seen"


def test_a_loss_has_its_cause(book: Book, ids: Ids) -> None:
    touched = care.lose(
        book,
        LATER,
        box_id=ids.box,
        lost=care.Lost(3, Cause.VIRUS, Stage.L2),
        when=when(6, 17),
    )
    assert touched.sentence == "Lost 3 in B21-01 A: virus"
    assert standing(book, ids).number == 27
    with pytest.raises(Refusal, match="there are 27 in B21-01 A"):
        care.lose(
            book,
            LATER,
            box_id=ids.box,
            lost=care.Lost(28, Cause.VIRUS),
            when=when(6, 17),
            sure=True,
        )


def leave(
    book: Book, ids: Ids, kind: ExitKind, number: int, *, sure: bool = False
) -> Touched:
    return care.let_leave(
        book,
        LATER,
        box_id=ids.box,
        kind=kind,
        number=number,
        when=when(6, 18),
        receiver=care.Receiver(where="Terrace", origin_words="From the Terrace."),
        sure=sure,
    )


def test_a_release_is_asked_about_every_time(book: Book, ids: Ids) -> None:
    for number in (3, 4):
        with pytest.raises(AskFirst, match="From the Terrace") as asked:
            leave(book, ids, ExitKind.RELEASED, number)
        assert "local rules" in asked.value.sentence
        leave(book, ids, ExitKind.RELEASED, number, sure=True)
    assert [x.number for x in book.all(ExitRow)] == [3, 4]
    assert standing(book, ids).left == 7


def test_others_leave_without_a_question(book: Book, ids: Ids) -> None:
    touched = leave(book, ids, ExitKind.GIVEN, 10)
    assert touched.sentence == "10 from B21-01 A given, Terrace"
    with pytest.raises(Refusal, match="there are 20 in B21-01 A"):
        leave(book, ids, ExitKind.SOLD, 21, sure=True)
