"""The lamp's page under the hand: what keys do, what the echo says, how it looks."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPageSize, QPalette, QPdfWriter
from PySide6.QtTest import QTest

from rearing.desk.lamp.ask_clock import read_clock
from rearing.desk.lamp.lamp_look import lamp_look, short_name
from rearing.desk.lamp.paper import FieldSheetPage, Label, LabelPages, lay_out
from rearing.desk.lamp.paper_table import PaperTable, read_cell
from rearing.desk.lamp.reading import NightReading
from rearing.desk.lamp.sky_strip import moon_words
from rearing.desk.theme import View
from rearing.keeping.lamp_paper import PaperCount
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.rows import ArrivalRow, CheckRow, LampNightRow, OutageRow
from rearing.terms import CountingMode, Known, Quality, Sex
from tests.desk.lamp_room import (
    BACK,
    ELPENOR,
    ENTER,
    EVENING,
    PYRI,
    QUERCUS,
    ZONE,
    Room,
    make,
    moment,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

M, F, NOT = Sex.MALE, Sex.FEMALE, Sex.NOT_LOOKED
ESC = Qt.Key.Key_Escape


@pytest.fixture
def room(qtbot: QtBot, theme: Theme, tmp_path: Path) -> Iterator[Room]:
    with Book.open(make(tmp_path / "lamp.rearing")) as book:
        yield Room(qtbot, theme, book)


@pytest.fixture
def lit(room: Room) -> Room:
    room.light()
    return room


def test_dusk_offers_this_seasons_species_and_the_sky(room: Room) -> None:
    assert [pad.words.taxon for pad in room.page.board.pads[:3]] == [
        PYRI,
        QUERCUS,
        ELPENOR,
    ]
    assert all(pad.words.expected for pad in room.page.board.pads[:3])
    said = room.page.board.aside.accessibleName()
    assert "Twilight ends: civil 21:1" in said
    assert "ask a qualified person" in said
    # sunset of the invented scenario, computed for the place: 20:41
    assert "sun set 20:4" in room.page.board.strip.accessibleName()
    assert "moon 91% waning" in room.page.board.strip.accessibleName()


def test_enter_lights_the_lamp_as_it_was_last_lit(lit: Room) -> None:
    assert lit.row.evening == EVENING
    assert lit.row.lamp_on == moment(21, 20)
    assert lit.row.lamp == "125 W MV on a sheet"
    assert lit.row.mode is CountingMode.NEW


def test_one_key_is_one_more_and_the_echo_says_so(lit: Room) -> None:
    lit.press("f", "1", "1")
    assert lit.echo == f"+1 female {PYRI}, now 2 female"
    assert lit.totals() == {(PYRI, F): 2}


def test_three_females_and_one_taken_back_are_two(lit: Room) -> None:
    lit.press("f", "111", BACK)
    assert lit.totals() == {(PYRI, F): 2}
    assert lit.page.board.echo.words.beside[1] == f"1 ♀ {PYRI}"


def test_a_sex_holds_until_it_is_changed(lit: Room) -> None:
    lit.press("m", "12", "o", "3")
    assert lit.totals() == {(PYRI, M): 1, (QUERCUS, M): 1, (ELPENOR, NOT): 1}
    on = [key.said for key in lit.page.board.sexes if "counting now" in key.said]
    assert on == ["not looked, counting now"]


def test_the_number_pad_has_the_sexes_and_takes_back(lit: Room) -> None:
    pad = Qt.KeyboardModifier.KeypadModifier
    for key in (Qt.Key.Key_Plus, Qt.Key.Key_1, Qt.Key.Key_1, Qt.Key.Key_Minus):
        QTest.keyClick(lit.page.board, key, pad)
    assert lit.totals() == {(PYRI, M): 1}


def test_a_typed_number_counts_once_with_its_mark(lit: Room) -> None:
    lit.press("n", "40+", ENTER, "3", "3")
    lines = [(row.number, row.quality) for row in lit.book.all(ArrivalRow)][-2:]
    assert lines == [(40, Quality.AT_LEAST), (1, Quality.EXACT)]
    assert lit.echo.endswith("now ≥41 not looked")


def test_a_free_key_says_how_it_is_filled(lit: Room) -> None:
    lit.press("9")
    assert "Key 9 is free" in lit.echo
    lit.press("g", "9", "Aglia", ENTER)
    assert lit.page.board.pads[8].words.taxon == "Aglia tau"
    lit.press("9")
    assert lit.totals() == {("Aglia tau", NOT): 1}


def test_twelve_keys_have_a_fourth_row(lit: Room) -> None:
    board = lit.page.board
    assert board.pads[9].isHidden()
    lit.press("g", "=", "Laothoe populi", ENTER)
    assert not board.pads[11].isHidden()
    lit.press("=")
    assert lit.totals() == {("Laothoe populi", NOT): 1}


def test_a_check_closes_with_time_and_temperature(lit: Room) -> None:
    lit.set_clock(23, 30)
    lit.press("m", "1", "c", ENTER, "15,5", ENTER)
    check = lit.book.all(CheckRow)[-1]
    assert (check.at, check.temperature_c) == (moment(23, 30), 15.5)
    assert "Check of 23:30 closed: 1 moth" in lit.echo


def test_after_midnight_is_the_same_night(lit: Room) -> None:
    lit.set_clock(0, 47)
    lit.press("m", "1")
    assert lit.book.all(CheckRow)[-1].night_id == lit.night_id
    assert lit.row.evening == EVENING


def test_taking_back_stops_where_the_night_began(lit: Room) -> None:
    lit.press("m", "1")
    lines = len(lit.book.all(ArrivalRow))
    lit.press(*(BACK,) * 4)
    assert len(lit.book.all(ArrivalRow)) == lines - 1
    assert len(lit.book.all(LampNightRow)) == 3
    assert lit.page.hand.night is None


def test_a_dark_lamp_stops_the_hours_until_it_burns_again(lit: Room) -> None:
    lit.set_clock(23)
    lit.press("l", ENTER)
    lit.set_clock(23, 40)
    assert "Dark since 23:00" in _aside(lit)
    lit.press("l", ENTER, "fuse", ENTER)
    (outage,) = lit.book.all(OutageRow)
    assert (outage.to_at - outage.from_at) == dt.timedelta(minutes=40)
    assert outage.why == "fuse"


def _aside(room: Room) -> str:
    room.page.tell()
    return room.page.board.aside.accessibleName()


def test_the_lamp_out_ends_the_night_and_tells_it(lit: Room) -> None:
    lit.press("m", "1")
    lit.set_clock(2, 10)
    lit.press("x", ENTER, "12", ENTER, ENTER)
    assert lit.row.lamp_off == moment(2, 10)
    assert lit.echo == "Lamp out after 4.83 lamp-hours. S. pyri 1 ♂."


def test_two_lamps_are_switched_between(lit: Room) -> None:
    lit.press("m", "1", "t", "1", "bucket", ENTER)
    while not lit.page.board.ask.isHidden():
        lit.press(ENTER)
    bucket = lit.night_id
    lit.press("3", "3")
    assert lit.totals() == {(ELPENOR, M): 2}
    lit.press("t", "4")
    assert lit.night_id != bucket
    assert lit.totals() == {(PYRI, M): 1}


def test_a_number_that_is_put_away_enters_nothing(lit: Room) -> None:
    lines = len(lit.book.all(ArrivalRow))
    lit.press("n", "40", ESC, "n", "40", ENTER, BACK)
    assert len(lit.book.all(ArrivalRow)) == lines
    assert lit.page.hand.pending is None


@pytest.mark.parametrize(
    ("evening", "typed", "words"),
    [
        (dt.date(2021, 3, 27), "0230", "does not exist"),
        (dt.date(2021, 10, 30), "0230", "comes twice"),
    ],
)
def test_a_time_the_clocks_skip_or_repeat_is_asked_about(
    evening: dt.date, typed: str, words: str
) -> None:
    """Last Sundays of March and October: the zone's published rule."""
    with pytest.raises(Refusal, match=words):
        read_clock(typed, evening, ZONE)


