from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, ClassVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from rearing.desk import entries
from rearing.desk.entries.which import WhichForm
from rearing.desk.entry_acts import GROUPS, Entering, EntryActs
from rearing.desk.page import Page
from rearing.desk.widgets.form import EntryForm
from rearing.desk.window import Window
from rearing.records.book import Book
from rearing.records.rows import HeadcountRow, LayingRow, NoteRow
from tests.desk import entry_book
from tests.desk.entry_desk import entered

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from tests.desk.entry_desk import Desk

Key = Qt.Key
ALL = tuple(itertools.chain.from_iterable(GROUPS.values()))


class Leaf(Page):
    """A page with a line to write in, which must not take the second key."""

    number: ClassVar[int] = 1
    title: ClassVar[str] = "Leaf"

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.line = QLineEdit()
        self.line.setAccessibleName("A line")
        self.set_body(self.line)


@pytest.fixture
def windowed(qtbot: QtBot, theme: Theme) -> Callable[[Session], Leaf]:
    # nobody else holds a window: it would go whenever rubbish is collected
    held: list[Window] = []

    def make(session: Session) -> Leaf:
        page = Leaf(theme)
        window = Window(theme, [page])
        held.append(window)
        qtbot.addWidget(window)
        EntryActs(session, theme, window)
        window.resize(1280, 800)
        window.open_page(1)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        page.line.setFocus()
        return page

    return make


def press(page: Leaf, *keys: Qt.Key) -> None:
    for key in keys:
        QTest.keyClick(page.window(), key)


def ask(page: Leaf, one: Entering) -> None:
    """Press F2 and a form's letter, with Shift where it is so called."""
    press(page, Key.Key_F2)
    code, held = ord(one.letter[-1]), Qt.KeyboardModifier.NoModifier
    if one.letter.startswith("Shift+"):
        held = Qt.KeyboardModifier.ShiftModifier
        press(page, Key.Key_Shift)
    QTest.keyClick(page.window(), Key(code), held)


def test_every_form_is_in_the_menu_once_with_a_letter_of_its_own() -> None:
    assert sorted(one.form for one in ALL) == sorted(entries.__all__)
    assert len({one.letter for one in ALL}) == len(ALL)
    for one in ALL:
        assert one.act.text.count("&") == 1
        assert one.act.tip
    for group in GROUPS.values():
        marks = [one.text[one.text.index("&") + 1].lower() for one in group]
        assert len(marks) == len(set(marks)), marks


@pytest.mark.parametrize("one", ALL, ids=[one.form for one in ALL])
def test_two_keys_open_each_form_while_a_line_is_written_in(
    desk: Desk, windowed: Callable[[Session], Leaf], one: Entering
) -> None:
    page = windowed(desk.session)
    ask(page, one)
    assert isinstance(page.panel, EntryForm)
    assert page.line.text() == ""
    assert not page.notices.words


def test_one_box_is_not_asked_for(
    desk: Desk, windowed: Callable[[Session], Leaf]
) -> None:
    page = windowed(desk.session)
    press(page, Key.Key_F2, Key.Key_O)
    form = page.panel
    assert isinstance(form, EntryForm)
    assert not isinstance(form, WhichForm)
    entered(form, number="29")
    assert desk.book.all(HeadcountRow)[-1].number == 29
    assert page.panel is None


def test_one_of_several_is_chosen_by_a_part_of_its_name(
    desk: Desk, windowed: Callable[[Session], Leaf]
) -> None:
    page = windowed(desk.session)
    press(page, Key.Key_F2, Key.Key_Q)
    asked = page.panel
    assert isinstance(asked, WhichForm)
    entered(asked, which="Sat 29 May")
    form = page.panel
    assert isinstance(form, EntryForm)
    assert not isinstance(form, WhichForm)
    entered(form, number="64")
    assert [x.number for x in desk.book.all(LayingRow)] == [41, 64, 38]


def test_a_note_stands_beside_what_is_chosen(
    desk: Desk, windowed: Callable[[Session], Leaf]
) -> None:
    page = windowed(desk.session)
    press(page, Key.Key_F2, Key.Key_T)
    asked = page.panel
    assert isinstance(asked, WhichForm)
    entered(asked, which="by the well")
    form = page.panel
    assert isinstance(form, EntryForm)
    assert "Blackthorn by the well" in form.accessibleName()
    entered(form, text="in bud")
    assert desk.book.all(NoteRow)[-1].subject == "tree"


def test_nothing_to_choose_from_says_what_to_do_first(
    tmp_path: Path, windowed: Callable[[Session], Leaf]
) -> None:
    with Book.make(tmp_path / "new.rearing") as book:
        page = windowed(entry_book.session(book))
        for one in ALL:
            if one.of:
                page.notices.clear()
                ask(page, one)
                assert page.notices.words, one.form
                assert page.panel is None


def test_a_form_of_its_own_opens_in_a_new_book_or_says_what_to_do_first(
    tmp_path: Path, windowed: Callable[[Session], Leaf]
) -> None:
    with Book.make(tmp_path / "new.rearing") as book:
        page = windowed(entry_book.session(book))
        for one in ALL:
            if not one.of:
                page.notices.clear()
                page.close_panel()
                ask(page, one)
                assert page.panel or "Enter one first" in page.notices.words, one.form
