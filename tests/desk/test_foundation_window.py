from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QMessageBox, QVBoxLayout, QWidget

from rearing.desk.actions import ACTS, Act, key_words, make_action, page_act
from rearing.desk.almanac import AlmanacLine
from rearing.desk.notices import Tone, show_trouble
from rearing.desk.page import Page, Panel
from rearing.desk.theme import View
from rearing.desk.window import Window
from rearing.problems import LockedBook, Refusal

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key
CONTROL = Qt.KeyboardModifier.ControlModifier


class Leaf(Page):
    """A page with one field, which writes down what it is told."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.told: list[object] = []
        self.field = QLineEdit()
        self.field.setAccessibleName("Words")
        body = QWidget()
        QVBoxLayout(body).addWidget(self.field)
        self.set_body(body)

    def refresh(self, touched: object | None = None) -> None:
        self.told.append(("refresh", touched))

    def focus_first(self) -> None:
        self.field.setFocus()

    def hints(self) -> str:
        return f"hints of {self.title}"

    def show_target(self, kind: str, target: object) -> None:
        self.told.append((kind, target))


class First(Leaf):
    number: ClassVar[int] = 1
    title: ClassVar[str] = "Round"

    def acts(self) -> tuple[tuple[Act, Callable[[], object]], ...]:
        fed = Act("fed", "&Fed", "Ctrl+Shift+F", "Fresh leaf was given", "&Entry")
        return ((fed, self.fed),)

    def fed(self) -> None:
        self.told.append("fed")


class Fourth(Leaf):
    number: ClassVar[int] = 4
    title: ClassVar[str] = "Broods"
    targets: ClassVar[tuple[str, ...]] = ("brood", "box")


class Eighth(Leaf):
    number: ClassVar[int] = 8
    title: ClassVar[str] = "Heat"


@pytest.fixture
def pages(theme: Theme) -> tuple[First, Fourth, Eighth]:
    return First(theme), Fourth(theme), Eighth(theme)


@pytest.fixture
def window(qtbot: QtBot, theme: Theme, pages: tuple[First, Fourth, Eighth]) -> Window:
    made = Window(theme, pages)
    qtbot.addWidget(made)
    made.resize(1000, 700)
    made.open_page(1)
    made.show()
    return made


def test_control_and_a_number_turns_to_a_page(qtbot: QtBot, window: Window) -> None:
    window.activateWindow()
    QTest.keyClick(window, Key.Key_4, CONTROL)
    assert window.page is window.page_at(4)
    QTest.keyClick(window, Key.Key_2, CONTROL)
    assert window.page is window.page_at(4)


def test_the_rail_is_walked_with_arrows(window: Window) -> None:
    window.rail.setFocus()
    QTest.keyClick(window.rail, Key.Key_Down)
    assert window.page is window.page_at(4)
    assert window.focusWidget() is window.rail
    QTest.keyClick(window.rail, Key.Key_End)
    assert window.page is window.page_at(8)
    QTest.keyClick(window.rail, Key.Key_Return)
    eighth = window.page_at(8)
    assert isinstance(eighth, Eighth)
    assert window.focusWidget() is eighth.field


def test_a_tab_is_heard_with_its_key(window: Window) -> None:
    model = window.rail.model()
    heard = model.data(model.index(1, 0), Qt.ItemDataRole.AccessibleTextRole)
    assert heard == "Broods, page 4, Ctrl+4"


def test_a_page_reads_the_book_only_when_it_must(
    window: Window, pages: tuple[First, Fourth, Eighth]
) -> None:
    first, fourth, _ = pages
    assert first.told == [("refresh", None)]
    window.book_changed("eggs")
    assert first.told[-1] == ("refresh", "eggs")
    assert fourth.told == []
    window.open_page(4)
    window.open_page(1)
    window.open_page(4)
    assert fourth.told == [("refresh", None)]


def test_links_lead_to_the_page_that_shows_such_a_thing_and_back(
    window: Window, pages: tuple[First, Fourth, Eighth]
) -> None:
    first, fourth, _ = pages
    first.go_asked.emit("brood", 21)
    assert window.page is window.page_at(4)
    assert fourth.told[-1] == ("brood", 21)
    fourth.go_asked.emit("box", 7)
    assert fourth.told[-1] == ("box", 7)
    fourth.go_asked.emit("moon", 7)
    assert fourth.told[-1] == ("box", 7)
    window.go_back()
    assert fourth.told[-1] == ("brood", 21)
    window.go_back()
    assert window.page is window.page_at(1)
    window.go_back()
    assert window.page is window.page_at(1)


def test_a_pages_own_acts_come_and_go_with_it(
    window: Window, pages: tuple[First, Fourth, Eighth]
) -> None:
    first = pages[0]
    window.activateWindow()
    QTest.keyClick(first.field, Key.Key_F, CONTROL | Qt.KeyboardModifier.ShiftModifier)
    assert first.told[-1] == "fed"
    window.open_page(8)
    action = window.menus.action("fed")
    assert action is not None
    assert not action.isEnabled()
    assert not action.isVisible()


def test_the_foot_says_what_was_last_and_what_takes_it_back(window: Window) -> None:
    window.say_last("S1 counted 34.")
    assert window.said == "Last: S1 counted 34.  Ctrl+Z takes it back."
    window.say_last("S1 counted 34", undone=True)
    assert window.said == "Taken back: S1 counted 34.  Ctrl+Y puts it back."
    window.say_last("")
    assert window.said == ""


def test_the_key_the_foot_names_puts_back(window: Window) -> None:
    # which keys put back by themselves differs from desktop to desktop
    act = next(act for act in ACTS if act.id == "redo")
    action = make_action(act, window, window.close)
    keys = {key.toString() for key in action.shortcuts()}
    assert keys == {"Ctrl+Y", "Ctrl+Shift+Z"}


def test_the_list_of_keys_names_a_page_once() -> None:
    said = key_words([page_act(1, "Round"), *ACTS])
    assert said[0] == ("Ctrl+1", "Round")
    assert ("Ctrl+Y or Ctrl+Shift+Z", "Put back") in said


def test_day_and_dark_swap_by_key_and_are_ticked(window: Window, theme: Theme) -> None:
    window.activateWindow()
    QTest.keyClick(window, Key.Key_L, CONTROL)
    assert theme.view is View.DARK
    ticked = window.menus.action("view_dark")
    assert ticked is not None
    assert ticked.isChecked()
    QTest.keyClick(window, Key.Key_Plus, CONTROL)
    assert theme.scale == pytest.approx(1.1)
    QTest.keyClick(window, Key.Key_0, CONTROL)
    assert theme.scale == 1.0


def test_the_almanac_says_only_what_it_is_given(window: Window) -> None:
    window.almanac.tell("Hiša na Robu", (AlmanacLine("Porch", "17.2°"),))
    assert window.almanac.accessibleName() == "Hiša na Robu. Porch 17.2°"
    tall = window.almanac.sizeHint().height()
    window.almanac.tell("")
    assert window.almanac.sizeHint().height() < tall


def test_a_panel_takes_the_keyboard_and_gives_it_back(
    window: Window, theme: Theme, pages: tuple[First, Fourth, Eighth]
) -> None:
    first = pages[0]
    first.field.setFocus()
    panel = Panel(theme)
    inside = QLineEdit(panel)
    panel.setFocusProxy(inside)
    first.open_panel(panel)
    assert window.focusWidget() is inside
    QTest.keyClick(inside, Key.Key_Escape)
    assert first.panel is None
    assert window.focusWidget() is first.field


def test_a_second_panel_replaces_the_first(
    window: Window, theme: Theme, pages: tuple[First, Fourth, Eighth]
) -> None:
    first = pages[0]
    first.field.setFocus()
    for side in (False, True):
        panel = Panel(theme)
        QLineEdit(panel)
        first.open_panel(panel, side=side)
    assert first.panel is panel
    first.close_panel()
    assert window.focusWidget() is first.field


def test_a_notice_stays_until_it_is_put_away(
    qtbot: QtBot, window: Window, pages: tuple[First, Fourth, Eighth]
) -> None:
    notices = pages[0].notices
    assert not notices.isVisible()
    notices.say_problem(Refusal("The night is not over."))
    assert notices.isVisible()
    assert notices.words == "The night is not over."
    notices.say("Five readings were set aside.", Tone.NEWS)
    assert notices.accessibleName() == "Five readings were set aside."
    with qtbot.waitSignal(notices.put_away):
        notices.clear()
    assert notices.isHidden()
    with qtbot.assertNotEmitted(notices.put_away):
        notices.clear()


def test_trouble_is_told_without_stopping_the_window(
    qtbot: QtBot, window: Window
) -> None:
    box = show_trouble(window, LockedBook("Another program holds the book."))
    qtbot.addWidget(box)
    assert isinstance(box, QMessageBox)
    assert box.text() == "Another program holds the book."
    assert box.isVisible()
    QTest.keyClick(box, Key.Key_Escape)
    qtbot.waitUntil(lambda: not window.findChildren(QMessageBox))


def test_the_window_says_when_it_closes(qtbot: QtBot, window: Window) -> None:
    with qtbot.waitSignal(window.closing):
        window.close()


def test_the_rail_folds_in_a_narrow_window_and_keeps_its_words(
    window: Window, theme: Theme
) -> None:
    wide = window.rail.width()
    assert window.rail.open_width() == wide
    theme.set_scale(2.5)
    assert window.rail.folded
    assert window.rail.width() < wide
    assert window.almanac.isHidden()
    model = window.rail.model()
    heard = model.data(model.index(1, 0), Qt.ItemDataRole.AccessibleTextRole)
    assert heard == "Broods, page 4, Ctrl+4"
    theme.set_scale(1.0)
    assert window.rail.width() == wide


def test_hints_give_way_to_what_was_said(window: Window) -> None:
    foot = window.foot
    assert foot.hints == "hints of Round"

    def right_end_is_bare() -> bool:
        image = foot.grab().toImage()
        ground = image.pixel(0, 0)
        right = range(image.width() - 60, image.width())
        return all(
            image.pixel(x, y) == ground for x in right for y in range(image.height())
        )

    foot.hint("| " * 110)
    assert not right_end_is_bare()
    foot.say("Last: " + "a long sentence " * 6)
    assert right_end_is_bare()
    assert foot.hints in foot.accessibleName()


def test_escape_puts_a_notice_away(
    window: Window, pages: tuple[First, Fourth, Eighth]
) -> None:
    first = pages[0]
    first.notices.say("Five readings were set aside.")
    QTest.keyClick(first.field, Key.Key_Escape)
    assert first.notices.isHidden()


def test_the_rail_widens_for_what_stands_at_its_foot(window: Window) -> None:
    bare = window.rail.width()
    window.almanac.tell("Hiša na Robu", (AlmanacLine("As on", "Wed 22 September"),))
    wanted = window.almanac.sizeHint().width()
    assert bare < wanted == window.almanac.width() == window.rail.width()
    long = AlmanacLine("The shed behind the old beech hollow", "17.2°")
    window.almanac.tell("Hiša na Robu", (long,))
    assert window.almanac.width() < window.almanac.sizeHint().width()
    assert not window.rail.folded
