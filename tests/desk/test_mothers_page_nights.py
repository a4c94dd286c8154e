"""The night book by its keys, and a night that a second look corrected.

Counts and dates are the invented season of karst_season; sums computed by hand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from rearing.desk.pages.mothers_page import MothersPage
from rearing.keeping import lamp
from tests.desk.karst_pages import is_asking, press
from tests.desk.karst_season import at, day

if TYPE_CHECKING:
    from rearing.desk.pages.night_sheet import NightSheet
    from tests.desk.karst_pages import Karst

Key = Qt.Key


@pytest.fixture
def page(karst: Karst) -> MothersPage:
    page = karst.open(MothersPage)
    press(page, "v")
    return page


@pytest.fixture
def sheet(page: MothersPage) -> NightSheet:
    return page.nights.sheet


def in_night_book(page: MothersPage) -> bool:
    return page.in_night_book


def test_v_turns_to_the_night_book_and_back(page: MothersPage) -> None:
    assert in_night_book(page)
    assert page.nights.spread.index.hasFocus()
    press(page, "v")
    assert not in_night_book(page)
    assert page.females.spread.index.hasFocus()


def test_the_latest_night_stands_first_with_its_total(page: MothersPage) -> None:
    first, second = page.nights.spread.index.lines()
    assert first.cells == ("Fri 28 May", "24 moths, 3 kept", "Terrace, 125 W MV")
    assert second.cells[1] == "1 moth, 1 kept"


def test_the_head_tells_totals_and_lamp_hours(page: MothersPage) -> None:
    heading = page.nights.spread.header.heading
    assert heading.code == "Fri 28 May 2021"
    assert heading.verdict == "24 moths, 3 species"
    # 21:20 to 02:10 is 4 h 50, 4.83 h, computed
    assert heading.under == "4.83 lamp-hours"


def test_counts_stand_before_and_after_the_second_look(sheet: NightSheet) -> None:
    quercus = next(
        line for line in sheet.counts.lines() if line.key == "Marumba quercus"
    )
    assert quercus.sentence == "Marumba quercus: 4 ♂. first called 3 ♂ 1 ♀"
    pyri = next(line for line in sheet.counts.lines() if line.key == "Saturnia pyri")
    assert pyri.cells[1:5] == ("12 ♂", "2 ♀", "", "= 14")
    assert "second looks" in sheet.count_words.text()


def test_checks_keep_what_was_first_called(sheet: NightSheet) -> None:
    third = sheet.checks.lines()[2]
    assert third.cells[0] == "00:45"
    assert "1 ♀ Marumba quercus" in third.sentence
    assert "W21-03, first ♀ Marumba quercus, called ♂" in sheet.looks.text()


def test_the_lamp_and_the_weather_are_told(sheet: NightSheet) -> None:
    assert sheet.lamp.text().startswith("Lit 21:20 CEST, out 02:10 CEST; 4 h 50")
    assert sheet.weather.text().startswith("17.5° → 12.0°; cloud 8/8")
    assert "ultraviolet" in sheet.caution.text()


def test_a_dark_lamp_is_taken_off_its_hours(
    karst: Karst, page: MothersPage, sheet: NightSheet
) -> None:
    karst.session.do(
        lamp.record_outage,
        night_id=karst.season.terrace_night,
        from_at=at(day(5, 28), 23, 40),
        to_at=at(day(5, 29), 0, 25),
        why="bulb",
    )
    assert "dark 23:40 CEST to 00:25 CEST, bulb" in sheet.lamp.text()
    # 4 h 50 less 45 min is 4 h 05, computed
    assert page.nights.spread.header.heading.under == "4.08 lamp-hours"


def test_enter_at_a_kept_moth_asks_for_her_page(
    karst: Karst, page: MothersPage, sheet: NightSheet
) -> None:
    asked: list[tuple[str, object]] = []
    page.go_asked.connect(lambda kind, target: asked.append((kind, target)))
    sheet.kept.setFocus()
    press(page, Key.Key_Down, Key.Key_Return)
    assert asked == [("moth", karst.season.proved_male)]


@pytest.mark.parametrize("key", list("TCADKON"))
def test_letters_open_the_entries_of_a_night(page: MothersPage, key: str) -> None:
    press(page, key.lower())
    assert is_asking(page)
    press(page, Key.Key_Escape)
    assert in_night_book(page)


def test_a_link_to_a_night_opens_the_night_book(
    karst: Karst, page: MothersPage
) -> None:
    press(page, "v")
    page.show_target("lamp_night", karst.season.hollow_night)
    assert in_night_book(page)
    assert page.nights.spread.header.heading.code == "Fri 7 May 2021"
    page.show_target("moth", karst.season.pyri)
    assert not in_night_book(page)


def test_a_night_just_entered_is_turned_to(karst: Karst, page: MothersPage) -> None:
    press(page, "v")
    karst.session.do(
        lamp.record_night, site_id=1, evening=day(6, 18), lamp="15 W actinic"
    )
    assert in_night_book(page)
    assert page.nights.spread.header.heading.code == "Fri 18 June 2021"
    assert "No check entered yet" in page.nights.sheet.count_words.text()


def test_a_blank_night_says_so(karst: Karst, page: MothersPage) -> None:
    night = karst.session.do(
        lamp.record_night, site_id=1, evening=day(6, 18), lamp="15 W actinic"
    ).new_id
    karst.session.do(lamp.record_check, night_id=night, at=at(day(6, 18), 23))
    assert page.nights.sheet.count_words.text().startswith("A blank night")
    assert page.nights.spread.index.lines()[0].cells[1] == "none"
