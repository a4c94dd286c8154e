"""A theme and a lit desk for tests of windows."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.desk.fonts import load_families
from rearing.desk.theme import Theme, View
from rearing.records.book import Book
from tests.desk import entry_book, karst_season
from tests.desk.entry_desk import Desk
from tests.desk.karst_pages import Karst

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    """Return day colours at 100 %."""
    made = Theme(qapp, load_families(), view=View.DAY)
    yield made
    made.deleteLater()


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, entry_book.Ids]:
    """Return a closed book of one female, of which each test takes a copy."""
    book, ids = entry_book.make(tmp_path_factory.mktemp("book"))
    book.close()
    return book.path, ids


@pytest.fixture
def desk(
    qtbot: QtBot, theme: Theme, tmp_path: Path, written: tuple[Path, entry_book.Ids]
) -> Iterator[Desk]:
    """Return a desk on which entry forms are opened."""
    path, ids = written
    with Book.open(Path(shutil.copy(path, tmp_path))) as book:
        yield Desk(qtbot, theme, entry_book.session(book), ids)


@pytest.fixture(scope="session")
def season_written(
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Path, karst_season.Season]:
    """Return a closed book of a season, of which each test takes a copy."""
    path = tmp_path_factory.mktemp("season") / "karst.rearing"
    with Book.make(path) as book:
        season = karst_season.write_season(book)
    return path, season


@pytest.fixture
def karst(
    qtbot: QtBot,
    theme: Theme,
    tmp_path: Path,
    season_written: tuple[Path, karst_season.Season],
) -> Iterator[Karst]:
    """Return a session of the season, in which pages are opened."""
    path, season = season_written
    with Book.open(Path(shutil.copy(path, tmp_path))) as book:
        yield Karst(qtbot, theme, book, season)
