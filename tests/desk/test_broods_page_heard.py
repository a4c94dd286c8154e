"""What a screen reader hears of the two pages, and that nothing is left nameless."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QScrollBar, QWidget

from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.pages.mothers_page import MothersPage
from rearing.desk.theme import View

if TYPE_CHECKING:
    from rearing.desk.page import Page
    from tests.desk.karst_pages import Karst


def nameless(page: Page) -> list[str]:
    """Return the parts that Tab reaches and that have no name to be heard."""
    found = []
    for part in page.findChildren(QWidget):
        by_tab = part.focusPolicy().value & Qt.FocusPolicy.TabFocus.value
        if not by_tab or isinstance(part, QScrollBar):
            continue
        spoken = QAccessible.queryAccessibleInterface(part)
        if not spoken.text(QAccessible.Text.Name):
            found.append(type(part).__name__)
    return found


@pytest.mark.parametrize("kind", [MothersPage, BroodsPage])
def test_everything_that_takes_the_keyboard_has_a_name(
    karst: Karst, kind: type[Page]
) -> None:
    page = karst.open(kind)
    if isinstance(page, BroodsPage):
        page.open(karst.season.tau_brood)
    assert nameless(page) == []


def test_charts_say_what_they_draw(karst: Karst) -> None:
    page = karst.open(BroodsPage)
    page.open(karst.season.tau_brood)
    sheet = page.sheet
    for chart, said in (
        (sheet.course, "9 May 86"),
        (sheet.stages, "20 L5"),
        (sheet.windows, "Wander: first"),
        (sheet.losses, "6 unaccounted"),
        (sheet.leaf, "120 g"),
    ):
        assert said in chart.accessibleName()


@pytest.mark.parametrize("view", list(View))
@pytest.mark.parametrize("scale", [0.8, 1.6, 2.5])
def test_every_view_and_text_size_can_be_drawn(
    karst: Karst, view: View, scale: float
) -> None:
    broods, mothers = karst.open(BroodsPage), karst.open(MothersPage)
    broods.open(karst.season.tau_brood)
    mothers.show_target("moth", karst.season.pyri)
    karst.theme.set_view(view)
    karst.theme.set_scale(scale)
    for page in (broods, mothers):
        picture = page.grab().toImage()
        colours = {
            picture.pixel(x, y) for x in range(0, 1100, 3) for y in range(0, 740, 3)
        }
        assert len(colours) > 20
