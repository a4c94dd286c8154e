"""At the lamp in red: a caret of the ink's colour, and keys listed large."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from rearing.desk.help_panel import HelpPanel
from rearing.desk.lamp.lamp_ask import LampAsk, Step
from rearing.desk.theme import View
from rearing.records.book import Book
from tests.desk.lamp_room import Room, make

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

RED = QColor("#E41200")


def _taken(said: object) -> None:
    """Take what was said, for nobody."""


def test_the_caret_is_red_on_black(qtbot: QtBot) -> None:
    QApplication.setCursorFlashTime(0)
    desk = QWidget()
    qtbot.addWidget(desk)
    ink = QPalette(desk.palette())
    ink.setColor(QPalette.ColorRole.Base, QColor("#000000"))
    ink.setColor(QPalette.ColorRole.Text, RED)
    desk.setPalette(ink)
    ask = LampAsk(desk)
    ask.setAutoFillBackground(False)
    line = ask.findChild(QLineEdit)
    assert line is not None
    line.setGeometry(0, 0, 200, 40)
    with qtbot.waitExposed(desk):
        desk.show()
    ask.ask("Light the lamp", (Step("lamp", "Lamp"),), _taken)
    line.setText("")
    line.setFocus()
    qtbot.waitUntil(line.hasFocus)
    picture = line.grab().toImage()
    shades = [
        picture.pixelColor(x, y)
        for x in range(picture.width())
        for y in range(picture.height())
    ]
    assert max(shade.blue() for shade in shades) == 0
    assert RED in shades


def test_in_red_the_list_of_keys_has_the_page_to_itself(
    qtbot: QtBot, theme: Theme, tmp_path: Path
) -> None:
    with Book.open(make(tmp_path / "lamp.rearing")) as book:
        page = Room(qtbot, theme, book).page
        page.open_panel(HelpPanel(theme, "Keys", page.key_help()), side=True)
        assert page.board.isVisible()
        theme.set_view(View.RED)
        page.open_panel(HelpPanel(theme, "Keys", page.key_help()), side=True)
        assert not page.board.isVisible()
        page.close_panel()
        assert page.board.isVisible()
