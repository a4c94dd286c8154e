from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit

from rearing.records.rows import (
    ArrivalRow,
    CheckRow,
    LampNightRow,
    MothRow,
    OutageRow,
)
from rearing.terms import (
    CountingMode,
    Mated,
    MothFate,
    Quality,
    Sex,
)
from tests.desk import entry_book
from tests.desk.entry_book import ZONE, june
from tests.desk.entry_desk import Desk, enter, entered, fill

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key


# the night book


def test_times_after_midnight_belong_to_the_evening(desk: Desk) -> None:
    form = desk.open("night")
    entered(
        form,
        evening="29.5.2021",
        lamp="15 W actinic",
        on="2140",
        off="0.45",
        mode="present now",
        start_c="14,5",
        weather="calm",
    )
    night = desk.book.all(LampNightRow)[-1]
    assert night.evening == dt.date(2021, 5, 29)
    assert night.lamp_on == dt.datetime(2021, 5, 29, 21, 40, tzinfo=ZONE)
    assert night.lamp_off == dt.datetime(2021, 5, 30, 0, 45, tzinfo=ZONE)
    assert (night.start_c, night.weather) == (14.5, "calm")
    assert night.mode is CountingMode.PRESENT


def test_a_night_is_offered_by_its_evening_after_midnight(
    desk: Desk, qtbot: QtBot, theme: Theme
) -> None:
    late = dt.datetime(2021, 6, 13, 0, 20, tzinfo=ZONE)
    desk.session = entry_book.session(desk.book, late)
    form = desk.open("night")
    assert form.input("evening").answer() == june(12)
    assert form.input("lamp").answer() == "125 W MV"


def test_an_hour_that_comes_twice_is_asked_about(desk: Desk) -> None:
    # EU summer time ends on the last Sunday of October: 31 October 2021, 03:00 to 02:00
    form = desk.open("night")
    fill(form, evening="30.10.2020", on="2000", off="0230")
    entered(form, evening="30.10.2020")  # in 2020 the clocks went back on 25 October
    desk.session = entry_book.session(
        desk.book, dt.datetime(2021, 11, 2, 9, tzinfo=ZONE)
    )
    form = desk.open("night")
    fill(form, evening="30.10.2021", on="2000", off="0230")
    enter(form)
    assert "comes twice" in form.message("off")
    entered(form, off="0230 b")
    night = desk.book.all(LampNightRow)[-1]
    assert night.lamp_off is not None
    assert night.lamp_on is not None
    # 20:00 to the second 02:30 are 7.5 hours: half past six by the clock and one more
    assert night.lamp_off - night.lamp_on == dt.timedelta(hours=7, minutes=30)
    assert night.lamp_off.astimezone(dt.UTC).hour == 1


def test_an_hour_that_never_was_is_refused_under_its_field(desk: Desk) -> None:
    # EU summer time began on 28 March 2021 at 02:00, which became 03:00
    form = desk.open("night")
    fill(form, evening="27.3.2021", on="1900", off="0230")
    enter(form)
    assert "does not exist" in form.message("off")
    assert "01:30 or 03:30" in form.message("off")


def test_a_second_lamp_needs_a_station(desk: Desk) -> None:
    form = desk.open("night")
    fill(form, evening="28.5.2021")
    enter(form)
    assert "station" in form.message("station")
    entered(form, station="gate")
    assert desk.book.all(LampNightRow)[-1].station == "gate"


def test_a_check_is_filed_in_its_night(desk: Desk) -> None:
    entered(desk.open("check", desk.ids.night), at="0130", temperature_c="12")
    check = desk.book.all(CheckRow)[-1]
    assert check.at == dt.datetime(2021, 5, 29, 1, 30, tzinfo=ZONE)
    assert check.temperature_c == 12


