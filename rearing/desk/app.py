"""The program with its window: set up, opened on a book, and run until it is closed."""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.book_stand import BookStand
    from rearing.desk.starting import Desk

SETTINGS_FILE = "window.ini"


def run(book_path: Path | None, *, on: dt.date | None = None) -> int:
    """Open the window on a book, and return the exit code when it is closed.

    Without a path the book of last time is opened; where there was none, the window
    offers to begin one. `on` shows the book as on a day; without it a book that says
    so itself (the sample season) is shown as on its own day.
    """
    desk, stand = lay_open(book_path, on=on)
    desk.crash.install()
    code = int(desk.app.exec())
    stand.clear_away()
    return code


def lay_open(
    book_path: Path | None, *, on: dt.date | None = None
) -> tuple[Desk, BookStand]:
    """Set the desk up and lay a book open on it, or the welcome."""
    # Next to nothing made while starting is thrown away: looking for it costs a tenth
    # of the time to the first picture. What is there then is not looked through later.
    gc.disable()
    # PySide6 reads the source of every module imported after it, to see whether that is
    # written for PySide6 too: what needs no window comes first (by name, in order).
    import_module("rearing.keeping.round")
    from rearing.desk.book_stand import BookStand
    from rearing.desk.starting import set_up

    desk = set_up(sys.argv[:1], own_folder() / SETTINGS_FILE)
    stand = BookStand(desk, own_folder())
    last = Path(desk.settings.last_book) if desk.settings.last_book else None
    if book_path is not None:
        stand.begin_with(book_path, on=on)
    elif last is not None and last.is_file():
        stand.begin_with(last, on=on)
    else:
        stand.welcome()
    gc.freeze()
    gc.enable()
    return desk, stand


def own_folder() -> Path:
    """Return the folder of the workplace's own files, made if it isn't there."""
    told = os.environ.get("REARING_HOME")
    if told:
        folder = Path(told)
    else:
        from platformdirs import user_data_path

        folder = user_data_path("Rearing", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    return folder
