from __future__ import annotations

import datetime as dt

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from rearing.desk.widgets.inputs import MomentInput
from rearing.keeping.holding import holding
from rearing.records.rows import (
    BoxRow,
    BoxVisitRow,
    ExitRow,
    HeadcountRow,
    LossRow,
    StayRow,
)
from rearing.terms import (
    Cause,
    ExitKind,
    Quality,
    Stage,
    Visit,
)
from tests.desk import entry_book
from tests.desk.entry_book import ZONE, june
from tests.desk.entry_desk import Desk, enter, entered, fill, number_in

Key = Qt.Key


# boxes


def test_a_box_is_opened_with_the_next_letter(desk: Desk) -> None:
    form = desk.open("open_box", desk.ids.brood)
    assert form.input("place").answer() == desk.ids.hall
    entered(form, kind="sleeve", tree="Blackthorn by the well · blackthorn")
    box = desk.book.all(BoxRow)[-1]
    assert (box.label, box.tree_id) == ("B", desk.ids.tree)
    form = desk.open("open_box", desk.ids.brood)
    fill(form, label="A")
    enter(form)
    assert "never used twice" in form.message("label")


def test_some_move_into_a_new_box(desk: Desk) -> None:
    form = desk.open("move", desk.ids.box)
    assert form.input("stage").answer() is Stage.L1
    entered(form, number="12", place="Kitchen shelf")
    assert number_in(desk, desk.ids.box) == 18
    box = desk.book.all(BoxRow)[-1]
    assert number_in(desk, box.id) == 12
    entered(desk.open("move", box.id), number="2", box="B21-01 A · Hall shelf · 18")
    assert number_in(desk, desk.ids.box) == 20
    form = desk.open("move", box.id)
    fill(form, number="11")
    enter(form)
    assert form.question.isHidden()
    assert "there are 10 in B21-01 B" in form.message("number")


def test_a_pot_is_carried_now_or_on_a_morning(desk: Desk) -> None:
    form = desk.open("carry", None, desk.ids.pot)
    enter(form)
    assert form.message("place")
    entered(form, place="Hall shelf")
    stay = desk.book.all(StayRow)[-1]
    assert stay.place_id == desk.ids.hall
    assert stay.from_at == entry_book.TONIGHT
    form = desk.open("carry")
    entered(form, thing="B21-01 A · Hall shelf · 30", place="Kitchen shelf", at="11.6.")
    # the box was opened that very morning: there is one stay still, at another place
    stays = [x for x in desk.book.all(StayRow) if x.box_id == desk.ids.box]
    assert [x.place_id for x in stays] == [desk.ids.shelf]


def test_a_closed_box_tells_what_it_leaves_unaccounted(desk: Desk) -> None:
    form = desk.open("close_box", desk.ids.box)
    assert "30" in form._caution.text()
    entered(form, why="moulded")
    assert "30 unaccounted" in desk.last()


# care


def test_feeding_offers_the_last_leaf_and_takes_the_time_now(desk: Desk) -> None:
    form = desk.open("feed", desk.ids.box)
    assert form.input("host").answer() == "blackthorn"
    entered(form, grams="12,5")
    visit = desk.book.all(BoxVisitRow)[-1]
    assert (visit.what, visit.host, visit.grams) == (Visit.FED, "blackthorn", 12.5)
    assert visit.at == entry_book.TONIGHT


def test_another_day_without_a_time_has_none(desk: Desk) -> None:
    form = desk.open("feed", desk.ids.box)
    entered(form, when="11.6.")
    assert (desk.book.all(BoxVisitRow)[-1].on, desk.book.all(BoxVisitRow)[-1].at) == (
        june(11),
        None,
    )
    form = desk.open("feed", desk.ids.box)
    fill(form, when="11.6.")
    moment = form.input("when")
    assert isinstance(moment, MomentInput)
    QTest.keyClicks(moment.time, "1830")
    entered(form)
    at = desk.book.all(BoxVisitRow)[-1].at
    assert at == dt.datetime(2021, 6, 11, 18, 30, tzinfo=ZONE)


def test_a_count_begun_with_a_digit_goes_on(desk: Desk) -> None:
    form = desk.open("count", desk.ids.box, "2")
    assert "30 in it; never counted" in form._caution.text()
    typing = form.input("number").focus_part()
    QTest.keyClicks(typing, "7")
    entered(form, lost="2", cause="dry leaf")
    count = desk.book.all(HeadcountRow)[-1]
    assert (count.number, count.quality) == (27, Quality.EXACT)
    assert (desk.book.all(LossRow)[-1].number, desk.book.all(LossRow)[-1].cause) == (
        2,
        Cause.DRY_LEAF,
    )
    assert "1 unaccounted" in desk.last()


def test_a_loss_at_a_count_needs_number_and_cause(desk: Desk) -> None:
    form = desk.open("count", desk.ids.box)
    fill(form, number="28", lost="2")
    enter(form)
    assert "not known" in form.message("cause")
    fill(form, lost="", cause="heat")
    enter(form)
    assert "heat" in form.message("lost")
    assert desk.book.all(HeadcountRow) == ()


def test_stages_are_asked_as_the_species_has_them(desk: Desk) -> None:
    form = desk.open("stages", desk.ids.box)
    asked = [field.label for field in form._ask][:7]
    assert asked == ["L1", "L2", "L3", "L4", "L5", "Wandering", "Pupa"]
    enter(form)
    assert form.message("n_L1")
    fill(form, n_L1="4", n_L2="20", rest_L1="5")
    enter(form)
    assert "4 L1" in form.message("rest_L1")
    entered(form, rest_L1="3")
    box = next(
        x for x in holding(desk.book, june(12)).boxes if x.row.id == desk.ids.box
    )
    assert box.last_look is not None
    assert box.last_look.numbers == {Stage.L1: 4, Stage.L2: 20}
    assert box.last_look.resting == {Stage.L1: 3}
    assert desk.open("loss", desk.ids.box).input("stage").answer() is Stage.L2


def test_a_loss_is_entered_with_its_cause(desk: Desk) -> None:
    form = desk.open("loss", desk.ids.box)
    enter(form)
    assert form.message("cause")
    entered(form, number="3", cause="virus")
    assert desk.book.all(LossRow)[-1].stage is Stage.L1


def test_a_release_reminds_of_the_law_and_of_where_they_came_from(desk: Desk) -> None:
    form = desk.open("leave", desk.ids.box)
    fill(form, number="4", kind="released", where="Terrace")
    enter(form)
    assert not form.question.isHidden()
    QTest.keyClick(form.question, Key.Key_N)
    assert desk.book.all(ExitRow) == ()
    enter(form)
    QTest.keyClick(form.question, Key.Key_Y)
    gone = desk.book.all(ExitRow)[-1]
    assert (gone.kind, gone.number, gone.where) == (ExitKind.RELEASED, 4, "Terrace")
