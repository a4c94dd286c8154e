"""Red view in the whole window: bars put away, Alt brings them, never to white."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from rearing.desk import settings as workplace
from rearing.desk.fonts import Faces
from rearing.desk.page import Page
from rearing.desk.settings import Settings
from rearing.desk.theme import View
from rearing.desk.window import Window

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme


class Plain(Page):
    """A page by day."""

    number, title = 1, "Plain"


class Dim(Page):
    """A page for the night."""

    number, title = 2, "Dim"
    hides_bars = True


@pytest.fixture
def window(qtbot: QtBot, theme: Theme) -> Window:
    made = Window(theme, [Plain(theme), Dim(theme)])
    qtbot.addWidget(made)
    made.resize(1280, 800)
    made.show()
    made.open_page(2)
    QTest.qWaitForWindowExposed(made)
    return made


def bars(window: Window) -> tuple[bool, bool]:
    return not window.menuBar().isHidden(), not window.statusBar().isHidden()


def test_bars_go_in_red_on_the_lamps_page_only(window: Window, theme: Theme) -> None:
    assert bars(window) == (True, True)
    theme.set_view(View.RED)
    assert bars(window) == (False, False)
    assert window.rail.folded
    window.open_page(1)
    assert bars(window) == (True, True)
    window.open_page(2)
    theme.set_view(View.DARK)
    assert bars(window) == (True, True)


def test_nothing_is_written_below_sixteen_points_in_red(theme: Theme) -> None:
    theme.set_view(View.RED)
    faces = theme.look.faces
    assert min(_points(faces)) >= 16
    theme.set_scale(2.0)
    larger = theme.look.faces
    assert min(_points(larger)) > min(_points(faces))
    # what the keeper chose is kept, and holds again by day
    theme.set_scale(1.0)
    theme.set_view(View.DAY)
    assert theme.scale == 1.0
    assert min(_points(theme.look.faces)) < 10


def _points(faces: Faces) -> list[float]:
    return [getattr(faces, field.name).pointSizeF() for field in fields(Faces)]


def test_alt_shows_the_menus_and_puts_them_away(window: Window, theme: Theme) -> None:
    theme.set_view(View.RED)
    QTest.keyClick(window, Qt.Key.Key_Alt)
    assert bars(window) == (True, True)
    QTest.keyClick(window, Qt.Key.Key_Alt)
    assert bars(window) == (False, False)


def test_swapping_from_red_goes_to_dark_never_to_white(
    window: Window, theme: Theme
) -> None:
    theme.set_view(View.RED)
    swap = window.menus.action("swap_view")
    assert swap is not None
    swap.trigger()
    assert theme.view is View.DARK


def test_the_desktops_own_white_dialogs_are_not_used_in_red(theme: Theme) -> None:
    own = Qt.ApplicationAttribute.AA_DontUseNativeDialogs
    theme.set_view(View.RED)
    assert QApplication.testAttribute(own)
    theme.set_view(View.DAY)
    assert not QApplication.testAttribute(own)


@pytest.mark.parametrize(("told", "step"), [("5", 5), ("9", 3), ("x", 3)])
def test_the_brightness_is_remembered(tmp_path: Path, told: str, step: int) -> None:
    store = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
    workplace.save(store, Settings(view=View.RED, red_step=4))
    assert workplace.load(store) == Settings(view=View.RED, red_step=4)
    store.setValue("red_step", told)
    assert workplace.load(store).red_step == step
