"""Taking files in on the Heat page, by keys, as a keeper would."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QWidget

from rearing.desk.pages.import_aside import AsidePanel
from rearing.exchange.temperatures import Role, Unit
from rearing.records.book import Book
from rearing.records.readings import span
from rearing.records.rows import PlaceRow, ReadingImportRow
from tests.desk.heat_room import ATTIC, HeatRoom, Key, fill, taken, write

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("heat") / "heat.rearing"
    fill(path)
    return path


@pytest.fixture
def room(
    qtbot: QtBot, theme: Theme, tmp_path: Path, filled: Path
) -> Iterator[HeatRoom]:
    with Book.open(Path(shutil.copy(filled, tmp_path))) as book:
        made = HeatRoom(qtbot, theme, book)
        made.press(Key.Key_Down, Key.Key_Down)
        yield made
        made.close()


def plain_hours(path: Path, many: int = 48, unit: str = "°C") -> Path:
    start = dt.datetime(2021, 6, 1)  # noqa: DTZ001 # a wall clock
    rows = [
        f"{start + dt.timedelta(hours=n):%Y-%m-%d %H:%M};{18 + n % 7}.5"
        for n in range(many)
    ]
    return write(path, f"time;Temp ({unit})", *rows)


def test_a_plain_file_goes_in_with_four_keys(room: HeatRoom, tmp_path: Path) -> None:
    panel = room.look_at(plain_hours(tmp_path / "attic.csv"))
    assert "Temp" in panel.sheet.words
    assert "48 readings from 48 rows" in panel.sheet.words
    assert panel.sheet.series.fields[0].currentText() == "Attic"
    room.press(Key.Key_Return)
    room.settle()
    assert room.page.panel is None
    assert len(taken(room)) == 48
    assert room.page.notices.words == (
        "Taken in: 48 readings for Attic from attic.csv. Ctrl+Z takes it back."
    )
    assert "on the mean" in room.page.course.warmth.words
    room.session.take_back()
    assert taken(room) == []
    assert "has no readings" in room.page.course.warmth.words
    assert room.page.notices.words == "", "what was taken back is told no more"


def test_dates_that_could_be_either_are_asked_about(
    room: HeatRoom, tmp_path: Path
) -> None:
    rows = [f"0{n}/06/2021 12:00,2{n}.0" for n in range(1, 7)]
    path = write(tmp_path / "either.csv", "when,Temp (°C)", *rows)
    panel = room.look_at(path)
    (doubt,) = panel.sheet.questions.open
    assert doubt.about == "date order"
    first = panel.understanding
    assert first is not None
    room.press(Key.Key_Return)
    room.settle()
    how = panel.understanding
    assert how is not None
    assert how.date_order is first.date_order, "Enter takes what was offered first"
    assert panel.sheet.questions.open == ()
    panel = room.look_at(path)
    room.press("2")
    room.settle()
    other = panel.understanding
    assert other is not None
    assert other.date_order is not first.date_order
    assert "you said so" in panel.sheet.words


def test_the_keyboard_never_leaves_the_panel(room: HeatRoom, tmp_path: Path) -> None:
    rows = [f"0{n}/06/2021 12:00,6{n}.0" for n in range(1, 7)]
    path = write(tmp_path / "either.csv", "when,T", *rows)
    panel = room.look_at(path)
    while panel.sheet.questions.open:
        assert panel.isAncestorOf(room.page.focusWidget())
        room.press("2")
        room.settle()
    assert room.page.focusWidget() is panel.sheet.series.fields[0]
    panel.head.path.setText(str(tmp_path / "absent.csv"))
    panel.look()
    room.settle()
    assert room.page.focusWidget() is panel.head.path


def test_nothing_is_cut_at_the_right_at_large_text(
    room: HeatRoom, tmp_path: Path
) -> None:
    room.theme.set_scale(2.0)
    panel = room.look_at(plain_hours(tmp_path / "attic.csv"))
    room.page.grab()
    ground = panel.sheet.widget()
    assert ground is not None
    assert ground.width() <= panel.sheet.viewport().width()


def test_an_open_question_stops_the_entry(room: HeatRoom, tmp_path: Path) -> None:
    rows = [f"2021-06-0{n} 12:00;{60 + n}.0" for n in range(1, 8)]
    panel = room.look_at(write(tmp_path / "f.csv", "when;Temp", *rows))
    (doubt,) = panel.sheet.questions.open
    assert doubt.about == "unit"
    assert doubt.taken == "f"
    panel.accept()
    assert "question is open" in panel.head.message
    assert taken(room) == []
    room.press("1", Key.Key_Return)
    room.settle()
    # 61 °F is (61 - 32) · 5/9 °C, by the definition of the scale.
    assert taken(room)[0] == pytest.approx((61 - 32) * 5 / 9)


def test_a_yes_to_what_was_taken_reads_nothing_again(
    room: HeatRoom, tmp_path: Path
) -> None:
    rows = [f"2021-06-0{n} 12:00;{60 + n}.0" for n in range(1, 8)]
    panel = room.look_at(write(tmp_path / "f.csv", "when;Temp", *rows))
    before = panel.read_so_far
    room.press("1")
    assert panel.read_so_far is before
    assert panel.sheet.questions.open == ()
    assert not panel.head.is_working


def test_another_unit_is_read_anew(room: HeatRoom, tmp_path: Path) -> None:
    panel = room.look_at(plain_hours(tmp_path / "attic.csv", unit="°F"))
    panel.sheet.columns.unit_chosen.emit(1, Unit.CELSIUS)
    room.settle()
    read = panel.read_so_far
    assert read is not None
    assert read.series[0].celsius[0] == 18.5


def test_columns_can_be_given_other_roles(room: HeatRoom, tmp_path: Path) -> None:
    rows = [f"2021-06-{n:02d} 12:00;{10 + n};{20 + n}" for n in range(1, 9)]
    path = write(tmp_path / "two.csv", "when;Temp (°C);Dew", *rows)
    panel = room.look_at(path)
    assert panel.sheet.columns.role(2).currentText() == str(Role.UNUSED)
    assert not panel.sheet.columns.unit(2).isVisible()
    panel.sheet.columns.role_chosen.emit(2, Role.TEMPERATURE)
    room.settle()
    read = panel.read_so_far
    assert read is not None
    assert [one.celsius[0] for one in read.series] == [11.0, 21.0]
    assert panel.sheet.columns.unit(2).isVisible()


def test_columns_go_to_the_places_they_name_and_to_new_ones(
    room: HeatRoom, tmp_path: Path
) -> None:
    rows = [f"2021-06-{n:02d} 12:00;{10 + n};{20 + n};{n}" for n in range(1, 9)]
    head = "when;Porch °C;Cellar °C;Loft °C"
    panel = room.look_at(write(tmp_path / "three.csv", head, *rows))
    fields = panel.sheet.series.fields
    assert [field.currentText() for field in fields] == ["Porch", "", ""]
    fields[1].setCurrentText("Cellar")
    panel.accept()
    room.settle()
    names = {p.name: p.id for p in room.book.all(PlaceRow)}
    assert "Loft" not in names
    assert taken(room, names["Cellar"]) == [20.0 + n for n in range(1, 9)]
    assert taken(room, names["Porch"]) == [10.0 + n for n in range(1, 9)]
    room.session.take_back()
    assert "Cellar" not in {p.name for p in room.book.all(PlaceRow)}


def test_two_columns_for_one_place_are_refused(room: HeatRoom, tmp_path: Path) -> None:
    rows = [f"2021-06-{n:02d} 12:00;{10 + n};{20 + n}" for n in range(1, 9)]
    panel = room.look_at(write(tmp_path / "two.csv", "when;A °C;B °C", *rows))
    while panel.sheet.questions.open:
        room.press("1")
    for field in panel.sheet.series.fields:
        field.setCurrentText("Attic")
    panel.accept()
    room.settle()
    assert "A place has one temperature" in panel.head.message
    assert panel.sheet.isEnabled(), "nothing typed is lost"
    assert taken(room) == []


def test_no_place_at_all_is_refused(room: HeatRoom, tmp_path: Path) -> None:
    panel = room.look_at(plain_hours(tmp_path / "attic.csv"))
    panel.sheet.series.fields[0].setCurrentText("")
    panel.accept()
    assert "at least one column" in panel.head.message


def test_the_same_file_again_is_refused_in_words(
    room: HeatRoom, tmp_path: Path
) -> None:
    path = plain_hours(tmp_path / "attic.csv")
    for _ in range(2):
        room.look_at(path)
        room.press(Key.Key_Return)
        room.settle()
    assert (
        "all 48 temperatures are in the book already" in room.importing().head.message
    )
    assert len(room.book.all(ReadingImportRow)) == 3


def test_what_the_book_has_already_is_said_before_it_is_taken_in(
    room: HeatRoom, tmp_path: Path
) -> None:
    path = plain_hours(tmp_path / "attic.csv")
    panel = room.look_at(path)
    room.settle()
    (words,) = panel.sheet.series.words
    assert words.endswith("18.5° to 24.5°; all new")
    room.press(Key.Key_Return)
    room.settle()

    longer = plain_hours(tmp_path / "attic.csv", 60)
    text = longer.read_text(encoding="utf-8").replace(";19.5", ";21.5")
    longer.write_text(text, encoding="utf-8")
    panel = room.look_at(longer)
    room.settle()
    (words,) = panel.sheet.series.words
    assert "; 12 new, 48 in the book already (7 differ by up to 2.0°, and" in words
    panel.sheet.series.fields[0].setCurrentText("Loft")
    room.settle()
    assert panel.sheet.series.words[0].endswith("; all new")
    panel.sheet.series.fields[0].setCurrentText("")
    room.settle()
    assert panel.sheet.series.words[0].endswith("°")


@pytest.mark.parametrize(
    ("name", "words"),
    [("absent.csv", "not there"), ("", "Name a file first"), (".", "a folder")],
)
def test_what_is_no_file_is_said(
    room: HeatRoom, tmp_path: Path, name: str, words: str
) -> None:
    room.press("I")
    panel = room.importing()
    panel.head.path.setText(str(tmp_path / name) if name else "")
    QTest.keyClick(panel.head.path, Key.Key_Return)
    room.settle()
    assert words in panel.head.message
    assert not panel.head.is_working


def test_a_file_of_something_else_is_said(room: HeatRoom, tmp_path: Path) -> None:
    panel = room.look_at(write(tmp_path / "letter.txt", "Dear Ana,", "the moths"))
    assert "could not be read as temperatures" in panel.head.message
    room.press(Key.Key_Escape)
    assert room.page.panel is None


def test_a_pasted_address_of_a_file_is_a_path(room: HeatRoom, tmp_path: Path) -> None:
    folder = tmp_path / "from the attic"
    folder.mkdir()
    path = plain_hours(folder / "a b.csv")
    room.press("I")
    panel = room.importing()
    for typed in (path.as_uri(), f'"{path}"', f"  {path} "):
        panel.head.path.setText(typed)
        assert panel.head.chosen() == path


def test_a_file_can_be_looked_for(room: HeatRoom, tmp_path: Path) -> None:
    path = plain_hours(tmp_path / "attic.csv")
    room.press("I", Key.Key_F3)
    panel = room.importing()
    dialog = panel.head.dialog
    assert isinstance(dialog, QFileDialog)
    dialog.fileSelected.emit(str(path))
    dialog.close()
    room.settle()
    assert panel.read_so_far is not None


def test_lines_set_aside_are_shown_before_and_kept_after(
    room: HeatRoom, tmp_path: Path
) -> None:
    path = plain_hours(tmp_path / "attic.csv")
    text = path.read_text(encoding="utf-8").splitlines()
    text[10], text[20] = "2021-06-01 09:00;broken", "no date at all;21.5"
    panel = room.look_at(write(path, *text))
    read = panel.read_so_far
    assert read is not None
    assert sum(read.set_aside_counts.values()) == 2
    assert {one.line for one in read.set_aside} == {11, 21}
    room.press(Key.Key_Return)
    room.settle()
    assert "46 readings" in room.page.notices.words
    assert "2 set aside" in room.page.notices.words
    room.page.imports.setFocus()
    room.press(Key.Key_Return)
    shown = room.page.panel
    assert isinstance(shown, AsidePanel)
    assert [line.cells[0] for line in shown.lines] == ["11", "21"]
    assert shown.lines[0].cells[1] == "2021-06-01 09:00;broken"
    room.press(Key.Key_Escape)
    assert room.page.panel is None


def test_a_stopped_reading_adds_nothing(room: HeatRoom, tmp_path: Path) -> None:
    path = plain_hours(tmp_path / "long.csv", 120_000)
    room.press("I")
    panel = room.importing()
    panel.head.path.setText(str(path))
    QTest.keyClick(panel.head.path, Key.Key_Return)
    room.bot.waitUntil(lambda: panel.understanding is not None, timeout=10_000)
    assert panel.head.is_working
    panel.leave()
    room.settle()
    assert "stopped" in panel.head.message.lower()
    assert panel.read_so_far is None
    assert room.page.panel is panel, "the first Esc stops, the second leaves"
    panel.accept()
    room.settle()
    assert panel.read_so_far is not None, "Enter looks again"


def test_a_stopped_writing_adds_nothing_or_tells(
    room: HeatRoom, tmp_path: Path
) -> None:
    panel = room.look_at(plain_hours(tmp_path / "long.csv", 60_000))
    panel.accept()
    panel.leave()
    room.settle()
    many = span(room.book, ATTIC).number
    assert many in {0, 60_000}
    if many:
        assert "Taken in" in room.page.notices.words
    else:
        assert "Stopped" in panel.head.message
    assert room.book.unsound() == ()


def test_leaving_the_panel_while_it_reads_is_harmless(
    room: HeatRoom, tmp_path: Path
) -> None:
    path = plain_hours(tmp_path / "long.csv", 40_000)
    room.press("I")
    panel = room.importing()
    panel.head.path.setText(str(path))
    QTest.keyClick(panel.head.path, Key.Key_Return)
    room.page.close_panel()
    room.settle()
    assert room.page.panel is None
    assert room.page.body.isVisible()


def test_another_clock_moves_the_readings(room: HeatRoom, tmp_path: Path) -> None:
    panel = room.look_at(plain_hours(tmp_path / "attic.csv"))
    first = panel.read_so_far
    panel.head.zone.setText("UTC+01:00")
    panel.head.zone.editingFinished.emit()
    room.settle()
    second = panel.read_so_far
    assert first is not None
    assert second is not None
    # In June Ljubljana's clocks stand at UTC+2, a fixed winter clock at UTC+1.
    assert int(second.series[0].at_s[0] - first.series[0].at_s[0]) == 3600
    panel.head.zone.setText("Nowhere/At all")
    panel.head.zone.editingFinished.emit()
    room.settle()
    assert "Nowhere/At all" in panel.head.message


def test_every_field_of_the_panel_has_a_name(room: HeatRoom, tmp_path: Path) -> None:
    rows = [f"0{n}/06/2021 12:00,2{n}.0" for n in range(1, 7)]
    panel = room.look_at(write(tmp_path / "either.csv", "when,T", *rows))
    for widget in panel.findChildren(QWidget):
        if widget.isVisible() and widget.focusPolicy().value & 1:
            face = QAccessible.queryAccessibleInterface(widget)
            assert face.text(QAccessible.Text.Name) or widget.focusProxy(), widget
