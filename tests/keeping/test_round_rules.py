"""What the round asks for, rule by rule, on a small book.

The rules of thumb are the trade's (common practice, no source) unless a line says
otherwise; where a figure is published its source is named.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import away_days, boxes, care, eggs, housing, places
from rearing.keeping.leaf_life import life_of_leaf
from rearing.keeping.round import QUARANTINE, round_of
from rearing.keeping.round_lines import RoundLine, Task
from rearing.records.journal import Entry
from rearing.terms import BoxKind, Cause, EggFate, ExitKind, Stage, Visit
from tests.keeping.karst_book import at, on, when

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf
    from tests.keeping.karst_book import Ids


def entry(month: int, day: int) -> Entry:
    return Entry(at(month, day), "N. K.")


def line(book: Book, shelf: SheetShelf, day: dt.date, code: str) -> RoundLine:
    found = round_of(book, shelf, day, everything=True)
    return next(x for x in found.lines if x.code == code)


def fed(book: Book, ids: Ids, day: int, what: Visit = Visit.FED_AND_CLEANED) -> None:
    leaf = care.Leaf("blackthorn")
    care.visit(
        book,
        entry(6, day),
        what=what,
        when=when(6, day, 20),
        box_id=ids.box,
        leaf=leaf,
    )


def seen(book: Book, ids: Ids, day: int, stage: Stage, resting: int = 0) -> None:
    care.look_at_stages(
        book,
        entry(6, day),
        box_id=ids.box,
        seen={stage: care.Seen(30, resting)},
        when=when(6, day, 20),
    )


def few(book: Book, ids: Ids, left: int) -> None:
    """Give some of the thirty away, so that room is not what is asked for."""
    care.let_leave(
        book,
        entry(6, 11),
        box_id=ids.box,
        kind=ExitKind.GIVEN,
        number=30 - left,
        when=when(6, 11),
    )


def test_hatchlings_settle_for_two_days_and_are_looked_at_on_the_third(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    # Aufzucht der Raupen, schmetterlingszucht.net: two days alone, the third at latest.
    box = line(book, shelf, on(6, 12), "B21-01 A")
    assert (box.task, box.until) == (Task.LEAVE_ALONE, "until Sun 13 June")
    assert line(book, shelf, on(6, 13), "B21-01 A").task is Task.LOOK
    assert line(book, shelf, on(6, 14), "B21-01 A").task is Task.LOOK


def test_leaf_in_a_box_at_20_degrees_is_due_on_the_third_evening(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 18)
    seen(book, ids, 14, Stage.L2)
    fed(book, ids, 15)
    tasks = {d: line(book, shelf, on(6, d), "B21-01 A").task for d in (15, 16, 17, 18)}
    assert tasks[16] is Task.NOTHING
    # 2.8 days at 20°: to the afternoon of the 18th, four hours before the round.
    assert tasks[17] is Task.CLEAN
    assert tasks[18] is Task.CLEAN_AND_LEAF


def test_the_last_instar_is_fed_and_cleaned_every_day(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 2)
    seen(book, ids, 14, Stage.L5)
    fed(book, ids, 15)
    asked = line(book, shelf, on(6, 16), "B21-01 A")
    assert asked.task is Task.CLEAN_AND_LEAF
    assert asked.reason == (
        "Last instar, fed daily; last blackthorn 15 June. Cleaned daily; last 15 June."
    )


def test_what_a_visit_left_out_is_not_told_as_done(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 2)
    seen(book, ids, 14, Stage.L5)
    fed(book, ids, 15)
    care.visit(
        book,
        entry(6, 16),
        what=Visit.CLEANED,
        when=when(6, 16, 20),
        box_id=ids.box,
    )
    cleaned = line(book, shelf, on(6, 16), "B21-01 A")
    # larvae in their last instar go hungry in a clean box: leaf is still due
    assert (cleaned.task, cleaned.done) == (Task.FRESH_LEAF, None)
    assert cleaned.reason == "Cleaned 20:00. No fresh leaf yet."
    fed(book, ids, 17, Visit.FED)
    only_fed = line(book, shelf, on(6, 17), "B21-01 A")
    assert only_fed.done == "Fed 20:00: blackthorn; not cleaned"
    assert only_fed.task is Task.FRESH_LEAF
    fed(book, ids, 18)
    done = line(book, shelf, on(6, 18), "B21-01 A").done
    assert done == "Fed and cleaned 20:00: blackthorn"


def test_a_box_that_was_only_fed_still_waits_for_its_count(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 18)
    seen(book, ids, 14, Stage.L2)
    fed(book, ids, 17)
    fed(book, ids, 18, Visit.FED)
    asked = line(book, shelf, on(6, 18), "B21-01 A")
    assert (asked.task, asked.done) == (Task.COUNT_DUE, None)
    assert asked.reason == "Fed 20:00: blackthorn. The count is still due."
    care.count_box(book, entry(6, 18), box_id=ids.box, number=17, when=when(6, 18, 21))
    after = line(book, shelf, on(6, 18), "B21-01 A")
    assert after.done == "Fed 20:00: blackthorn; 17 counted"
    assert after.was_done


def test_a_look_at_all_well_answers_without_doing_what_was_asked(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 2)
    seen(book, ids, 14, Stage.L5)
    fed(book, ids, 15)
    care.visit(
        book,
        entry(6, 16),
        what=Visit.ALL_WELL,
        when=when(6, 16, 20),
        box_id=ids.box,
    )
    looked = line(book, shelf, on(6, 16), "B21-01 A")
    assert (looked.done, looked.was_done) == ("All well 20:00", False)
    assert looked.task is Task.CLEAN_AND_LEAF
    assert "Clean, fresh leaf, answered: All well 20:00" in looked.sentence()


def test_moulting_rest_overrides_feeding_and_ends(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    seen(book, ids, 14, Stage.L2, resting=12)
    resting = line(book, shelf, on(6, 15), "B21-01 A")
    # 24 to 48 hours, so 36 from the evening of the 14th.
    assert resting.task is Task.LEAVE_ALONE
    assert resting.until == "until Wed 16 June, morning"
    assert "12 of 30" in resting.reason
    assert line(book, shelf, on(6, 16), "B21-01 A").task is Task.CLEAN_AND_LEAF


def test_the_rest_before_the_last_instar_is_longer(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    seen(book, ids, 14, Stage.L4, resting=3)
    assert line(book, shelf, on(6, 16), "B21-01 A").task is Task.LEAVE_ALONE


def test_a_headcount_is_due_after_seven_days_when_nothing_else_is(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 18)
    seen(book, ids, 14, Stage.L2)
    fed(book, ids, 17)
    assert line(book, shelf, on(6, 17), "B21-01 A").done
    counted = line(book, shelf, on(6, 18), "B21-01 A")
    assert counted.task is Task.COUNT_DUE
    care.count_box(book, entry(6, 18), box_id=ids.box, number=17, when=when(6, 18, 20))
    after = line(book, shelf, on(6, 18), "B21-01 A")
    assert (after.done, after.number, after.known) == (
        "17 counted",
        17,
        "counted today",
    )


def test_a_catching_death_sends_the_box_to_the_end_for_fourteen_days(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    care.lose(
        book,
        entry(6, 15),
        box_id=ids.box,
        lost=care.Lost(2, Cause.VIRUS, Stage.L2),
        when=when(6, 15, 20),
    )
    for day, apart in ((on(6, 15), True), (on(6, 29), True), (on(6, 30), False)):
        found = round_of(book, shelf, day, everything=True)
        last = found.places[-1]
        assert (last.name == QUARANTINE) is apart
        assert line(book, shelf, day, "B21-01 A").quarantine is apart


def test_places_are_walked_in_their_order_whatever_was_entered_first(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    places.change_place(book, entry(6, 12), place_id=ids.hall, walking_order=0)
    boxes.open_box(
        book,
        entry(6, 12),
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.hall,
        when=when(6, 12),
    )
    walked = [p.name for p in round_of(book, shelf, on(6, 12), everything=True).places]
    assert walked == ["Hall shelf", "Kitchen shelf"]


def test_a_box_on_the_living_plant_is_never_asked_to_be_fed(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    sleeve = boxes.open_box(
        book,
        entry(6, 12),
        brood_id=ids.brood,
        kind=BoxKind.SLEEVE,
        place_id=ids.hall,
        when=when(6, 12),
    ).new_id
    boxes.move_animals(
        book,
        entry(6, 12),
        origin=boxes.Origin(box_id=ids.box),
        to_box_id=sleeve,
        number=10,
        when=when(6, 12, 20),
        stage=Stage.L1,
    )
    tasks = {line(book, shelf, on(6, d), "B21-01 B").task for d in range(13, 19)}
    assert tasks == {Task.NOTHING}
    assert line(book, shelf, on(6, 19), "B21-01 B").task is Task.COUNT_DUE


def test_hatched_larvae_in_the_pot_come_before_anything_else(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    # 35 hatched, 30 on leaf: five are still in the pot by the book.
    pot = line(book, shelf, on(6, 12), "B21-01 pot 1")
    assert (pot.task, pot.number, pot.known) == (Task.PUT_ON_LEAF, 5, "hatched")


def test_eggs_left_a_week_after_the_others_are_overdue(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    boxes.move_animals(
        book,
        entry(6, 11),
        origin=boxes.Origin(pot_id=ids.pot),
        to_box_id=ids.box,
        number=5,
        when=when(6, 11, 20),
    )
    at_once = line(book, shelf, on(6, 12), "B21-01 pot 1")
    late = line(book, shelf, on(6, 19), "B21-01 pot 1")
    assert (at_once.task, at_once.number) == (Task.LOOK_FOR_HATCHING, 6)
    assert late.task is Task.EGGS_OVERDUE
    eggs.record_fate(
        book,
        entry(6, 19),
        pot_id=ids.pot,
        fate=EggFate.COLLAPSED,
        number=6,
        on=on(6, 19),
    )
    codes = [x.code for x in round_of(book, shelf, on(6, 20), everything=True).lines]
    assert "B21-01 pot 1" not in codes


def test_what_is_entered_later_is_not_seen_on_an_earlier_day(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    before = round_of(book, shelf, on(6, 13), everything=True)
    seen(book, ids, 14, Stage.L2)
    fed(book, ids, 15)
    assert round_of(book, shelf, on(6, 13), everything=True) == before


@pytest.mark.parametrize(
    ("kind", "at_c", "place_days", "last", "days"),
    [
        # Defaults' table: 3 d at 18 to 20°, 2 d at 25°, 1.5 d at 30°.
        (BoxKind.BOX, 18.0, None, False, 3.0),
        (BoxKind.BOX, 25.0, None, False, 2.0),
        (BoxKind.BOX, 27.5, None, False, 1.75),
        (BoxKind.BOX, 35.0, None, False, 1.5),
        # B. Mery, AES Bulletin: bottles of oak 2 to 3 days.
        (BoxKind.BOTTLE, 20.0, None, False, 2.5),
        (BoxKind.BOTTLE, 29.0, 2.0, False, 2.0),
        (BoxKind.BOTTLE, 32.0, 2.0, False, 1.5),
        (BoxKind.BOX, 18.0, 4.0, False, 4.0),
        (BoxKind.BOX, 18.0, None, True, 1.0),
    ],
)
def test_leaf_lasts_by_container_heat_and_what_was_learnt_there(
    shelf: SheetShelf,
    kind: BoxKind,
    at_c: float,
    place_days: float | None,
    last: bool,
    days: float,
) -> None:
    life = life_of_leaf(
        shelf.defaults,
        kind,
        at_c=at_c,
        host_latin="Salix caprea",
        place_days=place_days,
        in_last_instar=last,
    )
    assert life is not None
    assert life.days == pytest.approx(days)
    assert life.is_eaten is last


def test_a_new_box_is_fed_what_its_brood_eats(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 18)
    fed(book, ids, 13)
    housing.move_into_new(
        book,
        entry(6, 14),
        box_id=ids.box,
        number=8,
        into=housing.NewBox(BoxKind.BOX, ids.hall),
        when=when(6, 14, 20),
    )
    assert line(book, shelf, on(6, 14), "B21-01 B").host == "blackthorn"


def test_on_the_eve_of_days_away_leaf_has_to_last_until_the_return(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    few(book, ids, 18)
    seen(book, ids, 14, Stage.L2)
    fed(book, ids, 15)
    # 2.8 days at 20°: enough for the next evening, not for the one after the 18th
    assert line(book, shelf, on(6, 16), "B21-01 A").task is Task.NOTHING
    away_days.add_away(book, entry(6, 16), first=on(6, 17), last=on(6, 18))
    eve = line(book, shelf, on(6, 16), "B21-01 A")
    assert eve.task is Task.CLEAN_AND_LEAF
    assert "You are away to Fri 18 June." in eve.reason
    fed(book, ids, 16)
    assert line(book, shelf, on(6, 16), "B21-01 A").done
