"""The field sheet: sections put in place of others while it is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel

from rearing.desk.widgets.margin import FieldSheet
from rearing.desk.widgets.prose import Prose

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme


def tall(words: str) -> QLabel:
    made = QLabel(words)
    made.setMinimumHeight(150)
    return made


def test_sections_put_in_while_shown_are_not_squeezed(
    qtbot: QtBot, theme: Theme
) -> None:
    sheet = FieldSheet(theme, "A page")
    qtbot.addWidget(sheet)
    sheet.resize(600, 300)
    sheet.set_sections([("From", "", QLabel("one line"))])
    sheet.show()
    names = ("From", "Numbers", "Losses", "Notes")
    sheet.set_sections([(name, "", tall(name)) for name in names])

    def stands() -> bool:
        heights = [section.height() for section in sheet.sections()]
        tops = [section.y() for section in sheet.sections()]
        return min(heights) >= 150 and tops == sorted(tops) and len(set(tops)) == 4

    qtbot.waitUntil(stands, timeout=2000)


def test_a_note_beside_a_single_line_has_its_room(qtbot: QtBot, theme: Theme) -> None:
    """Words that ask for a height by their width once cut the note off."""
    sheet = FieldSheet(theme, "A page")
    qtbot.addWidget(sheet)
    sheet.resize(600, 300)
    prose = Prose(theme, "small")
    prose.tell("One line.")
    sheet.set_sections([("Lying cut", "C enters a cut", prose)])
    sheet.show()
    qtbot.waitUntil(
        lambda: sheet.sections()[0].height() >= theme.look.px(52), timeout=2000
    )