def test_a_time_asked_about_twice_is_kept_as_about(lit: Room) -> None:
    lit.press("m", "1", "c", "2099", ENTER)
    assert lit.page.board.ask.refusal
    lit.press("2330", ENTER, ENTER)
    check = lit.book.all(CheckRow)[-1]
    assert (check.known, check.at) == (Known.ABOUT, moment(23, 30))


def test_a_species_with_a_permit_flag_says_so_before_she_is_kept(lit: Room) -> None:
    lit.press("g", "4", "Eriogaster catax", ENTER, "f", "4", "k")
    ask = lit.page.board.ask
    assert "local authority decides" in ask.caution
    lit.press(ENTER, ENTER, ENTER, ENTER, ENTER)
    assert "permit" in ask.refusal
    assert not ask.isHidden()
    lit.press("A-117", ENTER)
    while ask.refusal and not ask.isHidden():
        lit.press("y")
    assert lit.night().kept[0].permit == "A-117"


def test_the_page_is_black_and_red_only_in_red_view(lit: Room, theme: Theme) -> None:
    theme.set_view(View.RED)
    base, black = QPalette.ColorRole.Base, QColor("#000000")
    lit.bot.waitUntil(lambda: lit.page.palette().color(base) == black)
    lit.press("f", "1", "m", "2")
    picture = lit.page.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    shades = {
        _parts(picture.pixelColor(x, y))
        for x in range(0, picture.width(), 3)
        for y in range(0, picture.height(), 3)
    }
    assert len(shades) > 3
    # up to step 3: no blue at all, hardly any green
    assert max(blue for _, _, blue in shades) == 0
    assert max(green for _, green, _ in shades) <= 0x14


