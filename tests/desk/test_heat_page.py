from __future__ import annotations

import datetime as dt
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget

from rearing.desk.pages.heat_page import HeatPage
from rearing.desk.pages.heat_span import LENGTHS, Span
from rearing.desk.pages.heat_thresholds import ThresholdForm
from rearing.desk.session import Session
from rearing.desk.theme import View
from rearing.keeping.temperatures_in import Arriving, FileOrigin, take_file_in
from rearing.records.book import Book
from tests.desk.heat_room import (
    HOUR_S,
    ON,
    SHELF,
    HeatRoom,
    Key,
    evening,
    fill,
    midnight_s,
)

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
        yield made
        made.close()


def cells(room: HeatRoom) -> list[tuple[str, ...]]:
    return [tuple(str(c) for c in line.cells) for line in room.page.places.lines()]


def test_places_stand_in_walking_order_with_what_they_rest_on(room: HeatRoom) -> None:
    assert cells(room) == [
        (
            "Kitchen shelf",
            "22.0°",
            "Read 1 April to 12 June 2021",
            "set point 21°",
            "1,752 readings",
        ),
        ("Porch", "13.0°", "Read 1 January 2020 to 11 June 2021", "", "528 days"),
        ("Attic", "", "Nothing: not read, no set point", "", ""),
    ]


def test_the_sum_is_that_of_the_hours(room: HeatRoom) -> None:
    room.page.count_with(type(room.page.count)(10.0, None))
    # 12 h at 24° and 12 h at 20°: 12 degree-days above 10° each day (computed).
    assert room.page.head.heading.verdict == "360 degree-days"
    room.press("W")
    assert room.page.head.heading.verdict == "84 degree-days"
    room.page.count_with(type(room.page.count)(10.0, 22.0))
    assert room.page.head.heading.verdict == "77 degree-days"
    assert "12.0 a day" not in room.page.course.heat.words
    assert "11.0 a day" in room.page.course.heat.words


def test_keys_move_and_size_the_span(room: HeatRoom) -> None:
    assert room.page.span == Span(ON, 30)
    room.press(Key.Key_Left)
    assert room.page.span == Span(dt.date(2021, 5, 28), 30)
    room.press(Key.Key_Right, Key.Key_Right)
    assert room.page.span == Span(ON, 30), "there is nothing to see after today"
    room.press("+")
    assert room.page.span.length == 60
    assert room.words_of("Temperature") == "Temperature by day"
    room.press("-", "-")
    assert room.page.span.length == 14
    room.press("y")
    assert room.page.span.length == 365
    for _ in LENGTHS:
        room.press("+")
    assert room.page.span.length == max(LENGTHS)
    for _ in LENGTHS:
        room.press("-")
    assert room.page.span.length == min(LENGTHS)


def test_another_place_is_chosen_with_the_arrows(room: HeatRoom) -> None:
    room.press(Key.Key_Down)
    assert "Porch" in room.page.head.heading.words
    assert room.words_of("Temperature") == "Temperature by day", "only days were read"
    assert "coldest 8.0°" in room.page.course.warmth.words
    assert "warmest 18.0°" in room.page.course.warmth.words
    room.page.show_target("place", 1)
    assert "Kitchen shelf" in room.page.head.heading.words


def test_the_chosen_place_stays_marked_while_a_form_is_open(room: HeatRoom) -> None:
    room.press(Key.Key_Down)
    before = room.page.places.height()
    room.press("T")
    assert not room.page.places.hasFocus()
    assert room.page.places.grown_row() == 1
    assert room.page.places.height() == before


def test_a_place_without_readings_says_what_to_do(room: HeatRoom) -> None:
    room.press(Key.Key_Down, Key.Key_Down)
    assert "I takes in" in room.page.course.warmth.words
    assert room.words_of("Degree-days") == ""
    assert room.words_of("Imports") == ""
    assert room.page.head.heading.verdict == ""


def test_a_span_without_readings_says_so(room: HeatRoom) -> None:
    room.press("W", *[Key.Key_Left] * 40)
    assert room.page.course.warmth.words.startswith("Nothing was read")
    assert room.words_of("Degree-days") == ""


