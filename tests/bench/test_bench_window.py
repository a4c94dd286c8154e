"""The window with the sample season, against an empty window and the bare database."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from statistics import median
from typing import TYPE_CHECKING

import pytest

from rearing.belongings import sample
from rearing.desk.book_stand import SAMPLE

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

TIMES = 5

EMPTY = """
import os
import sys
from PySide6.QtWidgets import QApplication, QMainWindow
import sqlalchemy.orm

class Bare(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        os._exit(0)

app = QApplication(sys.argv)
bare = Bare()
bare.resize(1280, 800)
bare.show()
app.exec()
"""

FULL = """
import os
import sys
from pathlib import Path
from rearing.desk.app import lay_open

desk, stand = lay_open(Path(sys.argv[1]))
from PySide6.QtCore import QEvent, QObject

class Painted(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            watched.removeEventFilter(self)
            watched.event(event)  # the picture itself, then the end
            os._exit(0)
        return False

painted = Painted()
page = stand.open_book.window.page
page.sheet.list.viewport().installEventFilter(painted)
desk.app.exec()
"""


def seconds(code: str, *arguments: str, home: Path) -> float:
    env = {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        "REARING_HOME": str(home),
        # As installed: compiled once, whatever this machine says of writing it down.
        "PYTHONPYCACHEPREFIX": str(home / "compiled"),
    }
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    start = _spent()
    subprocess.run(
        [sys.executable, "-c", code, *arguments],
        env=env,
        check=True,
        capture_output=True,
        timeout=120,
    )
    return _spent() - start


def _spent() -> float:
    """Processor seconds of all ended children: what else runs here counts nothing."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


@pytest.mark.slow
def test_the_window_is_painted_in_little_more_than_an_empty_one(
    tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    book = tmp_path / "season.rearing"
    shutil.copy(sample(SAMPLE), book)
    seconds(EMPTY, home=tmp_path)
    seconds(FULL, str(book), home=tmp_path)  # the day's copy, and what Python compiles
    empty, full = [], []
    for _ in range(TIMES):
        empty.append(seconds(EMPTY, home=tmp_path))
        full.append(seconds(FULL, str(book), home=tmp_path))
    ratio = median(full) / median(empty)
    record_property("ratio", round(ratio, 2))
    print(f"empty {median(empty):.2f} s, ours {median(full):.2f} s")  # noqa: T201
    # computed on two shared cores: 1.25 s against 0.60 s
    assert ratio < 2.5
