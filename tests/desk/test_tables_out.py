"""Tables out of the window: one key to the clipboard, one to a file."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from rearing.desk.widgets.form import EntryForm
from tests.desk.stand import Stand, press, type_words

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

Key = Qt.Key


@pytest.fixture
def stand(qapp: QApplication, tmp_path: Path) -> Iterator[Stand]:
    made = Stand(tmp_path)
    made.open(made.sample())
    yield made
    made.close()


def act(stand: Stand, key: Qt.Key) -> None:
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(stand.window, key, both)


def form(stand: Stand) -> EntryForm:
    page = stand.window.page
    assert page is not None
    assert isinstance(page.panel, EntryForm)
    return page.panel


def said(stand: Stand) -> str:
    page = stand.window.page
    assert page is not None
    return page.notices.words


def test_the_round_goes_to_the_clipboard_with_raw_values(stand: Stand) -> None:
    act(stand, Key.Key_C)
    text = QGuiApplication.clipboard().text()
    rows = list(csv.DictReader(io.StringIO(text), dialect="excel-tab"))
    assert [row["code"] for row in rows] == [
        line.cells[0] for line in stand.walk.lines()
    ]
    assert {row["day"] for row in rows} == {"2021-06-12"}
    assert sum(row["due"] == "yes" for row in rows) == len(stand.due)
    assert all(row["number"].isdigit() for row in rows if row["known"])
    assert said(stand) == f"Copied Round ({len(rows)} rows)."


def test_the_round_is_written_beside_the_book_under_its_own_name(
    stand: Stand,
) -> None:
    act(stand, Key.Key_T)
    press(Key.Key_Return)
    path = stand.folder / "Round, 2021-06-12, season.csv"
    assert path.read_bytes().startswith(b"day,place,kind,code,brood,species,")
    assert said(stand).endswith(f"to {path}.")
    assert stand.walk.hasFocus()


def test_a_name_may_be_typed_and_what_is_there_is_asked_about(stand: Stand) -> None:
    for answer in ("", "N", "Y"):
        act(stand, Key.Key_T)
        type_words("tonight")
        press(Key.Key_Return)
        path = stand.folder / "tonight.csv"
        if answer:
            assert "tonight.csv is there already" in form(stand).question.words
            press(answer)
        written = path.read_text("utf-8")
        assert written.startswith("day,place")
        if answer == "N":
            press(Key.Key_Escape)


def test_a_folder_that_is_not_there_is_said_under_the_field(stand: Stand) -> None:
    act(stand, Key.Key_T)
    type_words("nowhere/tonight")
    press(Key.Key_Return)
    assert form(stand).message("file").startswith("There is no folder")