def test_arrivals_stay_open_and_go_to_the_check_of_their_time(desk: Desk) -> None:
    form = desk.open("arrival", desk.ids.night)
    entered(form, taxon="Laothoe populi", sex="♂ male", number="3")
    assert form.isVisible()
    assert form.input("taxon").answer() is None
    entered(form, taxon="Laothoe populi", number="~5", at="0200")
    first, second = desk.book.all(ArrivalRow)[-2:]
    assert first.check_id == desk.ids.check
    assert (second.number, second.quality) == (5, Quality.ABOUT)
    opened = desk.book.one(CheckRow, second.check_id)
    assert opened.at == dt.datetime(2021, 5, 29, 2, tzinfo=ZONE)
    desk.session.take_back(sure=True)
    assert opened not in desk.book.all(CheckRow)


def test_a_dark_lamp_is_taken_down(desk: Desk) -> None:
    entered(desk.open("outage"), from_at="2340", to_at="0025", why="bulb")
    dark = desk.book.all(OutageRow)[-1]
    assert dark.to_at - dark.from_at == dt.timedelta(minutes=45)


def test_keeping_a_female_shows_her_law_and_cautions(desk: Desk) -> None:
    form = desk.open("female")
    part = form.input("taxon").focus_part()
    assert isinstance(part, QComboBox)
    part.setCurrentText("Proserpinus proserpina")
    sheet = desk.session.shelf.get("Proserpinus proserpina")
    assert sheet is not None
    assert str(sheet.law.flag) in form._caution.text()
    assert "authority decides" in form._caution.text()
    assert form.input("permit").isVisible()
    fill(form, taxon="Proserpinus proserpina")
    enter(form)
    assert "permit" in form.message("permit")
    entered(form, permit="35-12/2021")
    kept = desk.book.all(MothRow)[-1]
    assert (kept.code, kept.permit) == ("W21-02", "35-12/2021")


def test_a_female_is_tied_to_the_line_that_counted_her(desk: Desk) -> None:
    form = desk.open("female", desk.ids.night)
    assert form.input("taxon").answer() == "Saturnia pyri"
    assert not form.input("permit").isVisible()
    line = form.input("code").focus_part()
    assert isinstance(line, QLineEdit)
    assert line.placeholderText() == "W21-02"
    entered(form, mated="yes", container="paper bag")
    kept = desk.book.all(MothRow)[-1]
    assert kept.arrival_id == desk.book.all(ArrivalRow)[0].id
    assert (kept.mated, kept.container) == (Mated.YES, "paper bag")
    # two were counted and two are kept now: a third is tied to no line
    entered(desk.open("female", desk.ids.night), taxon="Saturnia pyri")
    assert desk.book.all(MothRow)[-1].arrival_id is None


def test_a_code_that_was_taken_back_is_not_given_again(desk: Desk) -> None:
    entered(desk.open("female", desk.ids.night), taxon="Saturnia pyri")
    assert desk.book.all(MothRow)[-1].code == "W21-02"
    desk.session.take_back()
    form = desk.open("female", desk.ids.night)
    line = form.input("code").focus_part()
    assert isinstance(line, QLineEdit)
    # it may stand on a bag already
    assert line.placeholderText() == "W21-03"
    entered(form, taxon="Saturnia pyri")
    assert desk.book.all(MothRow)[-1].code == "W21-03"


def test_a_second_look_closes_a_bag_that_holds_a_male(desk: Desk) -> None:
    form = desk.open("second_look", None, desk.ids.moth)
    entered(form, sex="♂ male")
    assert desk.book.one(MothRow, desk.ids.moth).fate is MothFate.NOT_FEMALE
    form = desk.open("second_look", desk.ids.night)
    fill(form, whom="00:45 · 2 ♀ Saturnia pyri", number="3")
    enter(form)
    assert "2" in form.message("number")


def test_sexes_are_offered_with_their_signs(desk: Desk) -> None:
    form = desk.open("arrival")
    part = form.input("sex").focus_part()
    assert isinstance(part, QComboBox)
    offered = [part.itemText(row) for row in range(part.count())]
    assert offered == [f"{sex.sign} {sex}" for sex in Sex]