def _parts(shade: QColor) -> tuple[int, int, int]:
    return shade.red(), shade.green(), shade.blue()


def test_brightness_goes_by_steps_and_stays_within_five(
    lit: Room, theme: Theme
) -> None:
    lit.press("]]]")
    assert (theme.view, theme.red_step) == (View.RED, 5)
    lit.press("[[[[[[")
    assert theme.red_step == 1
    assert "brightness 1 of 5" in _aside(lit)


def test_what_must_be_read_is_24_points_or_more(room: Room, theme: Theme) -> None:
    look = lamp_look(theme, 1180, 760)
    must = (look.species, look.key, look.total, look.echo, look.words, look.clock)
    assert min(face.pointSizeF() for face in must) >= 24
    keyed = (look.action, look.strong, look.site, look.quiet)
    assert min(face.pointSizeF() for face in keyed) >= 24
    assert look.told.pointSizeF() >= 20
    assert look.strip.pointSizeF() >= 16


def test_the_nights_are_read_back(lit: Room) -> None:
    lit.press("m", "11", "c", "2215", ENTER, ENTER, "d")
    reading = lit.page.findChild(NightReading)
    assert reading is not None
    hours, nights, years, sexes, calendar = reading.lists
    assert hours.lines()[0].cells[:2] == ("22:15", "2 ♂")
    assert nights.lines()[0].cells[1] == "2 moths"
    assert any(PYRI in line.sentence for line in years.lines())
    assert "males" in sexes.lines()[0].sentence
    assert len(calendar.lines()) == 4
    lit.press(ESC)
    assert lit.page.board.isVisible()


def test_a_sheet_of_paper_is_typed_in_and_entered_at_once(lit: Room) -> None:
    lit.press("w")
    panel = lit.page.panel
    assert isinstance(panel, PaperTable)
    for column, text in enumerate(("2215", "16", "4/2", "", "3")):
        panel.write(0, column, text)
    panel.write(1, 0, "2330")
    panel.enter()
    assert lit.totals() == {(PYRI, M): 4, (PYRI, F): 2, (ELPENOR, NOT): 3}
    assert [check.at for check in lit.night().checks] == [
        moment(22, 15),
        moment(23, 30),
    ]


