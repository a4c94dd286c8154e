"""The last good season at once, and how good its windows have been, in the window."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from rearing.desk.looking_back import LookingBack
from rearing.desk.pages.broods_page import BroodsPage
from rearing.desk.pages.season_dots import figures
from rearing.desk.pages.season_honesty import HonestyPanel
from rearing.desk.pages.season_page import SeasonPage
from rearing.desk.session import Session
from rearing.desk.tasks import Tasks
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import leaf
from rearing.keeping.kept_season import kept_past
from rearing.keeping.last_good import last_change
from rearing.keeping.past_windows import Past, PastWindows, past_windows
from rearing.keeping.reach import reach
from rearing.records.book import Book
from rearing.science.honesty import Replayed
from rearing.sheets.shelf import load_all
from tests.desk.karst_season import ON, ZONE, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

SHELF = load_all()
SAMPLE_ON = dt.date(2021, 6, 20)


def evening() -> dt.datetime:
    return dt.datetime(2021, 6, 25, 20, tzinfo=ZONE)


@pytest.fixture
def tasks() -> Iterator[Tasks]:
    made = Tasks()
    yield made
    made.close()


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "karst.rearing") as made:
        write_season(made)
        yield made


def page_of(
    qtbot: QtBot, theme: Theme, session: Session, tasks: Tasks | None, folder: Path
) -> SeasonPage:
    page = SeasonPage(session, theme, tasks, folder=folder)
    session.changed.connect(page.refresh)
    qtbot.addWidget(page)
    page.resize(1140, 750)
    page.show()
    return page


def is_worked_out(page: SeasonPage) -> bool:
    return "worked out" not in page.head.heading.under and page.sheet.view is not None


def test_the_last_good_windows_are_there_before_anything_is_read(
    qtbot: QtBot, theme: Theme, book: Book, tasks: Tasks, tmp_path: Path
) -> None:
    first = page_of(qtbot, theme, Session(book, SHELF, evening, on=ON), None, tmp_path)
    qtbot.waitUntil(lambda: is_worked_out(first))
    good = first.sheet.view
    first.hide()
    again = page_of(qtbot, theme, Session(book, SHELF, evening, on=ON), tasks, tmp_path)
    qtbot.waitUntil(lambda: again.sheet.view is not None)
    assert again.head.heading.under == "Windows as of 20:00, being worked out"
    assert again.sheet.view == good
    assert again._facts is None
    qtbot.waitUntil(lambda: is_worked_out(again))
    assert again.sheet.view == good
    again.hide()


def test_d_asks_when_a_host_is_bare(
    qtbot: QtBot, theme: Theme, book: Book, tmp_path: Path
) -> None:
    session = Session(book, SHELF, evening, on=ON)
    page = page_of(qtbot, theme, session, None, tmp_path)
    qtbot.waitUntil(lambda: is_worked_out(page))
    page.focus_first()
    QTest.keyClick(page.sheet, Qt.Key.Key_D)
    form = page.panel
    assert isinstance(form, EntryForm)
    field = form.input("day")
    assert isinstance(field, QLineEdit)
    field.setText("10.11.2020")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert reach(book, ON).bare_on("beech", ON) == dt.date(2021, 11, 10)


def test_a_tree_that_is_closed_is_told_beneath(
    qtbot: QtBot, theme: Theme, book: Book, tmp_path: Path
) -> None:
    leaf.add_tree(book, entry(ON), name="Lane beech", host="beech")
    session = Session(book, SHELF, evening, on=ON)
    page = page_of(qtbot, theme, session, None, tmp_path)
    qtbot.waitUntil(lambda: is_worked_out(page))
    page.focus_first()
    QTest.keyClick(page.sheet, Qt.Key.Key_End)
    assert "Beech: open Lane beech." in page.sheet.words()


def test_an_empty_past_is_said_to_be_empty(
    qtbot: QtBot, theme: Theme, book: Book, tmp_path: Path
) -> None:
    session = Session(book, SHELF, evening, on=ON)
    page = page_of(qtbot, theme, session, None, tmp_path)
    qtbot.waitUntil(lambda: is_worked_out(page))
    page.focus_first()
    QTest.keyClick(page.sheet, Qt.Key.Key_H)
    assert isinstance(page.panel, HonestyPanel)
    words = page.panel.words
    assert "No window of a finished brood can be looked back on yet." in words
    assert "held" not in words


def test_how_good_they_were_is_worked_out_behind_and_kept(
    qtbot: QtBot, theme: Theme, tasks: Tasks, tmp_path: Path, built_copy: Path
) -> None:
    with Book.open(built_copy) as sample:
        session = Session(sample, SHELF, evening, on=SAMPLE_ON)
        looking = LookingBack(session, tasks, tmp_path)
        panel = HonestyPanel(theme, looking, "Saturnia pyri")
        qtbot.addWidget(panel)
        assert "are being replayed" in panel.words
        shares: list[float] = []
        looking.progressed.connect(shares.append)
        with qtbot.waitSignal(looking.changed, timeout=60_000):
            looking.ask()
        told = past_windows(sample, SHELF, SAMPLE_ON)
        assert told.of().words in panel.words
        assert shares
        for age in told.ages:
            assert figures(told.of(age=age)) in panel.words
        assert looking.is_current
        other = LookingBack(session, None, tmp_path)
        kept = other.told()
        assert kept is not None
        assert kept.answer == told
        leaf.add_tree(sample, entry(SAMPLE_ON), name="Lane", host="oak")
        assert not other.is_current
        panel.show_last()
        assert "as of Sun 20 June 2021, 20:00; being worked out again" in panel.words


def test_the_broods_page_says_how_good_such_windows_were(
    qtbot: QtBot, theme: Theme, book: Book, tmp_path: Path
) -> None:
    session = Session(book, SHELF, evening, on=ON)
    looking = LookingBack(session, None, tmp_path)
    page = BroodsPage(session, theme, looking)
    qtbot.addWidget(page)
    page.refresh()
    (tau, *_) = page._lines
    page.open(tau.id)
    assert " held; " not in page.sheet.beside.text()
    windows = tuple(replayed(held=at < 26) for at in range(31))
    told = PastWindows(ON, tuple(Past("B20-01", tau.taxon, one) for one in windows))
    kept_past(tmp_path).keep(book, ON, told, evening(), last_change(book))
    page.refresh()
    words = page.sheet.beside.text()
    # they were made at L4, and none at the age of these
    assert words == "Of 31 windows of its species 26 held; mean error 4 d."


def replayed(*, held: bool) -> Replayed:
    day = 86_400.0
    half = (5 if held else 1) * day
    return Replayed(
        "wander", "half", "L4", 0.0, 44 * day - half, 44 * day, 44 * day + half,
        40 * day, 40 * day,
    )  # fmt: skip
