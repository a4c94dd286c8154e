"""A session with forms that are opened, filled and entered by keys."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit

from rearing.desk import entries
from rearing.keeping.holding import holding
from tests.desk.entry_book import Ids, june

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.form import EntryForm

Key = Qt.Key


class Desk:
    """A session with forms that are opened, filled and entered by keys."""

    def __init__(self, qtbot: QtBot, theme: Theme, session: Session, ids: Ids) -> None:
        self.bot, self.theme, self.session, self.ids = qtbot, theme, session, ids
        self.book = session.book

    def open(self, name: str, *thing: object) -> EntryForm:
        form: EntryForm = getattr(entries, name)(self.session, self.theme, *thing)
        self.bot.addWidget(form)
        form.resize(1100, 600)
        form.show()
        form.focus_first()
        return form

    def last(self) -> str:
        return self.book.journal(most=1)[0].sentence


def fill(form: EntryForm, **typed: str) -> None:
    """Type into fields as a keeper does; a choice is made by its words."""
    for key, text in typed.items():
        part = form.input(key).focus_part()
        if isinstance(part, QComboBox) and not part.isEditable():
            at = [part.itemText(row) for row in range(part.count())].index(text)
            part.setCurrentIndex(at)
            continue
        if isinstance(part, QComboBox):
            part.setCurrentText("")
        if isinstance(part, QLineEdit):
            part.clear()
        QTest.keyClicks(part, text)


def enter(form: EntryForm) -> None:
    part = form.input(next(iter(form._fields._inputs))).focus_part()
    QTest.keyClick(part, Key.Key_Return, Qt.KeyboardModifier.ControlModifier)


def entered(form: EntryForm, **typed: str) -> None:
    """Fill, press Enter, and see that it was taken."""
    fill(form, **typed)
    taken: list[bool] = []
    form.kept.connect(lambda: taken.append(True))
    enter(form)
    if not taken:
        said = [form.message(), *(form.message(key) for key in form._fields._inputs)]
        pytest.fail(f"refused: {[words for words in said if words]}")


def number_in(desk: Desk, box_id: int) -> int:
    boxes = holding(desk.book, june(12)).boxes
    return next(box.standing.number for box in boxes if box.row.id == box_id)
