"""Animals moved without a word of their stage are at that of the box they left."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, splitting
from rearing.keeping.boxes import Origin
from rearing.keeping.fates import fates
from rearing.keeping.holding import holding
from rearing.keeping.housing import NewBox, move_into_new
from rearing.keeping.season import season
from rearing.records import tables as t
from rearing.records.rows import BroodRow, MoveRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Stage
from tests.keeping.karst_book import LATER, on, when
from tests.keeping.test_verbs_boxes import new_box

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


@pytest.fixture
def pupae(book: Book, ids: Ids) -> int:
    """Return the box with its thirty seen as pupae, and a few late larvae."""
    seen = {Stage.L5: care.Seen(4), Stage.PUPA: care.Seen(26)}
    care.look_at_stages(book, LATER, box_id=ids.box, seen=seen, when=when(7, 10))
    return ids.box


def test_every_way_of_moving_takes_the_stage_last_seen(
    book: Book, ids: Ids, pupae: int
) -> None:
    other = new_box(book, ids)
    moved = boxes.move_animals(
        book,
        LATER,
        origin=Origin(box_id=pupae),
        to_box_id=other,
        number=5,
        when=when(7, 12),
    )
    assert moved.sentence == "5 pupa from B21-01 A into B21-01 B, Mon 12 July"
    new = NewBox(BoxKind.TUB, ids.hall)
    move_into_new(book, LATER, box_id=pupae, number=5, into=new, when=when(7, 12))
    parts = splitting.Parts((5, 5), BoxKind.TUB, ids.hall)
    splitting.split_box(book, LATER, box_id=pupae, into=parts, when=when(7, 12))
    splitting.join_boxes(book, LATER, box_id=pupae, to_box_id=other, when=when(7, 13))
    stages = [move.stage for move in book.all(MoveRow) if move.from_box_id == pupae]
    assert stages == [Stage.PUPA] * 5


def test_what_nobody_looked_at_is_left_unsaid(book: Book, ids: Ids) -> None:
    boxes.move_animals(
        book,
        LATER,
        origin=Origin(box_id=ids.box),
        to_box_id=new_box(book, ids),
        number=5,
        when=when(6, 14),
    )
    assert book.all(MoveRow)[-1].stage is None


def test_moves_entered_before_are_read_alike(book: Book, ids: Ids, pupae: int) -> None:
    """A book in which such a move has no stage: numbers and leaf still know it."""
    tub = boxes.open_box(
        book,
        LATER,
        brood_id=ids.brood,
        kind=BoxKind.TUB,
        place_id=ids.hall,
        when=when(7, 12),
    ).new_id
    moved = boxes.move_animals(
        book,
        LATER,
        origin=Origin(box_id=pupae),
        to_box_id=tub,
        number=26,
        when=when(7, 12),
    ).new_id
    with book.change(LATER) as pen:
        pen.change(t.Move, moved, stage=None)
        pen.say("As it was entered before")
    day = on(7, 14)
    box = next(x for x in holding(book, day).boxes if x.row.id == tub)
    assert [move.stage for move in box.moves_in] == [Stage.PUPA]
    alive = fates(book, book.one(BroodRow, ids.brood), day).alive
    assert alive[Stage.PUPA] >= 26
    events = {
        one.group: [window.event for window in one.windows]
        for one in season(book, load_all(), day)
        if one.brood_id == ids.brood
    }
    # as L1 they would have all their leaf still to eat
    assert events["B · Hall shelf"] == ["emerge"]


def test_a_look_of_a_later_day_says_nothing_of_a_move(
    book: Book, ids: Ids, pupae: int
) -> None:
    boxes.move_animals(
        book,
        LATER,
        origin=Origin(box_id=pupae),
        to_box_id=new_box(book, ids),
        number=5,
        when=when(6, 14),
    )
    assert book.all(MoveRow)[-1].stage is None
