"""How many can be kept, asked on the leaf page. The book is invented."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt

from rearing.desk.pages.leaf_keep import KeepForm
from rearing.desk.pages.leaf_page import LeafPage
from tests.desk.entry_desk import enter, entered, fill
from tests.desk.karst_pages import press

if TYPE_CHECKING:
    from tests.desk.karst_pages import Karst

Key = Qt.Key


@pytest.fixture
def page(karst: Karst) -> LeafPage:
    shown = karst.open(LeafPage)
    karst.bot.waitUntil(lambda: shown.view is not None)
    shown.focus_first()
    return shown


def asked(page: LeafPage) -> KeepForm:
    assert isinstance(page.panel, KeepForm)
    return page.panel


def test_how_many_can_be_kept_is_told_and_writes_nothing(
    page: LeafPage, karst: Karst
) -> None:
    before = karst.book.journal(most=1)[0].id
    press(page, "K")
    assert isinstance(page.panel, KeepForm)
    entered(page.panel, carry="20", cage="1")
    said = page.sheet.keep.words
    assert "Beech, " in said
    assert "at 20 g a day" in said
    assert "1 cage of 12 to 15" in said
    assert karst.book.journal(most=1)[0].id == before
    press(page, "K")
    # what was said last is offered again
    assert isinstance(page.panel, KeepForm)
    entered(page.panel, carry="")
    assert "a day" not in page.sheet.keep.words


def test_grams_that_may_be_kilograms_are_asked_about(page: LeafPage) -> None:
    press(page, "K")
    form = asked(page)
    fill(form, carry="1.2")
    enter(form)
    assert "1.2 kg are 1200" in form.question.words
    press(page, "Y")
    assert "at 1 g a day" in page.sheet.keep.words


def test_nothing_said_is_refused_under_its_field(page: LeafPage) -> None:
    press(page, "K")
    form = asked(page)
    enter(form)
    assert form.message("carry").startswith("Say how much leaf")
    press(page, Key.Key_Escape)
    assert page.panel is None
