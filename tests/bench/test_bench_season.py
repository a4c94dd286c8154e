"""The season page with 300 broods: a frame costs what is in sight alone."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

from rearing.desk.fonts import load_families
from rearing.desk.pages.season_sheet import SeasonSheet
from rearing.desk.theme import Theme, View
from rearing.keeping.season_rows import season_rows
from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from tests.desk.karst_season import ON, write_season

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

    from rearing.keeping.season_rows import SeasonView

FRAME = 5.0
"""A frame may cost so many times what 2,000 plain strokes do. Where it was written
the strokes took 3.2 ms and the frame 11 ms, of the 16 ms that a screen gives."""
MANY, IN_SIGHT = 300, 12


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    made = Theme(qapp, load_families(), view=View.DAY)
    yield made
    made.deleteLater()


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> SeasonView:
    folder: Path = tmp_path_factory.mktemp("season")
    with Book.make(folder / "karst.rearing") as book:
        write_season(book)
        return season_rows(book, load_all(), ON)


def many(view: SeasonView, number: int) -> SeasonView:
    """Repeat the broods, each with a number of its own."""
    own = view.ribbons
    ribbons = tuple(
        replace(own[at % len(own)], brood_id=at, code=f"B{at:03}")
        for at in range(number)
    )
    return replace(view, ribbons=ribbons)


def shown(qtbot: QtBot, theme: Theme, view: SeasonView) -> SeasonSheet:
    sheet = SeasonSheet(theme)
    qtbot.addWidget(sheet)
    sheet.resize(1140, 680)
    sheet.show()
    sheet.tell(view)
    return sheet


def best(work: Callable[[], object], times: int = 15) -> float:
    """Return the least processor time of several runs [s]."""
    taken = []
    for _ in range(times):
        begun = time.process_time()
        work()
        taken.append(time.process_time() - begun)
    return min(taken)


class Strokes:
    """The bare kernel: short slanting lines, smooth, on a page of the same size."""

    def __init__(self) -> None:
        self._image = QImage(1140, 680, QImage.Format.Format_ARGB32_Premultiplied)

    def draw(self) -> None:
        painter = QPainter(self._image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for at in range(2000):
            x, y = at % 50 * 20, at // 50 * 15
            painter.drawLine(QPointF(x, y), QPointF(x + 14, y + 14))
        painter.end()


class Frames:
    """Scrolls a step and paints what is in sight, from top to bottom."""

    def __init__(self, sheet: SeasonSheet) -> None:
        self._sheet = sheet
        self._bar = sheet.verticalScrollBar()
        size = sheet.viewport().size()
        self._image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)

    def one(self) -> None:
        step = self._bar.value() + 23
        self._bar.setValue(step if step <= self._bar.maximum() else 0)
        self._sheet.viewport().render(self._image)


def test_a_frame_of_300_broods_costs_what_one_of_12_does(
    qtbot: QtBot, theme: Theme, season: SeasonView
) -> None:
    few = Frames(shown(qtbot, theme, many(season, IN_SIGHT)))
    all_ = Frames(shown(qtbot, theme, many(season, MANY)))
    few_s, all_s = best(few.one), best(all_.one)
    bare_s = best(Strokes().draw)
    told = (
        f"{all_s * 1e3:.1f} ms of 300, {few_s * 1e3:.1f} of 12, bare {bare_s * 1e3:.1f}"
    )
    assert all_s < 1.3 * few_s + 0.001, told
    assert all_s < FRAME * bare_s, told


def test_going_from_brood_to_brood_fits_into_a_frame(
    qtbot: QtBot, theme: Theme, season: SeasonView
) -> None:
    sheet = shown(qtbot, theme, many(season, MANY))
    ids = iter(range(3, MANY, 7))
    assert best(lambda: sheet.set_current(next(ids))) < FRAME * best(Strokes().draw)
