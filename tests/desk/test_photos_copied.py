"""A copy made on purpose takes its pictures along, and the fresh sample leaves them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtWidgets import QFileDialog

from rearing.commands.sample import NAME, own_sample
from rearing.keeping.photos import add_photo, pictures_spoken_of
from rearing.records.book import Book
from rearing.records.pictures import Named, find, folder_of
from tests.desk.stand import Stand
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot


@pytest.fixture
def stand(qapp: QApplication, tmp_path: Path) -> Iterator[Stand]:
    made = Stand(tmp_path)
    made.open(made.sample())
    yield made
    made.close()


def put(stand: Stand, size: int) -> Named:
    add_photo(
        stand.book,
        stand.opened.session.entry(),
        subject="brood",
        subject_id=1,
        source=picture((size, 30)),
    )
    return pictures_spoken_of(stand.book)[-1]


def copied(stand: Stand, qtbot: QtBot, path: Path) -> None:
    stand.stand.ask_copy()
    dialog = stand.stand.dialog
    assert isinstance(dialog, QFileDialog)
    dialog.fileSelected.emit(str(path))
    dialog.reject()
    assert "to follow." in stand.window.said
    qtbot.waitUntil(lambda: "to follow" not in stand.window.said, timeout=10_000)


def test_the_pictures_follow_a_copy(stand: Stand, qtbot: QtBot, tmp_path: Path) -> None:
    named = [put(stand, 40), put(stand, 50)]
    away = tmp_path / "stick" / "carried away.rearing"
    away.parent.mkdir()

    copied(stand, qtbot, away)

    assert stand.window.said == (
        "Copied and checked: carried away.rearing, with 2 pictures."
    )
    assert all(find(away, one) is not None for one in named)


def test_a_picture_that_is_missing_is_counted(
    stand: Stand, qtbot: QtBot, tmp_path: Path
) -> None:
    named = [put(stand, 40), put(stand, 50)]
    lost = find(stand.book.path, named[0])
    assert lost is not None
    lost.unlink()

    copied(stand, qtbot, tmp_path / "away.rearing")

    assert stand.window.said.endswith("with 1 picture. 1 picture could not be found.")


def test_a_fresh_sample_leaves_the_pictures_with_the_one_written_in(
    tmp_path: Path,
) -> None:
    path = own_sample(tmp_path)
    folder_of(path).mkdir()

    own_sample(tmp_path, fresh=True)

    kept = tmp_path / f"{NAME.removesuffix('.rearing')}-earlier-1.rearing"
    assert folder_of(kept).is_dir()
    assert not folder_of(path).exists()
    Book.open(kept).close()
