"""One of many by a part of its name: the list under the line, and Enter at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView

from rearing.desk.widgets.choice_inputs import SearchInput
from rearing.desk.widgets.fields import Answers, SearchField
from rearing.desk.widgets.form import EntryForm
from tests.desk.karst_season import ON

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

Key = Qt.Key
OAKS = ((1, "Oak 1 · downy oak"), (2, "Oak 2 · sessile oak"), (3, "Beech 2 · beech"))


@pytest.fixture
def taken() -> list[object]:
    return []


@pytest.fixture
def form(qtbot: QtBot, theme: Theme, taken: list[object]) -> EntryForm:
    def keep(answers: Answers) -> None:
        taken.append(answers.choice("which"))

    field = SearchField("which", "&Which", options=OAKS, required=True)
    made = EntryForm(theme, "Which tree?", (field,), keep, today=ON)
    qtbot.addWidget(made)
    made.show()
    made.focus_first()
    return made


def searched(form: EntryForm, typed: str) -> QAbstractItemView:
    """Type a part of a name, and return the list of those that fit."""
    part = form.input("which").focus_part()
    assert isinstance(part, SearchInput)
    QTest.keyClicks(part, typed)
    finder = part.completer()
    assert finder is not None
    listed = finder.popup()
    assert isinstance(listed, QAbstractItemView)
    return listed


def test_enter_at_the_list_takes_the_only_one_that_fits(
    qtbot: QtBot, form: EntryForm, taken: list[object]
) -> None:
    listed = searched(form, "sess")
    assert listed.isVisible()
    with qtbot.waitSignal(form.kept):
        QTest.keyClick(listed, Key.Key_Return)
    assert taken == [2]
    assert not listed.isVisible()


def test_enter_at_the_list_asks_on_where_several_fit(
    qtbot: QtBot, form: EntryForm, taken: list[object]
) -> None:
    listed = searched(form, "oak")
    QTest.keyClick(listed, Key.Key_Return)
    qtbot.waitUntil(lambda: bool(form.message("which")))
    assert "may be one of 2" in form.message("which")
    assert taken == []


def test_one_chosen_in_the_list_is_written_in_the_line_first(
    form: EntryForm, taken: list[object]
) -> None:
    listed = searched(form, "oak")
    QTest.keyClick(listed, Key.Key_Down)
    QTest.keyClick(listed, Key.Key_Return)
    part = form.input("which").focus_part()
    assert isinstance(part, SearchInput)
    assert part.currentText() == "Oak 1 · downy oak"
    assert taken == []
