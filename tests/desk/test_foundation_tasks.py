from __future__ import annotations

import sys
import threading
from functools import partial
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from rearing.desk import settings as workplace
from rearing.desk.crash import CrashHook, report_of
from rearing.desk.page import Page
from rearing.desk.starting import set_up
from rearing.desk.starting import show as show_window
from rearing.desk.tasks import Lane, Tasks
from rearing.desk.theme import View
from rearing.desk.window import Window
from rearing.problems import Problem, UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot


@pytest.fixture
def tasks(qapp: QApplication) -> Iterator[Tasks]:
    made = Tasks()
    yield made
    made.close()


def test_every_result_arrives_on_the_windows_thread(qtbot: QtBot, tasks: Tasks) -> None:
    here = threading.get_ident()
    results: list[int] = []
    threads: set[int] = set()

    def done(result: int) -> None:
        results.append(result)
        threads.add(threading.get_ident())

    for number in range(51):
        lane = Lane.FILES if number % 2 else Lane.SCIENCE
        tasks.run(partial(pow, number, 2), done=done, lane=lane)
    qtbot.waitUntil(lambda: not tasks.busy)
    assert sorted(results) == [n * n for n in range(51)]
    assert threads == {here}


def test_a_problem_goes_to_whoever_asked(qtbot: QtBot, tasks: Tasks) -> None:
    told: list[Problem] = []

    def job() -> None:
        raise UnreadableFile("Not a table of readings.")

    tasks.run(job, done=print, failed=told.append)
    qtbot.waitUntil(lambda: bool(told))
    assert [problem.sentence for problem in told] == ["Not a table of readings."]


def test_a_bug_goes_to_the_crash_page(
    qtbot: QtBot, tasks: Tasks, monkeypatch: pytest.MonkeyPatch
) -> None:
    caught: list[BaseException] = []
    monkeypatch.setattr(
        sys, "excepthook", lambda _kind, bug, _trace: caught.append(bug)
    )
    tasks.run(lambda: 1 // 0, done=print)
    qtbot.waitUntil(lambda: bool(caught))
    assert isinstance(caught[0], ZeroDivisionError)


def test_a_newer_job_of_the_same_topic_wins(qtbot: QtBot, tasks: Tasks) -> None:
    go_on = threading.Event()
    results: list[str] = []
    old = tasks.run(lambda: f"old {go_on.wait(10)}", done=results.append, topic="x")
    tasks.run(lambda: "new", done=results.append, topic="x")
    tasks.run(lambda: "other", done=results.append, topic="y")
    assert old.cancelled()
    go_on.set()
    qtbot.waitUntil(lambda: not tasks.busy)
    assert results == ["new", "other"]


def test_progress_is_told_until_it_is_cancelled(qtbot: QtBot, tasks: Tasks) -> None:
    token = tasks.token()
    shares: list[float] = []
    told_half = threading.Event()

    def progressed(share: float) -> None:
        shares.append(share)
        told_half.set()

    def job() -> str:
        token.progress(0.5)
        told_half.wait(10)
        while not token.cancelled():
            told_half.wait(0.001)
        token.progress(0.75)
        return "stopped"

    tasks.run(job, done=print, progressed=progressed, token=token)
    qtbot.waitUntil(lambda: shares == [0.5])
    token.cancel()
    qtbot.waitUntil(lambda: not tasks.busy)
    assert shares == [0.5]


def test_busy_is_told_once_for_many_jobs(qtbot: QtBot, tasks: Tasks) -> None:
    told: list[bool] = []
    tasks.busy_changed.connect(told.append)
    for _ in range(5):
        tasks.run(lambda: None, done=print)
    qtbot.waitUntil(lambda: told == [True, False])


def test_closing_ends_the_threads(qapp: QApplication) -> None:
    before = set(threading.enumerate())
    tasks = Tasks()
    token = tasks.token()

    def job() -> None:
        while not token.cancelled():
            pass

    tasks.run(job, done=print, token=token)
    assert set(threading.enumerate()) - before
    tasks.close()
    assert set(threading.enumerate()) == before


def test_a_bug_opens_one_page_with_a_report_to_copy(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.show()
    hook = CrashHook()
    hook.watch(window)
    for words in ("first", "second"):
        bug = ValueError(words)
        hook.caught(ValueError, bug, bug.__traceback__)
    page = hook.page
    assert page is not None
    page.copy()
    copied = QGuiApplication.clipboard().text()
    assert "ValueError: first" in copied
    assert "ValueError: second" in copied
    assert "Qt 6." in copied
    assert len(caplog.records) == 2
    page.close()
    qtbot.waitUntil(lambda: hook.page is None)


def test_the_report_says_where_it_happened() -> None:
    def faulty() -> None:
        raise KeyError("B21-04")

    with pytest.raises(KeyError) as caught:
        faulty()
    report = report_of(caught.type, caught.value, caught.tb)
    assert "in faulty" in report
    assert "Rearing" in report


def test_preferences_come_back_as_they_were(tmp_path: Path) -> None:
    path = tmp_path / "desk.ini"
    told = workplace.Settings(
        view=View.DARK, text_scale=1.4, last_book="/b ook.rearing", last_page=4
    )
    store = workplace.open_store(path)
    workplace.save(store, told)
    store.sync()
    assert workplace.load(workplace.open_store(path)) == told


def test_only_what_differs_is_written(tmp_path: Path) -> None:
    store = workplace.open_store(tmp_path / "desk.ini")
    workplace.save(store, workplace.Settings(text_scale=1.4))
    workplace.save(store, workplace.Settings(last_page=8))
    assert set(store.allKeys()) == {"version", "last_page"}


@pytest.mark.parametrize("nonsense", ["", "very dark", "12", "nan"])
def test_preferences_that_make_no_sense_are_the_defaults(
    tmp_path: Path, nonsense: str
) -> None:
    store = workplace.open_store(tmp_path / "desk.ini")
    store.setValue("view", nonsense)
    store.setValue("last_page", "four")
    store.setValue("text_scale", "large" if nonsense != "nan" else "nan")
    assert workplace.load(store) == workplace.Settings()


def test_the_window_opens_as_it_was_left(qtbot: QtBot, tmp_path: Path) -> None:
    class Heat(Page):
        number = 8
        title = "Heat"

    class Broods(Page):
        number = 4
        title = "Broods"

    def opened() -> Window:
        desk = set_up([], tmp_path / "desk.ini")
        window = Window(desk.theme, [Broods(desk.theme), Heat(desk.theme)])
        qtbot.addWidget(window)
        show_window(desk, window, book="season.rearing")
        desk.tasks.close()
        return window

    window = opened()
    assert window.page is window.page_at(4)
    window.open_page(8)
    window.theme.set_view(View.DARK)
    window.theme.set_scale(1.2)
    window.resize(640, 480)
    window.close()
    window = opened()
    assert window.page is window.page_at(8)
    assert window.theme.view is View.DARK
    assert window.theme.scale == 1.2
    assert (window.width(), window.height()) == (640, 480)
    window.close()
