"""The leaf page: what is told, and what its keys write. The book is invented."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from rearing.desk.help_panel import HelpPanel
from rearing.desk.pages.leaf_page import STILL, LeafPage
from rearing.desk.session import Session
from rearing.desk.tasks import Tasks
from rearing.desk.theme import View
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import care, leaf, leaf_tests
from rearing.keeping.boxes import When
from rearing.keeping.leaf_view import leaf_view
from rearing.records.book import Book
from rearing.records.rows import CutRow, LeafTestRow, TreeDayRow, TreeRow
from rearing.terms import TreeSign, Visit
from tests.desk.entry_desk import enter, entered, fill
from tests.desk.karst_pages import SHELF, Karst, evening_of_the_day, press
from tests.desk.karst_season import ON, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key
DAY = dt.timedelta(days=1)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "karst.rearing") as made:
        yield made


@pytest.fixture
def karst(qtbot: QtBot, theme: Theme, book: Book) -> Karst:
    made = Karst(qtbot, theme, book, write_season(book))
    beech = leaf.add_tree(book, entry(ON), name="Beech 2", host="beech").new_id
    leaf.add_tree(book, entry(ON), name="Hedge", host="privet", where="garden")
    leaf.close_tree(
        book,
        entry(ON),
        tree_id=beech,
        since=ON - 2 * DAY,
        until=ON + 5 * DAY,
        why="sprayed beside it",
    )
    return made


@pytest.fixture
def page(karst: Karst) -> LeafPage:
    shown = karst.open(LeafPage)
    karst.bot.waitUntil(lambda: shown.view is not None)
    shown.focus_first()
    return shown


def beech_of(karst: Karst) -> TreeRow:
    return next(row for row in karst.book.all(TreeRow) if row.host == "beech")


def asked(page: LeafPage) -> EntryForm:
    assert isinstance(page.panel, EntryForm)
    return page.panel


def to_tree(page: LeafPage, karst: Karst) -> None:
    page.show_target("tree", beech_of(karst).id)


# what is told


def test_the_page_tells_what_the_question_answers(page: LeafPage, karst: Karst) -> None:
    view = leaf_view(karst.book, SHELF, ON)
    for host in view.hosts:
        assert f"{host.head}." in page.sheet.to_come.words
        assert host.rest[1:] in page.sheet.to_come.words
        assert host.short_words in page.sheet.to_come.words
    assert (
        "Beech 2 closed until 30 June (sprayed beside it)" in page.sheet.to_come.words
    )
    assert page.sheet.header.heading.verdict == (
        "Short from Sat 26 June: blackthorn, beech"
    )
    assert page.sheet.header.heading.words == "2 trees, 1 closed"


def test_the_chart_tells_the_day_in_hand(page: LeafPage, karst: Karst) -> None:
    days = page.sheet.days
    assert page.focusWidget() is days
    press(page, Key.Key_Right)
    assert days.words().startswith("Sun 27 June: blackthorn ")
    assert days.words().endswith(
        "Not to be had: blackthorn no tree entered, beech closed."
    )
    assert days.accessibleDescription() == days.words()
    press(page, Key.Key_PageDown)
    assert days.words().startswith("Sun 4 July: ")
    assert days.words().endswith("Not to be had: blackthorn no tree entered.")
    press(page, Key.Key_Home)
    assert days.at_day == ON + DAY
    assert "Short from Sat 26 June" in days.accessibleName()


@pytest.mark.parametrize("view", [View.DAY, View.DARK])
def test_bars_and_hatched_days_are_drawn(
    page: LeafPage, theme: Theme, view: View
) -> None:
    theme.set_view(view)
    days = page.sheet.days
    image = days.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    leaf_colour = theme.look.colour("leaf").rgb()
    madder = theme.look.colour("madder").rgb()
    seen = {
        image.pixel(x, y)
        for x in range(0, image.width(), 2)
        for y in range(image.height())
    }
    assert leaf_colour in seen
    assert madder in seen
    theme.set_view(View.DAY)


def test_lines_of_trees_say_whether_and_why(page: LeafPage) -> None:
    beech, hedge = page.sheet.trees.lines()
    assert beech.sentence.startswith(
        "Beech 2, beech: closed until Wed 30 June, sprayed beside it."
    )
    assert "feeds" not in hedge.sentence
    assert hedge.cells[:3] == ("Hedge", "privet", "open")


def test_an_empty_book_says_what_to_do_first(
    qtbot: QtBot, theme: Theme, book: Book
) -> None:
    shown = LeafPage(Session(book, SHELF, evening_of_the_day, on=ON), theme)
    qtbot.addWidget(shown)
    shown.resize(1140, 750)
    shown.refresh(None)
    shown.show()
    qtbot.waitUntil(lambda: shown.view is not None)
    assert shown.is_quiet
    assert "T enters a tree" in shown.quiet.words
    press(shown, "T")
    assert asked(shown).accessibleName() == "Tree"


# what the keys write


def test_leaf_is_cut_from_the_tree_in_hand_after_a_yes(
    page: LeafPage, karst: Karst
) -> None:
    to_tree(page, karst)
    press(page, "C")
    form = asked(page)
    fill(form, grams="600")
    enter(form)
    assert "closed until" in form.question.words
    press(page, "Y")
    row = karst.book.all(CutRow)[-1]
    assert (row.host, row.grams, row.tree_id) == ("beech", 600, beech_of(karst).id)
    (line,) = page.sheet.cuts.lines()
    assert line.cells[4] == "600 g left by the book"
    page.sheet.cuts.setFocus()
    press(page, "X")
    entered(asked(page), note="mouldy")
    assert karst.book.all(CutRow)[-1].gone_on == ON
    assert page.sheet.cuts.lines()[0].cells[4] == "gone 25 June"


def test_a_closed_tree_is_opened_again_and_closed_anew(
    page: LeafPage, karst: Karst
) -> None:
    to_tree(page, karst)
    press(page, "O")
    entered(asked(page))
    assert karst.last() == "Beech 2 open again from Fri 25 June"
    press(page, "O")
    assert page.panel is None or page.notices.words
    to_tree(page, karst)
    press(page, "Z")
    entered(asked(page), until="2.7.", why="sick brood on it")
    assert karst.last() == "Beech 2 closed until Fri 2 July: sick brood on it"


def test_a_sign_of_the_year_begins_with_the_next_one(
    page: LeafPage, karst: Karst
) -> None:
    to_tree(page, karst)
    press(page, "S")
    entered(asked(page))
    assert [row.sign for row in karst.book.all(TreeDayRow)] == [TreeSign.BUD_BURST]
    to_tree(page, karst)
    press(page, "S")
    form = asked(page)
    entered(form)
    assert karst.last() == "Beech 2: full leaf Fri 25 June"
    assert "bud burst 25 June, full leaf 25 June" in (
        page.sheet.trees.lines()[0].sentence
    )


def test_test_larvae_are_begun_and_judged(page: LeafPage, karst: Karst) -> None:
    to_tree(page, karst)
    press(page, "P")
    entered(asked(page), on="22.6.")
    assert karst.book.all(LeafTestRow)[0].begun_on == ON - 3 * DAY
    (line,) = page.sheet.larvae.lines()
    assert line.cells[1] == "look now"
    press(page, "J")
    form = asked(page)
    fill(form, alive="2")
    enter(form)
    assert "Growth regulators" in form.question.words
    press(page, "Y")
    assert karst.last() == "2 of 2 alive on leaf of Beech 2; open again"
    assert page.sheet.trees.lines()[0].cells[2] == "open"
    press(page, "J")
    assert page.notices.words.startswith("No test larvae are on leaf")


def test_of_two_tests_it_is_asked_which_is_judged(page: LeafPage, karst: Karst) -> None:
    for tree, number in zip(karst.book.all(TreeRow), (2, 3), strict=True):
        leaf_tests.begin_test(
            karst.book, entry(ON), tree_id=tree.id, begun_on=ON, number=number
        )
    page.refresh(None)
    page.focus_first()
    press(page, "J")
    assert page.panel is None
    assert page.notices.words.startswith("Which test?")
    press(page, Key.Key_Down, "J")
    assert asked(page).accessibleName() == "Test larvae: Beech 2"


def test_all_that_is_known_of_a_tree_is_read_at_its_side(
    page: LeafPage, karst: Karst
) -> None:
    beech = beech_of(karst)
    book = karst.book
    leaf.note_sign(
        book,
        entry(ON),
        tree_id=beech.id,
        sign=TreeSign.LEAF_DROP,
        on=dt.date(2020, 11, 3),
    )
    cut = leaf.cut_leaf(
        book,
        entry(ON),
        host="beech",
        on=ON,
        tree_id=beech.id,
        grams=90,
        sure=True,
    ).new_id
    care.visit(
        book,
        entry(ON),
        what=Visit.FED,
        when=When(ON),
        box_id=karst.season.box_a,
        leaf=care.Leaf("beech", 30, cut),
    )
    test = leaf_tests.begin_test(book, entry(ON), tree_id=beech.id, begun_on=ON)
    leaf_tests.judge_test(book, entry(ON), test_id=test.new_id, alive=1, on=ON)
    page.refresh(None)
    to_tree(page, karst)
    press(page, Key.Key_Return)
    assert isinstance(page.panel, HelpPanel)
    words = page.panel.words
    for told in (
        "2020: leaf-drop 3 November",
        "23 June 2021 until 9 July: sprayed beside it; 1 test larva died by 25 June",
        "25 June 2021, 90 g",
        "B21-01 A",
    ):
        assert told in words


def test_r_reads_the_weeks_to_come(page: LeafPage) -> None:
    press(page, "R")
    assert isinstance(page.panel, HelpPanel)
    assert "Sat 26 June: blackthorn" in page.panel.words


def test_before_the_weeks_are_worked_out_r_and_k_say_so(karst: Karst) -> None:
    tasks = Tasks()
    shown = LeafPage(karst.session, karst.theme, tasks)
    karst.bot.addWidget(shown)
    shown.refresh(None)
    assert shown.view is None
    for act in (shown.read_aloud, shown.ask_keep):
        shown.notices.clear()
        act()
        assert shown.notices.words == STILL
    tasks.close()


def test_every_act_of_the_menu_opens_something(page: LeafPage, karst: Karst) -> None:
    leaf.cut_leaf(karst.book, entry(ON), host="privet", on=ON)
    leaf_tests.begin_test(
        karst.book, entry(ON), tree_id=beech_of(karst).id, begun_on=ON
    )
    for _, does in page.acts():
        page.close_panel()
        page.notices.clear()
        does()
        assert page.panel is not None or page.notices.words.startswith("No photo")


def test_what_is_shown_is_handed_out_as_tables(page: LeafPage, karst: Karst) -> None:
    leaf.cut_leaf(karst.book, entry(ON), host="privet", on=ON, grams=300)
    leaf_tests.begin_test(
        karst.book, entry(ON), tree_id=beech_of(karst).id, begun_on=ON
    )
    page.refresh(None)
    press(page, "K")
    entered(asked(page), carry="20")
    told = {one.table.name: one.table for one in page.tables()}
    assert list(told) == [
        *("Leaf by day", "Leaf by host", "How many can be kept", "Cuts", "Trees"),
        "Test larvae",
    ]
    assert told["Trees"].rows[0][:5] == ("Beech 2", "beech", None, None, True)
    assert told["Cuts"].rows[0][:6] == ("privet", ON, None, 300, 0, 300)
    assert told["Test larvae"].rows[0][1:3] == (ON, 2)


# the last good answer


def test_the_last_good_answer_is_there_before_it_is_worked_out(
    qtbot: QtBot, theme: Theme, karst: Karst, tmp_path: Path
) -> None:
    first = LeafPage(karst.session, theme, folder=tmp_path)
    qtbot.addWidget(first)
    first.show()
    qtbot.waitUntil(lambda: first.view is not None)
    told = first.view
    first.hide()
    tasks = Tasks()
    second = LeafPage(karst.session, theme, tasks, folder=tmp_path)
    qtbot.addWidget(second)
    second.refresh(None)
    assert second.view == told
    second.show()
    QApplication.processEvents()
    assert second.sheet.header.heading.under.startswith("As of ")
    qtbot.waitUntil(
        lambda: "worked out" not in second.sheet.header.heading.under, timeout=20_000
    )
    assert second.view == told
    second.hide()
    tasks.close()
