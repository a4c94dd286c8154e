"""A brood in numbers by its keys: ledger, survival, heads, another brood beside.

Counts are the invented season of karst_season; sums are computed by hand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from rearing.desk.entries.which import WhichForm
from rearing.desk.pages.brood_numbers import (
    BESIDE,
    HATCH,
    HEADS,
    LEDGER,
    LOSSES,
    SURVIVAL,
)
from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.boxes import When
from rearing.keeping.care import count_box
from rearing.keeping.measurements import measure
from rearing.records.rows import MeasurementRow
from rearing.terms import Measured, Stage
from tests.desk.entry_desk import entered
from tests.desk.karst_pages import is_asking, press

if TYPE_CHECKING:
    from tests.desk.karst_pages import Karst

Key = Qt.Key


@pytest.fixture
def tau(karst: Karst) -> BroodsPage:
    page = karst.open(BroodsPage)
    page.open(karst.season.tau_brood)
    return page


def test_u_turns_to_the_numbers_and_back(tau: BroodsPage) -> None:
    press(tau, "u")
    assert tau.numbers.is_shown
    assert tau.numbers.sheet.isVisible()
    said = tau.numbers.sheet.said(LEDGER)
    assert said.startswith("Of 74 larvae that came: 67 alive (51 counted, 16 by")
    assert "6 unaccounted" in said
    assert sum(int(str(x.cells[3])) for x in tau.numbers.sheet.lines(HATCH)) == 74
    press(tau, Key.Key_Escape)
    assert tau.brood_id is not None
    assert tau.sheet.isVisible()


def test_the_ledger_of_each_box_adds_up(tau: BroodsPage) -> None:
    press(tau, "u")
    for line in tau.numbers.sheet.lines(LEDGER):
        came, moved, lost, left, missing, here = (int(str(x)) for x in line.cells[1:7])
        assert came == moved + lost + left + missing + here


def test_each_cause_tells_at_which_stages_it_took_them(tau: BroodsPage) -> None:
    press(tau, "u")
    lost = {str(x.cells[0]): x.cells[1:3] for x in tau.numbers.sheet.lines(LOSSES)}
    # computed: 7 of the 74 larvae, 6 of them unaccounted
    larvae = {
        why: int(str(number))
        for why, (number, stages) in lost.items()
        if "egg" not in str(stages)
    }
    assert sum(larvae.values()) == 7
    assert larvae["unaccounted"] == 6


def test_survival_says_what_it_shows(tau: BroodsPage) -> None:
    press(tau, "u")
    sheet = tau.numbers.sheet
    assert sheet.survival.sentence() == sheet.said(SURVIVAL)
    # computed: 7 of 74 are gone
    assert "91 % of 74 live or left alive" in sheet.said(SURVIVAL)


def test_k_lays_another_brood_beside(tau: BroodsPage) -> None:
    press(tau, "k")
    assert is_asking(tau)
    press(tau, Key.Key_Down, Key.Key_Return)
    sheet = tau.numbers.sheet
    assert tau.numbers.is_shown
    assert "beside B21-02" in sheet.header.heading.under
    assert sheet.lines(BESIDE)[0].cells == ("Brood", "B21-01", "B21-02")
    assert "a note, no proof" in sheet.said(BESIDE)
    press(tau, "u")
    press(tau, "u")
    assert sheet.said(BESIDE) == ""


def test_heads_typed_in_a_line_are_placed(karst: Karst, tau: BroodsPage) -> None:
    press(tau, "u")
    assert "I enters" in tau.numbers.sheet.said(HEADS)
    press(tau, "u")
    box = tau.sheet.boxes.lines()[0].key
    tau.sheet.boxes.set_current(box)
    tau.sheet.boxes.setFocus()
    press(tau, "i")
    assert isinstance(tau.panel, EntryForm)
    press(tau, "0.6 0.62 0.88 0.9 1.3 1.31 62", Key.Key_Return)
    assert "62 mm" in tau.panel.question.words
    press(tau, Key.Key_Escape)
    press(tau, Key.Key_Escape)
    press(tau, "i", "0.6 0.62 0.88 0.9 1.3 1.31", Key.Key_Return)
    assert len(karst.book.all(MeasurementRow)) == 6
    assert karst.last().startswith("Measured 6 head widths in B21-01")
    press(tau, "u")
    assert tau.numbers.sheet.said(HEADS).startswith("6 heads lie in L1 to L3")
    assert tau.numbers.sheet.widths.isVisible()


def test_a_slipped_figure_is_corrected_from_its_line(
    karst: Karst, tau: BroodsPage
) -> None:
    box = karst.season.box_a
    for stage, values in ((Stage.L1, (0.6, 6.2)), (Stage.L2, (0.9,))):
        karst.session.do(
            measure,
            box_id=box,
            what=Measured.HEAD_WIDTH,
            values=values,
            on=karst.session.on,
            stage=stage,
        )
    press(tau, "u")
    lines = tau.numbers.sheet.list(HEADS)
    lines.setFocus()
    lines.set_current((Measured.HEAD_WIDTH, Stage.L1))
    press(tau, Key.Key_Return)
    assert isinstance(tau.panel, WhichForm)
    entered(tau.panel, which="6.2")
    form = tau.panel
    assert isinstance(form, EntryForm)
    assert form.input("value").answer() == 6.2
    entered(form, value="0.62")
    said = "Head width in B21-01 A corrected from 6.2 (L1) to 0.62 (L1) mm"
    assert karst.last() == said
    assert tau.numbers.sheet.lines(HEADS)[0].cells[4] == "0.6 to 0.62 mm"
    karst.session.take_back()
    assert tau.numbers.sheet.lines(HEADS)[0].cells[4] == "0.6 to 6.2 mm"
    # of the only one of its stage nothing is asked first
    lines.set_current((Measured.HEAD_WIDTH, Stage.L2))
    press(tau, Key.Key_Return)
    assert isinstance(tau.panel, EntryForm)
    assert tau.panel.input("value").answer() == 0.9


def test_a_brood_of_eggs_says_what_comes_first(karst: Karst, tau: BroodsPage) -> None:
    karst.session.show_on(karst.session.on.replace(month=5, day=12))
    press(tau, "u")
    sheet = tau.numbers.sheet
    assert "Nothing hatched yet" in sheet.said(SURVIVAL)
    assert "H at a pot" in sheet.said(LEDGER)


def test_a_letter_at_the_numbers_asks_for_which_box(
    karst: Karst, tau: BroodsPage
) -> None:
    press(tau, "u")
    press(tau, "i")
    assert isinstance(tau.panel, WhichForm)
    entered(tau.panel, which="B21-01 B")
    press(tau, "0.6", Key.Key_Return)
    assert karst.last().startswith("Measured 1 head width in B21-01 B")
    assert tau.numbers.is_shown


def test_more_counted_than_hatched_are_no_births(karst: Karst, tau: BroodsPage) -> None:
    """Computed: box A held 16 by the book, so 30 counted are 14 more than came."""
    found = karst.session.do(
        count_box,
        box_id=karst.season.box_a,
        number=30,
        when=When(karst.session.on, None),
        sure=True,
    )
    assert found is not None
    press(tau, "u")
    said = tau.numbers.sheet.said(LEDGER)
    assert said.startswith("Of 74 larvae that came, and 14 more that were counted: 81")
