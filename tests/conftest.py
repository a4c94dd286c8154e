"""What every test gets: no screen needed, fresh settings, and guards against leaks."""

from __future__ import annotations

import logging
import os
import shutil
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

# before anything imports Qt; a real screen is asked for by setting it oneself
os.environ["QT_QPA_PLATFORM"] = os.environ.get("QT_QPA_PLATFORM") or "offscreen"

_QT_FIXTURES = {"qapp", "qtbot", "qtmodeltester"}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if _QT_FIXTURES & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.gui)


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a sample book built just now; nobody writes into it."""
    from sample_db.making.book import build

    path = tmp_path_factory.mktemp("season") / "built.rearing"
    build(path)
    return path


@pytest.fixture(scope="module")
def built_copy(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a copy of the built sample book for one module's tests."""
    return Path(shutil.copy(built, tmp_path_factory.mktemp("season")))


@pytest.fixture(autouse=True)
def no_unexpected_warnings(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test during which our own code logs a warning or worse.

    A test that expects one asks for `caplog` and looks at it itself.
    """
    kept: list[logging.LogRecord] = []
    handler = logging.Handler(logging.WARNING)
    handler.emit = kept.append  # type: ignore[assignment,method-assign]  # a list will do
    ours = logging.getLogger("rearing")
    ours.addHandler(handler)
    yield
    ours.removeHandler(handler)
    if kept and "caplog" not in request.fixturenames:
        pytest.fail(f"logged: {[record.getMessage() for record in kept]}")


@pytest.fixture(autouse=True)
def nothing_left_behind(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a window test that leaves a thread, a window, a timer or a hook behind."""
    if not _QT_FIXTURES & set(request.fixturenames):
        yield
        return
    threads, hook = set(threading.enumerate()), sys.excepthook
    yield
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    app = QApplication.instance()
    assert isinstance(app, QApplication)
    left = [thread.name for thread in threading.enumerate() if thread not in threads]
    assert not left, f"threads still run: {left}; call Tasks.close()"
    shown = [w for w in QApplication.topLevelWidgets() if w.isVisible()]
    assert not shown, f"still shown: {shown}; add them to qtbot or close them"
    running = [timer for timer in app.findChildren(QTimer) if timer.isActive()]
    assert not running, f"timers still run: {running}"
    assert sys.excepthook is hook, "sys.excepthook was not given back"
