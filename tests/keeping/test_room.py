"""Which boxes are too full, now and at their next moult.

The numbers are the species sheets' and defaults' own: 10 larvae in a bottle to L3
(B. Mery, Breeding the Oak hawk-moth, AES Bulletin), 1 to 3 L5 in a box (17
Expertentipps, bluehendesoesterreich.at); the others common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care, lamp
from rearing.keeping.round import round_of
from rearing.keeping.round_lines import Task
from rearing.terms import BoxKind, ExitKind, Sex, Stage, Visit
from tests.keeping.karst_book import entry, on, when

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.round_lines import RoundLine
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf
    from tests.keeping.karst_book import Ids


def leave(book: Book, ids: Ids, left: int) -> None:
    care.let_leave(
        book,
        entry(12),
        box_id=ids.box,
        kind=ExitKind.GIVEN,
        number=30 - left,
        when=when(6, 12),
    )


def seen(book: Book, ids: Ids, day: int, **stages: tuple[int, int]) -> None:
    care.look_at_stages(
        book,
        entry(day),
        box_id=ids.box,
        seen={Stage(k): care.Seen(*v) for k, v in stages.items()},
        when=when(6, day, 20),
    )


def fed(book: Book, ids: Ids, day: int) -> None:
    care.visit(
        book,
        entry(day),
        what=Visit.FED_AND_CLEANED,
        when=when(6, day, 20),
        box_id=ids.box,
        leaf=care.Leaf("blackthorn"),
    )


def asked(book: Book, shelf: SheetShelf, day: dt.date) -> RoundLine:
    found = round_of(book, shelf, day, everything=True)
    return next(x for x in found.lines if x.code == "B21-01 A")


def test_twenty_second_instars_are_as_many_as_a_box_takes(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 20)
    seen(book, ids, 14, L2=(20, 0))
    fed(book, ids, 14)
    found = asked(book, shelf, on(6, 15))
    # at L3 they will be too many, but that is days ahead
    assert (found.task, found.room and found.room.is_near) == (Task.NOTHING, False)


def test_a_few_too_many_are_known_and_not_asked_about(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 24)
    seen(book, ids, 14, L2=(24, 0))
    fed(book, ids, 14)
    found = round_of(book, shelf, on(6, 15), everything=True)
    line = next(x for x in found.lines if x.code == "B21-01 A")
    assert line.task is Task.NOTHING
    assert found.crowded == (line,)
    assert found.room_sentence == ""


def test_of_a_few_too_many_the_next_moult_is_told_as_of_enough(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    """21 L2 where 20 are as many as a box takes: at L3 for half of 8 to 10."""
    leave(book, ids, 21)
    seen(book, ids, 14, L2=(21, 15))
    found = asked(book, shelf, on(6, 14)).room
    assert found is not None
    assert (found.is_now, found.is_near, found.is_clear) == (False, True, True)
    assert found.words == "Next moult: 21 L3, room for 4 to 5."


def test_a_quarter_too_many_ask_for_more_room(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 25)
    seen(book, ids, 14, L2=(25, 0))
    fed(book, ids, 14)
    found = asked(book, shelf, on(6, 15))
    assert found.task is Task.MORE_ROOM
    assert found.reason == "25 L2, room for 15 to 20: split them"


def test_leaf_comes_before_room_and_the_reason_says_both(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 25)
    seen(book, ids, 14, L2=(25, 0))
    fed(book, ids, 14)
    found = asked(book, shelf, on(6, 17))
    assert found.task is Task.CLEAN_AND_LEAF
    assert found.reason.endswith("25 L2, room for 15 to 20.")


def test_all_well_answers_the_asking_for_room_for_a_week(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 25)
    seen(book, ids, 14, L2=(25, 0))
    fed(book, ids, 14)
    well(book, ids, 15)
    assert asked(book, shelf, on(6, 15)).done == "All well 20:00"
    for day in range(16, 24):
        fed(book, ids, day - 1)
        found = asked(book, shelf, on(6, day))
        # a count is due from the eighteenth on: it is asked for before room is again
        assert (found.task is Task.MORE_ROOM) is (day == 23)
        assert ("room for" in found.reason) is (day == 23)


def test_another_look_asks_for_room_again(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 25)
    seen(book, ids, 14, L2=(25, 0))
    fed(book, ids, 14)
    well(book, ids, 15)
    seen(book, ids, 16, L2=(24, 0), L3=(1, 0))
    fed(book, ids, 16)
    assert asked(book, shelf, on(6, 17)).task is Task.MORE_ROOM


def well(book: Book, ids: Ids, day: int) -> None:
    care.visit(
        book,
        entry(day),
        what=Visit.ALL_WELL,
        when=when(6, day, 20),
        box_id=ids.box,
    )


def test_the_next_moult_is_told_once_they_rest(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 8)
    seen(book, ids, 14, L4=(8, 3))
    found = round_of(book, shelf, on(6, 15), everything=True)
    line = next(x for x in found.lines if x.code == "B21-01 A")
    # S. pyri wants much room from L3 (its sheet): 8 L4 are too many as they are
    assert line.room is not None
    assert line.room.is_now
    assert line.task is Task.LEAVE_ALONE
    assert line.reason.endswith("; then more room")
    assert found.room_sentence == "Too full, 1 box: B21-01 A."


@pytest.mark.parametrize(("resting", "near"), [(0, False), (4, True)])
def test_of_hawkmoths_in_a_cage_room_for_the_next_instar(
    book: Book, ids: Ids, shelf: SheetShelf, resting: int, near: bool
) -> None:
    cage = boxes.open_box(
        book,
        entry(12),
        brood_id=ids.brood,
        kind=BoxKind.CAGE,
        place_id=ids.hall,
        when=when(6, 12),
    ).new_id
    boxes.move_animals(
        book,
        entry(12),
        origin=boxes.Origin(box_id=ids.box),
        to_box_id=cage,
        number=20,
        when=when(6, 12),
        stage=Stage.L4,
    )
    care.look_at_stages(
        book,
        entry(14),
        box_id=cage,
        seen={Stage.L4: care.Seen(20, resting)},
        when=when(6, 14, 20),
    )
    found = round_of(book, shelf, on(6, 15), everything=True)
    room = next(x for x in found.lines if x.code == "B21-01 B").room
    assert room is not None
    # 25 L4 and 12 to 15 L5 in a 60 cm cage
    assert (room.is_now, room.is_near) == (False, near)
    assert room.words == ("Next moult: 20 L5, room for 12 to 15.")
    assert ("next moult, 1 box: B21-01 B" in found.room_sentence) is near


def test_shares_of_room_are_added_over_instars(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 24)
    # 12 of 30 and 12 of 20: just full
    seen(book, ids, 14, L1=(12, 0), L2=(12, 0))
    full = asked(book, shelf, on(6, 14)).room
    assert full is None or not full.is_now
    seen(book, ids, 15, L1=(10, 0), L2=(14, 0))
    over = asked(book, shelf, on(6, 15)).room
    assert over is not None
    assert over.is_now
    assert over.words.startswith("L1 10, L2 14, room for about 23 of these ages.")


def test_before_a_look_hatchlings_are_first_instars(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    room = asked(book, shelf, on(6, 12)).room
    # 30 L1 just fit; as L2 they do not
    assert room is not None
    assert (room.is_now, room.instar, room.number) == (False, Stage.L2, 30)


def test_tubs_and_living_plants_have_no_such_number(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    for kind in (BoxKind.TUB, BoxKind.POT_PLANT):
        new = boxes.open_box(
            book,
            entry(12),
            brood_id=ids.brood,
            kind=kind,
            place_id=ids.hall,
            when=when(6, 12),
        ).new_id
        boxes.move_animals(
            book,
            entry(12),
            origin=boxes.Origin(box_id=ids.box),
            to_box_id=new,
            number=15,
            when=when(6, 12),
        )
    found = round_of(book, shelf, on(6, 13), everything=True)
    assert {x.code for x in found.crowded} == set()


def test_a_visit_ends_the_asking_for_room_without_giving_it(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 25)
    seen(book, ids, 14, L2=(25, 0))
    fed(book, ids, 14)
    fed(book, ids, 15)
    found = asked(book, shelf, on(6, 15))
    assert (found.done, found.was_done) == (
        "Fed and cleaned 20:00: blackthorn; not split",
        False,
    )


def test_wanderers_are_asked_into_litter_until_they_were_moved(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    # Marumba pupates in earth; the emperor of the book spins where it sits
    book_taxon(book, ids, "Marumba quercus")
    leave(book, ids, 3)
    seen(book, ids, 14, L5=(1, 0), wandering=(2, 0))
    found = asked(book, shelf, on(6, 14))
    assert found.task is Task.WANDERERS
    assert found.reason == (
        "2 wandering 14 June 20:00: into damp earth or a dark tub within hours, they "
        "bite through cloth. Is a tub ready?"
    )
    tub = boxes.open_box(
        book,
        entry(15),
        brood_id=ids.brood,
        kind=BoxKind.TUB,
        place_id=ids.hall,
        when=when(6, 15),
    ).new_id
    boxes.move_animals(
        book,
        entry(15),
        origin=boxes.Origin(box_id=ids.box),
        to_box_id=tub,
        number=2,
        when=when(6, 15, 21),
        stage=Stage.WANDERING,
    )
    assert asked(book, shelf, on(6, 15)).task is not Task.WANDERERS


def test_spinners_are_left_where_they_spin(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    leave(book, ids, 3)
    seen(book, ids, 14, L5=(1, 0), wandering=(2, 0))
    assert asked(book, shelf, on(6, 14)).task is not Task.WANDERERS


def book_taxon(book: Book, ids: Ids, taxon: str) -> None:
    """Call the mother something else: her brood follows."""
    lamp.redetermine_moth(
        book,
        entry(12),
        moth_id=ids.moth,
        call=lamp.Call(taxon, Sex.FEMALE),
        on=on(6, 12),
    )
