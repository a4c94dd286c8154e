"""The mothers' page by its keys, and the eggs of W21-02 night by night.

Counts and dates are the invented season of karst_season; sums computed by hand.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from rearing.desk.pages.mothers_page import MothersPage
from rearing.desk.widgets.night_bars import NightBar
from rearing.keeping import eggs, mothers
from rearing.records.book import Book
from rearing.terms import MothFate
from tests.desk.karst_pages import Karst, is_asking, press
from tests.desk.karst_season import ON, day

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key


@pytest.fixture
def page(karst: Karst) -> MothersPage:
    return karst.open(MothersPage)


@pytest.fixture
def pyri(karst: Karst, page: MothersPage) -> MothersPage:
    page.show_target("moth", karst.season.pyri)
    return page


def codes(page: MothersPage) -> list[str]:
    return [line.sentence.split(",")[0] for line in page.females.spread.index.lines()]


def sections(page: MothersPage) -> list[str]:
    return [s.name for s in page.females.spread.sheet.sections() if not s.isHidden()]


# the index


def test_those_here_stand_first_then_those_that_laid(page: MothersPage) -> None:
    assert codes(page) == ["♀ W21-04", "♀ W21-02", "♀ W21-01", "♂ W21-03"]
    heads = [line.heading for line in page.females.spread.index.lines()]
    assert heads == ["", "", "", "Gone without eggs"]
    assert page.females.spread.index_header.heading.words == "1 here"


def test_the_line_says_species_state_and_eggs(page: MothersPage) -> None:
    pyri = page.females.spread.index.lines()[1]
    assert pyri.cells == ("♀ W21-02", "153 eggs", "S. pyri, released, Tue 1 June")
    assert "153 eggs in 4 nights" in pyri.sentence


def test_moving_in_the_index_turns_the_sheet(page: MothersPage) -> None:
    assert page.females.spread.index.hasFocus()
    press(page, Key.Key_Down, Key.Key_Down)
    assert page.females.spread.header.heading.code == "♀ W21-01"


def test_enter_goes_into_the_sheet_and_esc_comes_back(page: MothersPage) -> None:
    press(page, Key.Key_Return)
    assert page.females.spread.sheet.hasFocus()
    press(page, Key.Key_Escape)
    assert page.females.spread.index.hasFocus()


def test_a_narrow_window_shows_the_index_or_the_sheet(karst: Karst) -> None:
    page = karst.open(MothersPage, wide=600)
    spread = page.females.spread
    assert spread.index.isVisible()
    assert not spread.sheet.isVisible()
    press(page, Key.Key_Return)
    assert spread.sheet.isVisible()
    assert not spread.index.isVisible()
    press(page, Key.Key_Left)
    assert spread.index.isVisible()


# her page


def test_the_chain_links_her_night_and_her_brood(
    karst: Karst, pyri: MothersPage
) -> None:
    asked: list[tuple[str, object]] = []
    pyri.go_asked.connect(lambda kind, target: asked.append((kind, target)))
    for link in pyri.females.sheet.chain.links():
        if link.step.kind:
            QTest.keyClick(link, Key.Key_Return)
    assert asked == [
        ("lamp_night", karst.season.terrace_night),
        ("brood", karst.season.pyri_brood),
    ]
    words = [link.step.words for link in pyri.females.sheet.chain.links()]
    assert words[2] == "153 eggs, 4 nights"


def test_each_night_has_its_bar_and_its_line(pyri: MothersPage) -> None:
    said = pyri.females.sheet.bars.sentence()
    assert said == "Fri 28 May 41, Sat 29 May 63, Sun 30 May 38, Mon 31 May 11"
    lines = pyri.females.sheet.layings.lines()
    assert [line.cells[1] for line in lines] == ["41", "63", "38", "11"]


def test_a_night_nobody_wrote_down_is_a_hole_and_not_nought() -> None:
    bar = NightBar(dt.date(2021, 5, 30), None)
    assert bar.words == "Sun 30 May not entered"
    assert NightBar(dt.date(2021, 5, 30), 0).words == "Sun 30 May 0"


def test_a_skipped_night_is_shown_as_one(karst: Karst, page: MothersPage) -> None:
    for evening, number in ((day(5, 29), 20), (day(5, 31), 30)):
        karst.session.do(
            eggs.record_eggs,
            parents=eggs.Parents(karst.season.bagged),
            evening=evening,
            number=number,
            pot=eggs.Pot(place_id=1),
        )
    page.show_target("moth", karst.season.bagged)
    assert "Sun 30 May not entered" in page.females.sheet.bars.sentence()
    assert "she may lay on" in page.females.sheet.advice.text()


def test_a_last_night_under_a_twentieth_advises_to_let_her_go(
    karst: Karst, page: MothersPage
) -> None:
    for evening, number in ((day(5, 29), 120), (day(5, 30), 5)):
        karst.session.do(
            eggs.record_eggs,
            parents=eggs.Parents(karst.season.bagged),
            evening=evening,
            number=number,
            pot=eggs.Pot(place_id=1),
        )
    page.show_target("moth", karst.season.bagged)
    assert "time to let her go" in page.females.sheet.advice.text()


def test_pots_say_what_waits_what_hatched_and_what_is_overdue(
    pyri: MothersPage,
) -> None:
    first, *rest = pyri.females.sheet.pots.lines()
    assert "0 of 41 eggs waiting. 35 hatched, 6 collapsed" in first.sentence
    assert [line.cells[2] for line in rest] == ["63", "38", "11"]
    words = pyri.females.sheet.hatch.text()
    # Wilson's interval of 35 in 41, computed
    assert words.startswith("Hatched 35 of 41, 85 % (72 to 93 at 95 in 100)")
    assert "Pots 2, 3, 4: overdue" in words


def test_hatch_windows_stand_as_stairs_and_in_words(pyri: MothersPage) -> None:
    said = pyri.females.sheet.windows.sentence()
    assert "Pot 2, 63 eggs: first" in said
    assert "half" in said
    assert "last" in said
    assert "set point 20°" in pyri.females.sheet.basis.text()


def test_mating_names_the_sire_as_far_as_he_is_known(pyri: MothersPage) -> None:
    words = pyri.females.sheet.mating.text()
    assert "× ♂ wild, unknown, night of Fri 28 May" in words


def test_a_proved_male_is_told_as_one_and_asks_for_no_eggs(
    karst: Karst, page: MothersPage
) -> None:
    page.show_target("moth", karst.season.proved_male)
    assert page.females.spread.header.heading.code == "♂ W21-03"
    assert "Proved male" in page.females.sheet.advice.text()
    assert "Pots" not in sections(page)


def test_cautions_and_the_law_stand_at_the_foot(pyri: MothersPage) -> None:
    words = pyri.females.sheet.cautions.text()
    assert "prussic acid" in words
    assert "ask a qualified person" in words
    assert "The local authority decides" in words


def test_as_on_a_day_before_her_pot_was_closed_it_stands(
    karst: Karst, page: MothersPage
) -> None:
    karst.session.show_on(day(5, 20))
    page.show_target("moth", karst.season.tau)
    line = page.females.sheet.pots.lines()[0]
    assert "closed" not in line.sentence
    assert line.cells[1] == "Hall shelf"


# keys


@pytest.mark.parametrize("key", list("EKGDNPST"))
def test_letters_open_the_entries_of_a_female_from_the_index(
    page: MothersPage, key: str
) -> None:
    press(page, key.lower())
    assert is_asking(page)
    press(page, Key.Key_Escape)
    assert not is_asking(page)
    assert page.females.spread.index.hasFocus()


@pytest.mark.parametrize("key", list("HLMZN"))
def test_every_key_a_pot_offers_opens_a_form(pyri: MothersPage, key: str) -> None:
    pyri.females.sheet.pots.setFocus()
    press(pyri, key.lower())
    assert is_asking(pyri)


def test_h_from_the_index_asks_which_pot(pyri: MothersPage) -> None:
    pyri.females.spread.go_out()
    press(pyri, "h")
    assert not is_asking(pyri)
    assert "Which pot?" in pyri.notices.words
    assert pyri.females.sheet.pots.hasFocus()
    press(pyri, Key.Key_Down, "h")
    assert is_asking(pyri)


def test_c_corrects_the_eggs_of_a_night(karst: Karst, pyri: MothersPage) -> None:
    pyri.females.sheet.layings.setFocus()
    press(pyri, Key.Key_Down, "c")
    assert is_asking(pyri)
    QTest.keyClick(pyri.focusWidget(), Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    press(pyri, "64", Key.Key_Return)
    assert "64" in karst.last()
    assert pyri.females.spread.header.heading.verdict == "154 eggs, 4 nights"


def test_ctrl_down_turns_to_the_next_female(page: MothersPage) -> None:
    acts = {act.id: doer for act, doer in page.acts()}
    acts["mother_next"]()
    assert page.females.spread.header.heading.code == "♀ W21-02"
    acts["mother_before"]()
    assert page.females.spread.header.heading.code == "♀ W21-04"


# reading again


def test_letting_her_go_moves_her_line_and_keeps_her_page(
    karst: Karst, page: MothersPage
) -> None:
    assert page.females.chosen == karst.season.bagged
    karst.session.do(
        mothers.let_go, moth_id=karst.season.bagged, fate=MothFate.DEAD, on=ON
    )
    assert page.females.chosen == karst.season.bagged
    assert page.females.spread.header.heading.under == "dead, Fri 25 June"


def test_an_empty_book_says_what_to_do_first(
    qtbot: QtBot, theme: Theme, tmp_path: Path, karst: Karst
) -> None:
    with Book.make(tmp_path / "empty.rearing") as book:
        page = Karst(qtbot, theme, book, karst.season).open(MothersPage)
        assert page.quiet.isVisible()
        assert "T enters a lamp night" in page.quiet.words
        assert page.quiet.head.heading.title == "Mothers"
        press(page, "t")
        assert is_asking(page)
        press(page, Key.Key_Escape, "v")
        assert "No lamp night" in page.quiet.words
        assert page.quiet.head.heading.title == "Night book"