def test_a_cell_that_cannot_be_read_names_its_line_and_enters_nothing(
    lit: Room,
) -> None:
    lit.press("w")
    panel = lit.page.panel
    assert isinstance(panel, PaperTable)
    panel.write(1, 2, "4/2/1/7")
    panel.enter()
    assert panel.refusal.text().startswith("Line 2:")
    assert lit.totals() == {}


def test_cells_of_the_field_sheet() -> None:
    assert read_cell(PYRI, "4/2") == [PaperCount(PYRI, M, 4), PaperCount(PYRI, F, 2)]
    assert read_cell(PYRI, "3") == [PaperCount(PYRI, NOT, 3)]
    assert read_cell(PYRI, "40+/") == [PaperCount(PYRI, M, 40, Quality.AT_LEAST)]
    assert read_cell(PYRI, "") == []


def test_labels_and_the_field_sheet_fit_their_pages(room: Room, tmp_path: Path) -> None:
    label = Label("W21-05", PYRI, EVENING, "Terrace")
    assert label.lines == ("W21-05", PYRI, "night of 28.v.2021  Terrace")
    for name, paper, pages in (
        ("labels", LabelPages([label] * 40), 2),
        ("sheet", FieldSheetPage((PYRI, QUERCUS, ELPENOR)), 1),
    ):
        path = tmp_path / f"{name}.pdf"
        writer = QPdfWriter(str(path))
        writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
        lay_out(writer, paper)
        paper.paint(writer)
        del writer
        told = path.read_bytes()
        assert told.startswith(b"%PDF")
        assert told.count(b"/Type /Page\n") == pages


def test_names_are_short_on_the_keys() -> None:
    assert short_name(PYRI) == "S. pyri"
    assert short_name("not known") == "not known"


def test_the_moon_in_words_is_that_of_the_night(room: Room) -> None:
    sky = room.page.hand.sky
    assert sky is not None
    # 91 % waning: computed for the scenario by a general astronomy library
    assert moon_words(sky).startswith("moon 91% waning, up from 23:")


def test_a_night_without_keys_of_its_own_shows_what_came(room: Room) -> None:
    room.press("t", "3")
    assert room.row.evening == dt.date(2021, 5, 26)
    assert room.page.board.pads[0].words.taxon == PYRI
    room.press("s")
    assert not room.page.board.ask.isHidden()


def test_an_empty_book_says_what_to_do_first(
    qtbot: QtBot, theme: Theme, tmp_path: Path
) -> None:
    with Book.make(tmp_path / "empty.rearing") as book:
        room = Room(qtbot, theme, book)
        assert "first a site" in room.page.board.aside.accessibleName()
        room.press("1", ENTER)
        assert "First add the site" in room.echo
        assert not book.all(LampNightRow)
        room.press("d")
        reading = room.page.findChild(NightReading)
        assert reading is not None
        assert "No lamp night" in reading.lead.text()


def test_a_night_from_paper_does_not_burn_until_today(lit: Room) -> None:
    lit.clock.now = moment(20) + dt.timedelta(days=9)
    lit.press("t", "3")
    assert lit.row.evening == EVENING
    assert "Not out in the book" in _aside(lit)
    assert "from paper" in lit.page.board.head.accessibleName()


def test_the_menus_acts_refuse_in_words_too(room: Room) -> None:
    does = {act.id: what for act, what in room.page.acts()}
    for name in ("lamp_paper", "lamp_labels"):
        does[name]()
        assert "No lamp is lit" in room.echo


def test_labels_wait_for_a_kept_female(lit: Room) -> None:
    lit.press("p", "1")
    assert "No female of this night is kept" in lit.page.board.ask.refusal