def test_a_hole_makes_the_sum_a_least(room: HeatRoom) -> None:
    start = midnight_s(dt.date(2021, 1, 1))
    days = np.r_[0:5, 40:60]
    at_s = (start + 24 * HOUR_S * days[:, None] + HOUR_S * np.arange(24)).ravel()
    column = Arriving("T", new_place="Shed", at_s=at_s, celsius=np.full(at_s.size, 9.0))
    room.session.do(take_file_in, origin=FileOrigin("shed.csv"), arriving=[column])
    room.page.show_target("place", 4)
    room.page.show_taken([4])
    room.press("+", "+")
    assert room.page.span == Span(dt.date(2021, 3, 1), 90)
    assert room.page.head.heading.verdict.startswith("At least ")
    assert "nobody knows" in room.page.course.warmth.words
    assert "not in the sum" in room.page.course.heat.words


def test_odd_readings_are_named_and_not_counted(room: HeatRoom) -> None:
    at_s = midnight_s(dt.date(2021, 6, 1)) + 600 * np.arange(144)
    celsius = np.full(144, 20.0)
    celsius[70] = 61.0
    column = Arriving("T", place_id=3, at_s=at_s, celsius=celsius)
    room.session.do(take_file_in, origin=FileOrigin("attic.csv"), arriving=[column])
    room.press(Key.Key_Down, Key.Key_Down)
    # The seventieth ten minutes after midnight is 11:40.
    assert "Tue 1 June 11:40 61.0°" in room.page.course.odd.words
    assert room.words_of("Odd") == "Odd "
    assert "warmest 20.0°" in room.page.course.warmth.words


def test_thresholds_come_from_a_species(room: HeatRoom) -> None:
    room.press("T")
    form = room.page.panel
    assert isinstance(form, ThresholdForm)
    form.input("taxon").focus_part().setFocus()
    form.input("taxon").setCurrentText("Orthosia hibisci")  # type: ignore[union-attr]  # a combo box
    form.input("stage").setCurrentText("egg")  # type: ignore[union-attr]  # a combo box
    form.accept()
    # Judd et al. 1994, Can. Entomol. 126:1263-1275: eggs from 3.4 °C.
    assert room.page.count.taxon == "Orthosia hibisci"
    assert room.page.count.lower_c == 3.4
    assert "egg of Orthosia hibisci" in room.page.course.heat.words


@pytest.mark.parametrize(
    ("lower", "upper", "words"),
    [("", "", "somewhere"), ("50", "", "°F"), ("10", "9", "above the lower")],
)
def test_impossible_thresholds_are_refused_in_place(
    room: HeatRoom, lower: str, upper: str, words: str
) -> None:
    before = room.page.count
    room.press("T")
    form = room.page.panel
    assert isinstance(form, ThresholdForm)
    form.input("lower").line.setText(lower)  # type: ignore[union-attr]  # an amount
    form.input("upper").line.setText(upper)  # type: ignore[union-attr]  # an amount
    form.accept()
    assert words in form.message("lower") + form.message("upper")
    assert room.page.count == before


def test_typed_thresholds_are_nobodys(room: HeatRoom) -> None:
    room.press("T")
    form = room.page.panel
    assert isinstance(form, ThresholdForm)
    form.input("lower").line.setText("11,5")  # type: ignore[union-attr]  # an amount
    form.accept()
    assert room.page.count.lower_c == 11.5
    assert "as typed" in room.page.course.heat.words


def test_an_entry_elsewhere_leaves_the_page_alone(room: HeatRoom) -> None:
    class Elsewhere:
        def concerns(self, kind: str) -> bool:
            return kind == "box"

    before = room.page.course.course
    room.page.refresh(Elsewhere())
    assert room.page.course.course is before


def test_another_day_shows_the_readings_up_to_it(room: HeatRoom) -> None:
    room.session.show_on(dt.date(2021, 5, 1))
    assert room.page.span == Span(dt.date(2021, 5, 1), 30)
    assert cells(room)[0][2] == "Read 1 April to 1 May 2021"
    # 31 days by the hour, computed
    assert cells(room)[0][4] == "744 readings"


def test_many_readings_are_read_beside_the_page(room: HeatRoom) -> None:
    start = midnight_s(dt.date(2021, 4, 1))
    at_s = np.arange(start, midnight_s(ON), 30)
    column = Arriving("T", place_id=3, at_s=at_s, celsius=np.full(at_s.size, 19.0))
    room.session.do(take_file_in, origin=FileOrigin("fast.csv"), arriving=[column])
    room.press(Key.Key_Down, Key.Key_Down)
    assert room.page.head.heading.under == "reading…"
    room.settle()
    assert "19.0° on the mean" in room.page.course.warmth.words
    course = room.page.course.course
    assert course is not None
    assert course.line.row.name == "Attic"


