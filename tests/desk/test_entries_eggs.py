from __future__ import annotations

import datetime as dt

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox

from rearing.records.rows import (
    BoxRow,
    BoxVisitRow,
    BroodRow,
    EggOutcomeRow,
    LayingRow,
    MothRow,
    MoveRow,
    NoteRow,
    PairingRow,
    StayRow,
)
from rearing.terms import (
    BoxKind,
    EggFate,
    Mated,
    MothFate,
    Quality,
    Sire,
    Visit,
)
from tests.desk.entry_book import ZONE, june
from tests.desk.entry_desk import Desk, enter, entered, fill, number_in

Key = Qt.Key


# eggs


def test_eggs_go_on_night_by_night(desk: Desk) -> None:
    form = desk.open("eggs", desk.ids.moth)
    assert form.input("evening").answer() == dt.date(2021, 5, 31)
    entered(form, number="11")
    assert form.input("evening").answer() == june(1)
    entered(form, number="0")
    nights = desk.book.all(LayingRow)[-2:]
    assert [(x.evening, x.number) for x in nights] == [
        (dt.date(2021, 5, 31), 11),
        (june(1), 0),
    ]
    assert len({x.pot_id for x in desk.book.all(LayingRow)}) == 5


def test_eggs_go_into_a_pot_that_stands(desk: Desk) -> None:
    form = desk.open("eggs", desk.ids.moth)
    entered(form, number="7", pot="B21-01 pot 3 · Kitchen shelf · 38 eggs")
    assert desk.book.all(LayingRow)[-1].pot_id == 3


def test_eggs_after_a_pairing_offer_the_mate(desk: Desk) -> None:
    entered(desk.open("pairing", desk.ids.moth), sire=f"♂ {Sire.WILD_UNKNOWN}")
    form = desk.open("eggs")
    part = form.input("whose").focus_part()
    assert isinstance(part, QComboBox)
    offered = [part.itemText(row) for row in range(part.count())]
    assert offered == [
        "W21-01 · ♀ Saturnia pyri × ♂ wild, unknown",
        "W21-01 · ♀ Saturnia pyri",
    ]
    entered(form, evening="10.6.2021", number="4")
    assert [brood.code for brood in desk.book.all(BroodRow)] == ["B21-01", "B21-02"]


def test_a_laying_is_mended(desk: Desk) -> None:
    laying = desk.book.all(LayingRow)[0]
    form = desk.open("correct_eggs", laying.id)
    assert form.input("number").answer() == (41, Quality.EXACT)
    entered(form, number="43")
    assert desk.book.one(LayingRow, laying.id).number == 43


def test_more_hatched_than_laid_is_asked_about(desk: Desk) -> None:
    form = desk.open("fate", desk.ids.pot)
    fill(form, number="8")
    enter(form)
    assert not form.question.isHidden()
    QTest.keyClick(form.question, Key.Key_Y)
    assert desk.book.all(LayingRow)[0].number == 43
    assert desk.book.all(EggOutcomeRow)[-1].fate is EggFate.HATCHED


def test_larvae_go_on_leaf_in_one_entry(desk: Desk) -> None:
    form = desk.open("put_on_leaf", desk.ids.pot)
    assert form.input("number").answer() == 5
    assert "prussic" in form._caution.text()
    before = len(desk.book.journal())
    entered(form, number="9", box="new bottle", hatched_on="11.6.2021")
    assert len(desk.book.journal()) == before + 1
    box = desk.book.all(BoxRow)[-1]
    assert (box.label, box.kind, box.host) == ("B", BoxKind.BOTTLE, "blackthorn")
    assert desk.book.all(MoveRow)[-1].number == 9
    hatched = desk.book.all(EggOutcomeRow)[-1]
    assert (hatched.number, hatched.on) == (4, june(11))
    assert desk.book.all(BoxVisitRow)[-1].what is Visit.FED
    assert desk.book.all(StayRow)[-1].place_id == desk.ids.shelf
    desk.session.take_back()
    assert desk.book.all(BoxRow)[-1].id == desk.ids.box
    assert desk.book.all(EggOutcomeRow)[-1].number == 35


def test_larvae_go_into_a_box_that_stands(desk: Desk) -> None:
    entered(
        desk.open("put_on_leaf", desk.ids.pot),
        number="5",
        box="B21-01 A · Hall shelf · 30",
    )
    assert number_in(desk, desk.ids.box) == 35


def test_a_pot_put_away_gives_up_its_eggs(desk: Desk) -> None:
    form = desk.open("close_pot", desk.ids.pot)
    assert "6 eggs" in form._caution.text()
    enter(form)
    assert "5 larvae" in form.question.accessibleName() or not form.question.isHidden()
    QTest.keyClick(form.question, Key.Key_Y)
    lost = desk.book.all(EggOutcomeRow)[-1]
    assert (lost.fate, lost.number) == (EggFate.LOST, 6)


# moths


def test_letting_go_where_she_came_from(desk: Desk) -> None:
    form = desk.open("let_go", desk.ids.moth)
    assert form.input("where").answer() == "Terrace"
    entered(form)
    moth = desk.book.one(MothRow, desk.ids.moth)
    assert (moth.fate, moth.fate_where) == (MothFate.RELEASED, "Terrace")


def test_a_species_not_to_be_released_is_asked_about(desk: Desk) -> None:
    entered(desk.open("female"), taxon="Antheraea yamamai")
    moth = desk.book.all(MothRow)[-1]
    form = desk.open("let_go", moth.id)
    enter(form)
    assert not form.question.isHidden()
    assert desk.book.one(MothRow, moth.id).fate is None
    QTest.keyClick(form.question, Key.Key_Y)
    assert desk.book.one(MothRow, moth.id).fate is MothFate.RELEASED


def test_mating_is_noted_with_its_reason(desk: Desk) -> None:
    entered(desk.open("mated", desk.ids.moth), mated="yes", note="fertile eggs")
    assert desk.book.one(MothRow, desk.ids.moth).mated is Mated.YES
    assert desk.book.all(NoteRow)[-1].text == "fertile eggs"


def test_a_pair_may_part_the_next_afternoon(desk: Desk) -> None:
    form = desk.open("pairing", desk.ids.moth)
    enter(form)
    assert form.message("sire")
    entered(form, sire="♂ one of several", coupled="0130", parted="1500")
    pair = desk.book.all(PairingRow)[-1]
    assert pair.parted_at == dt.datetime(2021, 6, 13, 15, tzinfo=ZONE)
    assert pair.coupled_at == dt.datetime(2021, 6, 13, 1, 30, tzinfo=ZONE)


def test_an_emerged_moth_gets_its_brood_s_code(desk: Desk) -> None:
    entered(desk.open("emergence", desk.ids.brood), sex="♀ female")
    assert desk.book.all(MothRow)[-1].code == "B21-01/♀01"
