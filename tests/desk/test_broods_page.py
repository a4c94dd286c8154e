"""The broods' page by its keys, and a sleeve that would not balance.

Counts and dates are the invented season of karst_season; the sums in it are computed
by hand.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.window import Window
from rearing.keeping import boxes, care
from rearing.keeping.boxes import When
from rearing.terms import BoxKind, Visit
from tests.desk.karst_pages import press
from tests.desk.karst_season import ON, day, give_away

if TYPE_CHECKING:
    from rearing.desk.theme import Theme
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


# the list


def test_the_list_says_how_far_each_brood_is(page: BroodsPage) -> None:
    first, second = page.list.list.lines()
    assert first.cells[0] == "B21-01"
    assert first.cells[2] == "L3 3, L4 26, L5 38, seen 24 June"
    assert first.cells[3:] == ("67", "alive")
    assert second.cells[3:] == ("35", "alive, 112 eggs waiting")
    assert page.list.header.heading.verdict == "102 alive, 112 eggs waiting"


def test_enter_opens_a_brood_and_esc_goes_back_to_its_line(page: BroodsPage) -> None:
    press(page, Key.Key_Down, Key.Key_Return)
    assert page.sheet.header.heading.code == "B21-02"
    press(page, Key.Key_Escape)
    assert page.brood_id is None
    assert page.list.list.hasFocus()
    assert page.list.list.current_key() is not None


def test_an_empty_book_says_what_to_do_first(karst: Karst, page: BroodsPage) -> None:
    karst.session.show_on(dt.date(2021, 1, 1))
    assert page.list.list.lines() == ()
    assert "Ctrl+3" in page.list.quiet.words
    assert page.list.quiet.isVisible()


# a brood's page


def test_the_head_tells_the_brood_and_how_its_number_is_known(tau: BroodsPage) -> None:
    heading = tau.sheet.header.heading
    assert (heading.code, heading.species) == ("B21-01", "Aglia tau")
    assert heading.words == "most in the last instar, on beech, 34 days from hatching"
    assert heading.verdict == "67 alive"
    assert (
        "34 counted yesterday, 17 counted Fri 18 June, 16 by the book" in heading.under
    )


def test_the_chain_leads_back_to_the_lamp_night(karst: Karst, tau: BroodsPage) -> None:
    night, mother, eggs, hatched, boxes = tau.sheet.chain.links()
    assert eggs.step.words == "86 eggs, 3 nights"
    assert eggs.step.under == "38, 31, 17"
    assert (hatched.step.words, hatched.step.under) == (
        "74 hatched",
        "22 to 24 May, 86 %",
    )
    assert boxes.step.words == "1 sleeve and 2 boxes"
    asked: list[tuple[str, object]] = []
    tau.go_asked.connect(lambda kind, target: asked.append((kind, target)))
    for link in (night, mother):
        link.setFocus()
        QTest.keyClick(link, Key.Key_Return)
    assert asked == [
        ("lamp_night", karst.season.hollow_night),
        ("moth", karst.season.tau),
    ]


def test_a_number_never_stands_without_how_it_is_known(tau: BroodsPage) -> None:
    sleeve, box_a, box_b = tau.sheet.boxes.lines()
    assert sleeve.sentence.startswith("S1, sleeve, Beech 2: 34 counted yesterday.")
    assert "1 found again at the count, a correction" in sleeve.sentence
    assert "16 by the book, counted Fri 18 June" in box_a.sentence
    assert "leave alone until" in box_b.sentence


def test_losses_are_one_mark_an_animal_and_add_up(tau: BroodsPage) -> None:
    assert tau.sheet.losses.sentence() == (
        "9 collapsed eggs, 3 dead in shell, 1 failed moult, 6 unaccounted"
    )
    assert tau.sheet.loss_words.text().startswith("19 of 86 are gone: 12 eggs")
    assert "no birth" in tau.sheet.again.text()


def test_the_hatch_has_its_interval(tau: BroodsPage) -> None:
    # Wilson's interval of 74 in 86 by hand: (p + z²/2n ± …) / (1 + z²/n), computed
    assert "Hatched 74 of 86, 86 % (77 to 92 at 95 in 100)" in (
        tau.sheet.number_words.text()
    )


def test_instars_show_who_rests(tau: BroodsPage) -> None:
    said = tau.sheet.stages.sentence()
    assert "S1: 2 L3, 9 L4, 3 resting in L4, 20 L5; all 34 looked at 24 June" in said
    assert "9 of them at moulting rest" in tau.sheet.stage_words.text()


def test_windows_of_both_places_share_one_axis_and_say_what_they_rest_on(
    tau: BroodsPage,
) -> None:
    said = tau.sheet.windows.sentence()
    assert "A, B · Hall shelf" in said
    assert "S1 · Beech 2" in said
    assert "Wander: first" in said
    assert "set point 18°" in tau.sheet.assumption.text()
    assert tau.sheet.window_words.text().count("\n") == 1


def test_leaf_given_is_told_with_how_much_of_it_was_weighed(
    karst: Karst, tau: BroodsPage
) -> None:
    # two boxes were given 60 g each on 24 June, computed
    assert tau.sheet.leaf_words.text() == (
        "Given: 120 g of beech; weighed at 2 of 2 feedings. Last on Thu 24 June, 120 g."
    )
    karst.session.do(
        care.visit,
        what=Visit.FED,
        when=When(ON),
        box_id=karst.season.box_a,
        leaf=care.Leaf("beech"),
    )
    assert "weighed at 2 of 3 feedings" in tau.sheet.leaf_words.text()
    assert tau.sheet.leaf_words.text().endswith("Fri 25 June, not weighed.")
    assert "broken outline" in tau.sheet.leaf_note.text()
    assert tau.sheet.leaf.sentence() == ("most on 24 June, 120 g; last 24 June, 120 g")


def test_larvae_not_looked_at_are_told_as_such(karst: Karst, page: BroodsPage) -> None:
    karst.session.do(
        boxes.open_box,
        brood_id=karst.season.pyri_brood,
        kind=BoxKind.BOX,
        place_id=1,
        when=When(day(6, 11)),
    )
    karst.session.do(
        boxes.move_animals,
        origin=boxes.Origin(pot_id=karst.season.pyri_pots[0]),
        to_box_id=4,
        number=35,
        when=When(day(6, 11)),
    )
    page.open(karst.season.pyri_brood)
    assert page.sheet.header.heading.words == (
        "35 larvae since 11 June, stages not looked at, 14 days from hatching"
    )
    assert page.sheet.stage_words.text() == "Not looked at yet: A (G)."


def test_overdue_eggs_are_said_to_be(karst: Karst, page: BroodsPage) -> None:
    page.open(karst.season.pyri_brood)
    words = page.sheet.window_words.text()
    assert words.startswith("Pots 2, 3, 4 · Kitchen shelf: overdue, the last was")
    assert "B opens a box" not in page.sheet.number_words.text()


def test_eggs_given_away_and_larvae_leave_without_being_lost(
    karst: Karst, tau: BroodsPage
) -> None:
    assert "Left" not in shown(tau)
    give_away(karst.book, karst.season.box_a)
    tau.refresh()
    assert "Left" in shown(tau)
    assert "2 given, a keeper in Ljubljana, from A" in tau.sheet.left_words.text()
    assert tau.sheet.loss_words.text().startswith("19 of 86")


def test_the_course_ends_at_what_is_alive(tau: BroodsPage) -> None:
    said = tau.sheet.course.sentence()
    assert "9 May 86, 86 eggs" in said
    assert said.endswith("24 June 67")


def test_tab_goes_through_the_page_as_it_is_read(tau: BroodsPage) -> None:
    tau.sheet.sheet.setFocus()
    met = []
    for _ in range(9):
        QTest.keyClick(tau.focusWidget(), Key.Key_Tab)
        met.append(tau.focusWidget().accessibleName().split(",")[0].split(".")[0])
    assert met == [
        *("Night of 7 May 2021", "♀ W21-01", "Boxes and pots"),
        *("Number from the first egg on", "Stages by box", "Windows"),
        *("Losses", "Leaf given by day", "Done and seen"),
    ]


def test_back_returns_to_the_brood_that_was_open(karst: Karst, theme: Theme) -> None:
    page = BroodsPage(karst.session, theme)
    window = Window(theme, [page])
    karst.bot.addWidget(window)
    window.open_first()
    window.show()
    page.list.list.chosen.emit(karst.season.tau_brood)
    window.follow("brood", karst.season.pyri_brood)
    assert page.brood_id == karst.season.pyri_brood
    window.go_back()
    assert page.brood_id == karst.season.tau_brood
