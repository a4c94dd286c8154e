"""The broods' page under the keys, and what stays after an entry (invented season)."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.widgets.lines import cell_text
from rearing.keeping import care, notes
from rearing.keeping.boxes import When
from rearing.keeping.leaf import add_tree
from tests.desk.karst_pages import is_asking, press
from tests.desk.karst_season import ON

if TYPE_CHECKING:
    from tests.desk.karst_pages import Karst

Key = Qt.Key


@pytest.fixture
def page(karst: Karst) -> BroodsPage:
    return karst.open(BroodsPage)


@pytest.fixture
def tau(karst: Karst, page: BroodsPage) -> BroodsPage:
    page.open(karst.season.tau_brood)
    return page


def shown(page: BroodsPage) -> list[str]:
    return [s.name for s in page.sheet.sheet.sections() if not s.isHidden()]


def test_c_counts_the_box_under_the_hand(karst: Karst, tau: BroodsPage) -> None:
    tau.sheet.boxes.setFocus()
    tau.sheet.boxes.set_current(("box", karst.season.box_b))
    press(tau, "c")
    assert is_asking(tau)
    press(tau, "15", Key.Key_Return)
    assert "B21-01 B" in karst.last()
    assert "65 alive" in tau.sheet.header.heading.verdict
    assert tau.sheet.boxes.current_key() == ("box", karst.season.box_b)


def test_a_key_that_several_boxes_take_asks_which(tau: BroodsPage) -> None:
    tau.sheet.sheet.setFocus()
    press(tau, "g")
    assert not is_asking(tau)
    assert "Which" in tau.notices.words
    assert tau.sheet.boxes.hasFocus()
    press(tau, "g")
    assert is_asking(tau)


@pytest.mark.parametrize("key", ["B", "N", "W"])
def test_letters_open_the_entries_of_the_brood(tau: BroodsPage, key: str) -> None:
    tau.sheet.sheet.setFocus()
    press(tau, key.lower())
    assert is_asking(tau)
    press(tau, Key.Key_Escape)
    assert not is_asking(tau)
    assert tau.brood_id is not None


@pytest.mark.parametrize("key", list("CFGXMVRZNDJ"))
def test_every_key_a_box_offers_opens_a_form(tau: BroodsPage, key: str) -> None:
    tau.sheet.boxes.setFocus()
    press(tau, key.lower())
    assert is_asking(tau)


@pytest.mark.parametrize("key", list("HLMZN"))
def test_every_key_a_pot_offers_opens_a_form(
    karst: Karst, page: BroodsPage, key: str
) -> None:
    page.show_target("egg_pot", karst.season.pyri_pots[0])
    assert page.sheet.boxes.current_key() == ("pot", karst.season.pyri_pots[0])
    page.sheet.boxes.setFocus()
    press(page, key.lower())
    assert is_asking(page)


def test_what_is_typed_in_a_form_is_not_a_key_of_the_page(tau: BroodsPage) -> None:
    tau.sheet.sheet.setFocus()
    press(tau, "n")
    form = tau.panel
    press(tau, "bcw")
    assert tau.panel is form


def test_left_and_right_turn_to_the_next_brood(tau: BroodsPage) -> None:
    tau.sheet.sheet.setFocus()
    press(tau, Key.Key_Right)
    assert tau.sheet.header.heading.code == "B21-02"
    press(tau, Key.Key_Right)
    assert tau.sheet.header.heading.code == "B21-02"
    press(tau, Key.Key_Left)
    assert tau.sheet.header.heading.code == "B21-01"


def test_arrows_and_pages_scroll_the_sheet(tau: BroodsPage) -> None:
    tau.resize(1140, 420)
    QApplication.sendPostedEvents()
    bar = tau.sheet.sheet.verticalScrollBar()
    tau.sheet.sheet.setFocus()
    press(tau, Key.Key_PageDown)
    paged = bar.value()
    assert paged > 0
    press(tau, Key.Key_Down)
    assert bar.value() > paged
    press(tau, Key.Key_End)
    assert bar.value() == bar.maximum()
    press(tau, Key.Key_Home)
    assert bar.value() == 0


def test_the_sheet_follows_the_line_under_the_hand(tau: BroodsPage) -> None:
    tau.resize(1140, 420)
    QApplication.sendPostedEvents()
    tau.sheet.doings.setFocus()
    for _ in range(11):
        press(tau, Key.Key_Down)
    sheet, doings = tau.sheet.sheet, tau.sheet.doings
    line = doings.visualRect(doings.currentIndex())
    top = doings.mapTo(sheet.viewport(), line.topLeft()).y()
    assert 0 <= top < sheet.viewport().height()


def test_a_shows_everything_done(tau: BroodsPage) -> None:
    few = len(tau.sheet.doings.lines())
    tau.sheet.sheet.setFocus()
    press(tau, "a")
    assert few == 12
    assert len(tau.sheet.doings.lines()) > few


# reading again


def test_an_entry_elsewhere_leaves_the_page_alone(
    karst: Karst, tau: BroodsPage
) -> None:
    before = tau.sheet.boxes.lines()
    karst.session.do(add_tree, name="Beech 3", host="beech")
    assert tau.sheet.boxes.lines() is before


def test_a_note_on_a_box_stands_on_the_brood_s_page(
    karst: Karst, tau: BroodsPage
) -> None:
    karst.session.do(
        notes.add_note,
        subject="box",
        subject_id=karst.season.box_a,
        text="Lid cracked.",
        on=ON,
    )
    assert "Fri 25 June, A: Lid cracked." in tau.sheet.notes.text()


def test_scroll_and_line_stay_after_an_entry(karst: Karst, tau: BroodsPage) -> None:
    tau.resize(1140, 420)
    QApplication.sendPostedEvents()
    tau.sheet.boxes.set_current(("box", karst.season.box_b))
    bar = tau.sheet.sheet.verticalScrollBar()
    bar.setValue(300)
    karst.session.do(
        care.count_box, box_id=karst.season.box_b, number=17, when=When(ON)
    )
    assert bar.value() == 300
    assert tau.sheet.boxes.current_key() == ("box", karst.season.box_b)


def test_as_on_an_earlier_day_nothing_later_is_known(
    karst: Karst, tau: BroodsPage
) -> None:
    karst.session.show_on(dt.date(2021, 5, 20))
    assert tau.sheet.header.heading.verdict == "86 eggs waiting"
    assert [line.cells[0] for line in tau.sheet.boxes.lines()] == [
        "pot 1",
        "pot 2",
        "pot 3",
    ]
    assert "Instars" not in shown(tau)
    assert "None lost so far." in tau.sheet.loss_words.text()


def test_esc_puts_a_notice_away_before_it_leaves_the_brood(tau: BroodsPage) -> None:
    tau.sheet.sheet.setFocus()
    press(tau, "g")
    assert tau.notices.isVisible()
    press(tau, Key.Key_Escape)
    assert not tau.notices.isVisible()
    assert tau.brood_id is not None
    press(tau, Key.Key_Escape)
    assert tau.brood_id is None


def test_the_list_of_keys_names_every_key_a_box_offers(tau: BroodsPage) -> None:
    told = dict(tau.key_help())
    for offer in tau.sheet.boxes.lines()[0].keys:
        assert f"{offer.cap}   " in told["At a box"]


def test_no_width_makes_the_lists_grow_for_ever(tau: BroodsPage) -> None:
    # words that wrap at one width and not at the next once went round without end
    tau.sheet.boxes.setFocus()
    for wide in range(620, 1300, 17):
        tau.resize(wide, 500)
        QApplication.sendPostedEvents()
        assert tau.sheet.boxes.height() == tau.sheet.boxes.whole_height()


def test_t_reads_who_shared_with_a_box(karst: Karst, tau: BroodsPage) -> None:
    tau.sheet.boxes.setFocus()
    tau.sheet.boxes.set_current(("box", karst.season.box_b))
    press(tau, "t")
    assert isinstance(tau.panel, HelpPanel)
    assert tau.panel.accessibleName() == "Who shared with B21-01 B"
    assert "The round's own" in tau.panel.words


def test_a_boxs_tools_are_given_from_the_menu_and_stand_beside_it(
    karst: Karst, tau: BroodsPage
) -> None:
    tau.sheet.boxes.setFocus()
    tau.sheet.boxes.set_current(("box", karst.season.box_b))
    give = next(do for act, do in tau.acts() if act.id == "brood_box_tools")
    give()
    assert is_asking(tau)
    press(tau, "red forceps", Key.Key_Return)
    line = tau.sheet.boxes.current_line()
    assert line is not None
    assert "its own tools: red forceps" in cell_text(line.cells[-1])
    press(tau, "t")
    assert isinstance(tau.panel, HelpPanel)
    assert "Its own: red forceps." in tau.panel.words


def test_an_act_at_a_box_says_where_to_go_without_one(tau: BroodsPage) -> None:
    tau.sheet.sheet.setFocus()
    for act, do in tau.acts():
        if act.id in {"brood_split_box", "brood_keep_apart", "brood_shared_with"}:
            do()
            assert "go to a box first" in tau.notices.words
    tau.close_brood()
    split = next(do for act, do in tau.acts() if act.id == "brood_split_box")
    split()
    assert "Open a brood first" in tau.notices.words
    assert tau.panel is None
