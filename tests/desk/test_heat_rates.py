from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget

from rearing.desk.pages.heat_fit import RatesPanel
from rearing.desk.pages.heat_fit_forms import TableForm, WhoseForm
from rearing.desk.widgets.inputs import NoteInput
from rearing.records.book import Book
from rearing.science.rate_fits import Curve
from rearing.terms import Stage
from tests.desk.heat_room import HeatRoom, Key, fill

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

# published: Spodoptera frugiperda egg to adult, Moon et al. 2022
TABLE = "T D\n18 79.8\n21 54.2\n24 34.3\n27 28.4\n30 24.6\n32 24.0"


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("rates") / "rates.rearing"
    fill(path)
    return path


@pytest.fixture
def room(
    qtbot: QtBot, theme: Theme, tmp_path: Path, filled: Path
) -> Iterator[HeatRoom]:
    with Book.open(Path(shutil.copy(filled, tmp_path))) as book:
        made = HeatRoom(qtbot, theme, book)
        yield made
        made.close()


def rates(room: HeatRoom) -> RatesPanel:
    panel = room.page.panel
    assert isinstance(panel, RatesPanel)
    return panel


def opened(room: HeatRoom, table: str = "") -> RatesPanel:
    room.press("R")
    panel = rates(room)
    if table:
        room.press("T")
        type_table(room, table)
    room.settle()
    return panel


def type_table(room: HeatRoom, table: str) -> None:
    form = rates(room).form
    assert isinstance(form, TableForm)
    note = form.input("table")
    assert isinstance(note, NoteInput)
    note.setPlainText(table)
    form.accept()


def cells(panel: RatesPanel) -> list[tuple[str, ...]]:
    return [tuple(str(c) for c in line.cells) for line in panel.points.lines()]


def shown(panel: RatesPanel) -> set[str]:
    return {one.name for one in panel.sheet.sections() if not one.isHidden()}


def test_r_opens_the_rates_and_esc_gives_the_places_back(room: HeatRoom) -> None:
    panel = opened(room)
    assert not room.page.body.isVisible()
    assert "T table" in room.page.hints()
    assert panel.head.heading.words.startswith("egg of ")
    room.press(Key.Key_Escape)
    assert room.page.panel is None
    assert room.page.body.isVisible()
    assert "T table" not in room.page.hints()


def test_without_a_duration_it_says_what_to_do_first(room: HeatRoom) -> None:
    panel = opened(room)
    assert "T takes in a table" in panel.said.words
    assert shown(panel) == {"Known"}


def test_a_typed_table_gives_its_threshold(room: HeatRoom) -> None:
    panel = opened(room, TABLE)
    # computed; published: 11.8 °C, 456.8 degree-days
    assert panel.head.heading.verdict == "T0 11.9 °C"
    assert "K 454 degree-days, from 6 durations between 18 and 32 °C" in (
        panel.rates.words
    )
    assert shown(panel) == {"Known", "Durations", "Rates", "T0 by range", "Fits"}
    assert [row[0] for row in cells(panel)] == [f"Row {n}" for n in range(1, 7)]
    names = [str(line.cells[0]) for line in panel.fits.lines()]
    assert names[:2] == ["1/D on T, least squares", "D·T on D, major axis"]
    assert len(names) >= 2 + len(Curve)


def test_x_leaves_a_point_out_and_takes_it_in_again(room: HeatRoom) -> None:
    panel = opened(room, TABLE)
    panel.points.set_current("typed:6")
    panel.points.setFocus()
    room.press("X")
    room.settle()
    assert "between 18 and 30 °C" in panel.rates.words
    assert panel.head.heading.verdict == "T0 12.8 °C"  # computed
    assert "5 durations in the fit, 1 left out" in panel.said.words
    assert "left out" in panel.points.lines()[5].sentence
    room.press("U")
    room.settle()
    assert panel.head.heading.verdict == "T0 11.9 °C"


def test_what_was_asked_is_there_when_the_rates_are_opened_again(
    room: HeatRoom,
) -> None:
    opened(room, TABLE)
    room.press(Key.Key_Escape)
    panel = opened(room)
    assert len(cells(panel)) == 6
    room.press("T")
    type_table(room, "")
    room.settle()
    assert cells(panel) == []


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("18 79.8\n21 x\n24 30", "no number"),
        ("Dear diary", "no line with two figures"),
        ("18 79.8\n21 0\n24 30", "Row 2 says 0 days"),
    ],
)
def test_a_table_that_makes_no_sense_is_told_beside_it(
    room: HeatRoom, table: str, words: str
) -> None:
    opened(room)
    room.press("T")
    type_table(room, table)
    form = rates(room).form
    assert isinstance(form, TableForm)
    assert words in form.message("table")


def test_another_species_and_stage_can_be_asked_for(room: HeatRoom) -> None:
    panel = opened(room)
    room.press("S")
    form = panel.form
    assert isinstance(form, WhoseForm)
    panel.show_whose("Antheraea yamamai", Stage.PUPA)
    form.closed.emit()
    room.settle()
    assert panel.head.heading.words == "pupa of Antheraea yamamai"
    assert panel.form is None
    assert room.page.panel is panel


def test_everything_that_takes_the_keyboard_has_a_name(room: HeatRoom) -> None:
    panel = opened(room, TABLE)
    for widget in panel.findChildren(QWidget):
        if widget.focusPolicy().value and widget.isVisible():
            found = QAccessible.queryAccessibleInterface(widget)
            assert found.text(QAccessible.Text.Name), widget


def test_the_charts_say_in_words_what_they_show(room: HeatRoom) -> None:
    panel = opened(room, TABLE)
    told = [w.accessibleDescription() for w in panel.findChildren(QWidget)]
    assert any("T0 11.9 °C and K 454" in words for words in told)
    assert any("T0 lies between" in words for words in told)