def test_turning_away_drops_a_reading_that_is_under_way(room: HeatRoom) -> None:
    start = midnight_s(dt.date(2021, 4, 1))
    at_s = np.arange(start, midnight_s(ON), 30)
    column = Arriving("T", place_id=3, at_s=at_s, celsius=np.full(at_s.size, 19.0))
    room.session.do(take_file_in, origin=FileOrigin("fast.csv"), arriving=[column])
    room.press(Key.Key_Down, Key.Key_Down, Key.Key_Up)
    room.settle()
    assert "Porch" in room.page.head.heading.words
    assert "13.0° on the mean" in room.page.course.warmth.words


def test_the_drawing_library_waits_for_the_first_chart() -> None:
    ask = (
        "import sys, rearing.desk.pages.heat_page, rearing.desk.pages.import_panel;"
        "print([m for m in ('matplotlib', 'fontTools') if m in sys.modules])"
    )
    told = subprocess.run(
        [sys.executable, "-c", ask], capture_output=True, text=True, check=True
    )
    assert told.stdout.strip() == "[]"


def test_charts_are_drawn_with_their_sentence_beside_them(room: HeatRoom) -> None:
    chart = room.page.course.charts()[0]
    room.bot.waitExposed(room.page)
    assert chart.canvas is not None
    chart.canvas.draw()
    axes = chart.canvas.figure.axes[0]
    assert len(axes.get_lines()) >= 2
    assert "on the mean" in chart.accessibleDescription()


@pytest.mark.parametrize("view", [View.DAY, View.DARK])
@pytest.mark.parametrize("scale", [0.8, 1.6, 2.5])
def test_the_page_follows_the_view(room: HeatRoom, view: View, scale: float) -> None:
    room.theme.set_view(view)
    room.theme.set_scale(scale)
    from matplotlib.colors import to_hex

    tokens = room.theme.look.tokens
    for chart in room.page.course.charts():
        assert chart.canvas is not None
        chart.canvas.draw()
        face = to_hex(chart.canvas.figure.get_facecolor())
        assert face == tokens.page.lower()
        for axes in chart.canvas.figure.axes:
            for label in axes.get_yticklabels():
                assert label.get_fontsize() == pytest.approx(9.5 * scale)
    shot = room.page.grab().toImage()
    assert len({shot.pixel(x, 300) for x in range(0, shot.width(), 3)}) > 3


def test_every_key_of_the_page_is_in_its_help(room: HeatRoom) -> None:
    told = "\n".join(lines for _, lines in room.page.key_help())
    for offer in room.page.places.lines()[0].keys:
        assert offer.cap in told, offer


def test_everything_that_takes_the_keyboard_has_a_name(room: HeatRoom) -> None:
    for opened in ("", "T"):
        room.press(*opened)
        for widget in room.page.findChildren(QWidget):
            if widget.isVisible() and widget.focusPolicy().value & 1:
                face = QAccessible.queryAccessibleInterface(widget)
                name = face.text(QAccessible.Text.Name)
                assert name or widget.focusProxy(), widget


def test_an_empty_book_says_what_comes_first(
    qtbot: QtBot, theme: Theme, tmp_path: Path
) -> None:
    with Book.make(tmp_path / "new.rearing") as book:
        page = HeatPage(Session(book, SHELF, evening, on=ON), theme)
        qtbot.addWidget(page)
        page.refresh(None)
        page.show()
        assert "No place is entered yet" in page.quiet.words
        assert "P" in page.hints()


def test_a_touched_import_can_be_taken_back_on_the_page(room: HeatRoom) -> None:
    at_s = midnight_s(dt.date(2021, 6, 1)) + HOUR_S * np.arange(48)
    column = Arriving("T", new_place="Cellar", at_s=at_s, celsius=np.full(48, 11.0))
    room.session.do(take_file_in, origin=FileOrigin("c.csv"), arriving=[column])
    assert [line[0] for line in cells(room)][-1] == "Cellar"
    room.session.take_back()
    assert [line[0] for line in cells(room)] == ["Kitchen shelf", "Porch", "Attic"]
    assert room.book.unsound() == ()
