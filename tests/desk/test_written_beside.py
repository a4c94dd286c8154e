"""Photos and notes by the menu's keys: what is in the hand comes first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from rearing.desk.entries.photo_forms import ChooseForm
from rearing.desk.entries.which import WhichForm
from rearing.desk.entry_acts import EntryActs
from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.widgets.form import EntryForm
from rearing.desk.window import Window
from rearing.keeping.notes import add_note
from rearing.keeping.remarks import remarks_of
from rearing.records.rows import PhotoRow
from tests.desk.entry_desk import entered
from tests.desk.karst_season import ON
from tests.desk.photo_brood import put

if TYPE_CHECKING:
    from tests.desk.karst_pages import Karst

Key, Control = Qt.Key, Qt.KeyboardModifier.ControlModifier


class Lit:
    """The broods' page in a window with its menus."""

    def __init__(self, karst: Karst) -> None:
        self.karst = karst
        self.page = BroodsPage(karst.session, karst.theme)
        self.window = Window(karst.theme, [self.page])
        self.acts = EntryActs(karst.session, karst.theme, self.window)
        karst.bot.addWidget(self.window)
        karst.session.changed.connect(self.window.book_changed)
        self.window.resize(1280, 800)
        self.window.open_page(4)
        with karst.bot.waitActive(self.window):
            self.window.show()
            self.window.activateWindow()

    def press(self, *keys: Qt.Key) -> None:
        for key in keys:
            QTest.keyClick(self.window, key)

    def form(self) -> EntryForm:
        form = self.page.panel
        assert isinstance(form, EntryForm)
        return form


@pytest.fixture
def lit(karst: Karst) -> Lit:
    add_note(
        karst.book,
        karst.session.entry(),
        subject="moth",
        subject_id=karst.season.pyri,
        text="of another",
        on=ON,
    )
    add_note(
        karst.book,
        karst.session.entry(),
        subject="box",
        subject_id=karst.season.box_a,
        text="two lie apart",
        on=ON.replace(day=20),
    )
    return Lit(karst)


def test_ctrl_i_means_the_brood_whose_page_is_open(lit: Lit) -> None:
    lit.page.open(lit.karst.season.tau_brood)
    lit.page.sheet.sheet.setFocus()
    QTest.keyClick(lit.window, Key.Key_I, Control)

    assert isinstance(lit.page.panel, ChooseForm)
    assert lit.form().accessibleName() == "Photo beside B21-01"
    assert "does not read that" in lit.form().caution


def test_ctrl_i_asks_which_where_nothing_is_in_the_hand(lit: Lit) -> None:
    QTest.keyClick(lit.window, Key.Key_I, Control)

    assert isinstance(lit.page.panel, WhichForm)
    lit.page.close_panel()
    lit.press(Key.Key_F2, Key.Key_I)
    assert isinstance(lit.page.panel, WhichForm)


def test_a_note_of_the_open_page_is_the_first_to_be_corrected(lit: Lit) -> None:
    lit.page.open(lit.karst.season.tau_brood)
    lit.press(Key.Key_F2, Key.Key_Period)
    asked = lit.page.panel
    assert isinstance(asked, WhichForm)
    entered(asked)
    assert lit.form().accessibleName() == "Correct the note on B21-01 A"
    QTest.keyClick(lit.form().input("text").focus_part(), Key.Key_A, Control)
    entered(lit.form(), text="three lie apart")

    (note, *_) = remarks_of(lit.karst.book, "box", lit.karst.season.box_a, ON)
    assert (note.text, note.corrected) == ("three lie apart", True)
    assert "A: three lie apart (corrected)" in lit.page.sheet.notes.text()
    assert lit.karst.last() == (
        "Note corrected: “three lie apart” in place of “two lie apart”"
    )


def test_a_caption_is_written_by_the_menu_too(lit: Lit) -> None:
    put(lit.karst, "box", lit.karst.season.box_a, 20)
    lit.page.open(lit.karst.season.tau_brood)
    lit.press(Key.Key_F2, Key.Key_Minus)
    entered(lit.form(), caption="third moult", on="21.6.")

    (row,) = lit.karst.book.all(PhotoRow)
    assert (row.caption, row.on.day) == ("third moult", 21)


def test_a_closed_face_gives_the_foot_its_hints_back(lit: Lit) -> None:
    put(lit.karst, "brood", lit.karst.season.tau_brood, 20)
    lit.window.book_changed(None)
    lit.page.open(lit.karst.season.tau_brood)
    before = lit.window.foot.hints
    QTest.keyClick(lit.window, Key.Key_I, Control | Qt.KeyboardModifier.ShiftModifier)
    assert lit.page.covered_by is not None
    assert lit.window.foot.hints == ""
    QTest.keyClick(lit.page.covered_by, Key.Key_Escape)
    assert lit.window.foot.hints == before != ""
