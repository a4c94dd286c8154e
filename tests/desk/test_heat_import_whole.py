"""Whole files through the Heat page: real weather, and every row accounted for."""

from __future__ import annotations

import csv
import datetime as dt
import math
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PySide6.QtWidgets import QPlainTextEdit
from vega_datasets import local_data

from rearing.desk.widgets.form import EntryForm
from rearing.records.book import Book
from rearing.records.readings import daily_between
from rearing.records.rows import PlaceRow, ReadingImportRow
from tests.desk.heat_room import HeatRoom, Key, fill, taken, write

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


def test_seattles_daily_weather_goes_in_whole(room: HeatRoom) -> None:
    """Against the csv module: four years of days (NOAA, in `vega_datasets`)."""
    path = Path(local_data.seattle_weather.filepath)
    panel = room.look_at(path)
    while panel.sheet.questions.open:
        at = panel.sheet.questions.open[0]
        room.press("1" if at.taken != "f" else "2")
        room.settle()
    panel.sheet.series.fields[0].setCurrentText("Seattle")
    panel.accept()
    room.settle()
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    seattle = next(p.id for p in room.book.all(PlaceRow) if p.name == "Seattle")
    days, low, high = daily_between(
        room.book, seattle, dt.date(2012, 1, 1), dt.date(2016, 1, 1)
    )
    assert len(days) == len(rows) == 1461
    assert math.fsum(low) == pytest.approx(
        math.fsum(float(r["temp_min"]) for r in rows)
    )
    assert math.fsum(high) == pytest.approx(
        math.fsum(float(r["temp_max"]) for r in rows)
    )
    assert room.page.span.last == dt.date(2015, 12, 31), "the page turns to them"


def test_every_row_is_taken_known_or_set_aside(room: HeatRoom, tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    start = dt.datetime(2021, 6, 1)  # noqa: DTZ001 # a wall clock
    rows = []
    for n in range(2000):
        when = f"{start + dt.timedelta(minutes=10 * n):%Y-%m-%d %H:%M}"
        odd = rng.random()
        value = "--" if odd < 0.02 else f"{rng.normal(20, 3):.1f}"
        rows.append(f"{when if odd < 0.98 else 'lost'};{value}")
    first = write(tmp_path / "first.csv", "time;T °C", *rows[:1200])
    whole = write(tmp_path / "whole.csv", "time;T °C", *rows)
    for path in (first, whole):
        panel = room.look_at(path)
        read = panel.read_so_far
        room.press(Key.Key_Return)
        room.settle()
    assert read is not None
    aside = sum(read.set_aside_counts.values())
    assert aside > 20
    assert len(taken(room)) + aside + read.blanks == 2000
    known = read.kept - room.book.all(ReadingImportRow)[-1].number
    assert f"{known:,} in the book already" in room.page.notices.words


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("kitchen_shelf-2021-06.csv", "Kitchen shelf"),
        ("Porch 12 June.csv", "Porch"),
        ("porches.csv", "Attic"),
        ("readings.csv", "Attic"),
    ],
)
def test_the_place_a_files_name_speaks_of_is_offered(
    room: HeatRoom, tmp_path: Path, name: str, place: str
) -> None:
    rows = [f"2021-06-20 {n:02d}:00;2{n % 10}.5" for n in range(24)]
    panel = room.look_at(write(tmp_path / name, "time;T °C", *rows))
    assert panel.sheet.series.fields[0].currentText() == place


def test_what_disagrees_with_the_book_is_told(room: HeatRoom, tmp_path: Path) -> None:
    rows = [f"2021-06-01 {n:02d}:00;25.0" for n in range(24)]
    path = write(tmp_path / "kitchen shelf.csv", "time;T °C", *rows, "2021-06-20;25")
    room.look_at(path)
    room.press(Key.Key_Return)
    room.settle()
    # The shelf stands at 20° by night and 24° by day (computed, heat_room).
    told = room.page.notices.words or room.importing().head.message
    assert "24 differ by up to 5.0°, and the book's stay" in told


def test_a_forecast_is_typed_and_shown_and_taken_back(room: HeatRoom) -> None:
    room.press(Key.Key_Up, "F")
    form = room.page.panel
    assert isinstance(form, EntryForm)
    text = form.input("text")
    assert isinstance(text, QPlainTextEdit)
    text.setPlainText("13 June 9 21\n14.6. 10/23")
    form.accept()
    course = room.page.course
    assert "14 June 10° to 23°" in course.forecast.words
    assert "typed 12 June for 13–14 June" in course.forecast.words
    assert room.words_of("Forecast")
    assert "Rule" not in course.notes(), "nothing else outdoors was read"
    room.session.take_back()
    assert not room.words_of("Forecast")
