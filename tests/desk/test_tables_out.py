"""Tables out of the window: one key to the clipboard, one to a file."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.pages.heat_page import HeatPage
from rearing.desk.table_form import tables_of
from rearing.desk.widgets.form import EntryForm
from rearing.desk.widgets.ruled_list import RuledList
from rearing.exchange.tables import csv_text
from rearing.records import tables as t
from rearing.records.rows import BroodRow, LampNightRow, MothRow, PlaceRow
from tests.desk.stand import ON, Stand, focus, press, type_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

    from rearing.desk.page import Page

Key = Qt.Key


@pytest.fixture
def stand(qapp: QApplication, tmp_path: Path) -> Iterator[Stand]:
    made = Stand(tmp_path)
    made.open(made.sample())
    yield made
    made.close()


def act(stand: Stand, key: Qt.Key) -> None:
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(stand.window, key, both)


def form(stand: Stand) -> EntryForm:
    page = stand.window.page
    assert page is not None
    assert isinstance(page.over, EntryForm)
    return page.over


def said(stand: Stand) -> str:
    page = stand.window.page
    assert page is not None
    return page.notices.words


def test_the_round_goes_to_the_clipboard_with_raw_values(stand: Stand) -> None:
    act(stand, Key.Key_C)
    text = QGuiApplication.clipboard().text()
    rows = list(csv.DictReader(io.StringIO(text), dialect="excel-tab"))
    assert [row["code"] for row in rows] == [
        line.cells[0] for line in stand.walk.lines()
    ]
    assert {row["day"] for row in rows} == {"2021-06-12"}
    assert sum(row["due"] == "yes" for row in rows) == len(stand.due)
    assert all(row["number"].isdigit() for row in rows if row["known"])
    assert said(stand) == f"Copied Round ({len(rows)} rows)."


def test_the_round_is_written_beside_the_book_under_its_own_name(
    stand: Stand,
) -> None:
    act(stand, Key.Key_T)
    press(Key.Key_Return)
    path = stand.folder / "Round, 2021-06-12, season.csv"
    assert path.read_bytes().startswith(b"day,place,kind,code,brood,species,")
    assert said(stand).endswith(f"to {path}.")
    assert stand.walk.hasFocus()


def test_a_name_may_be_typed_and_what_is_there_is_asked_about(stand: Stand) -> None:
    for answer in ("", "N", "Y"):
        act(stand, Key.Key_T)
        type_words("tonight")
        press(Key.Key_Return)
        path = stand.folder / "tonight.csv"
        if answer:
            assert "tonight.csv is there already" in form(stand).question.words
            press(answer)
        written = path.read_text("utf-8")
        assert written.startswith("day,place")
        if answer == "N":
            press(Key.Key_Escape)


def test_a_folder_that_is_not_there_is_said_under_the_field(stand: Stand) -> None:
    act(stand, Key.Key_T)
    type_words("nowhere/tonight")
    press(Key.Key_Return)
    assert form(stand).message("file").startswith("There is no folder")


# every list that a page shows can be handed out


def to_page(stand: Stand, number: int) -> Page:
    stand.window.open_page(number)
    page = stand.window.page_at(number)
    QTest.qWait(0)
    return page


def every_brood(stand: Stand) -> None:
    for brood in stand.book.all(BroodRow):
        stand.window.follow("brood", brood.id)
        check(stand)


def every_brood_in_numbers(stand: Stand) -> None:
    for brood in stand.book.all(BroodRow, t.Brood.opened_on <= ON):
        stand.window.follow("brood", brood.id)
        page = stand.window.page_at(4)
        assert isinstance(page, BroodsPage)
        if not page.numbers.is_shown:
            press("U")
        check(stand)
        names = [one.table.name for one in tables_of(stand.window.page_at(4))]
        assert f"Hatch of {brood.code}" in names
    press("K")
    type_words("B21-04")
    press(Key.Key_Return)
    check(stand)
    names = [one.table.name for one in tables_of(stand.window.page_at(4))]
    assert any(name.endswith(" beside B21-04") for name in names), names


def every_female(stand: Stand) -> None:
    for moth in stand.book.all(MothRow):
        stand.window.follow("moth", moth.id)
        check(stand)


def every_night(stand: Stand) -> None:
    for night in stand.book.all(LampNightRow):
        stand.window.follow("lamp_night", night.id)
        check(stand)


def every_place(stand: Stand) -> None:
    for place in stand.book.all(PlaceRow):
        stand.window.follow("place", place.id)
        check(stand)


def read_back(stand: Stand) -> None:
    press("D")


def lists_in_sight(page: Page) -> list[RuledList]:
    return [
        one
        for one in page.findChildren(RuledList)
        if one.isVisible() and one.lines() and one.accessibleName() != "First steps"
    ]


def check(stand: Stand) -> None:
    page = stand.window.page
    assert page is not None
    shown = tables_of(page)
    given = [one.where for one in shown]
    for ruled in lists_in_sight(page):
        name = f"{page.title}: “{ruled.accessibleName()}”"
        assert ruled in given, f"{name} has no table"
    for told in (one.table for one in shown):
        assert told.name, page.title
        assert len(set(told.headings)) == len(told.headings), told.name
        back = list(csv.reader(io.StringIO(csv_text(told), newline="")))
        assert len(back) == len(told.rows) + 1


def test_every_list_of_every_page_can_be_handed_out(stand: Stand) -> None:
    rail = stand.window.rail
    for row in range(rail.model().rowCount()):
        to_page(stand, rail.tab_at(row).number)
        check(stand)


@pytest.mark.parametrize(
    ("number", "further"),
    [
        (2, read_back),
        (3, every_female),
        (3, every_night),
        (4, every_brood),
        (4, every_brood_in_numbers),
        (8, every_place),
    ],
)
def test_what_a_page_turns_to_can_be_handed_out(
    stand: Stand, number: int, further: Callable[[Stand], None]
) -> None:
    to_page(stand, number)
    further(stand)
    check(stand)


def test_rates_are_handed_out_of_their_sheet(stand: Stand, qtbot: QtBot) -> None:
    page = to_page(stand, 8)
    press("R")
    assert isinstance(page, HeatPage)
    qtbot.waitUntil(lambda: not page.lane().busy)
    check(stand)
    names = [one.table.name for one in tables_of(page)]
    assert [name.partition(" ")[0] for name in names] == ["Durations", "Fits"]
    act(stand, Key.Key_T)
    press(Key.Key_Escape)
    assert page.shows_rates, "a table written over a sheet leaves it open"


def test_the_table_under_the_hand_is_the_one_that_is_copied(stand: Stand) -> None:
    stand.window.follow("brood", stand.book.all(BroodRow)[0].id)
    page = to_page(stand, 4)
    for one in tables_of(page):
        if one.where is None or not one.where.isVisible():
            continue
        one.where.setFocus()
        act(stand, Key.Key_C)
        heads = QGuiApplication.clipboard().text().partition("\n")[0].split("\t")
        named = [x for x in tables_of(page) if x.table.headings == tuple(heads)]
        assert any(x.where is one.where for x in named)


def test_a_half_filled_form_stays_while_a_table_is_written(stand: Stand) -> None:
    press("N")
    type_words("half a note")
    page = stand.window.page
    assert page is not None
    under = page.panel
    act(stand, Key.Key_T)
    assert page.panel is under
    press(Key.Key_Return)
    assert page.panel is under
    assert under is not None
    assert under.isAncestorOf(focus())
