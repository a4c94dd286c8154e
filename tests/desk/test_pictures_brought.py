"""Pictures brought from elsewhere: never on the window's thread, kept a while."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QColor, QImage

from rearing.desk.pictures import Pictures, dimmed
from rearing.desk.tasks import Tasks
from rearing.records import pictures as store
from rearing.records.pictures import Named, offer, put
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from rearing.records.picture_files import Drawn


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "Season.rearing"


@pytest.fixture
def tasks(qtbot: QtBot) -> Iterator[Tasks]:
    made = Tasks()
    yield made
    made.close()


def test_a_picture_comes_later_and_is_then_there_at_once(
    qtbot: QtBot, book: Path, tasks: Tasks, monkeypatch: pytest.MonkeyPatch
) -> None:
    named = put(book, offer(picture((900, 600))))
    read_in: list[threading.Thread] = []
    small = store.small

    def watched(path: Path, which: Named) -> Drawn:
        read_in.append(threading.current_thread())
        return small(path, which)

    monkeypatch.setattr(store, "small", watched)
    held = Pictures(book, tasks)
    with qtbot.waitSignal(held.arrived) as came:
        assert held.small(named) is None
        assert held.small(named) is None, "asked for once only"

    assert came.args == [named]
    image = held.small(named)
    assert isinstance(image, QImage)
    assert (image.width(), image.height()) == (320, 213)
    assert len(read_in) == 1
    assert read_in[0] is not threading.main_thread()


def test_what_is_no_longer_waited_for_is_not_read(
    qtbot: QtBot, book: Path, tasks: Tasks
) -> None:
    named = [put(book, offer(picture((90 + n, 60)))) for n in range(4)]
    held = Pictures(book, tasks)
    gate = threading.Event()
    held.work(gate.wait, lambda _: None, lambda _: None)
    for one in named:
        assert held.small(one) is None
    held.leave_waiting()
    gate.set()
    qtbot.waitUntil(lambda: not tasks.busy)

    assert not (store.folder_of(book) / "small").exists()
    with qtbot.waitSignal(held.arrived):
        assert held.small(named[0]) is None, "it can be asked for again"


def test_only_the_last_size_of_a_picture_is_read(
    qtbot: QtBot, book: Path, tasks: Tasks
) -> None:
    named = put(book, offer(picture((900, 600))))
    held = Pictures(book, tasks)
    gate = threading.Event()
    held.work(gate.wait, lambda _: None, lambda _: None)
    for size in range(100, 600, 100):
        assert held.large(named, size, size) is None
    came: list[object] = []
    held.arrived.connect(came.append)
    gate.set()
    qtbot.waitUntil(lambda: not tasks.busy)

    assert came == [named]
    image = held.large(named, 500, 500)
    assert isinstance(image, QImage)
    assert image.width() == 500


def test_a_missing_picture_is_looked_for_again_when_asked(
    qtbot: QtBot, book: Path
) -> None:
    data = picture()
    named = offer(data).named
    held = Pictures(book, None)

    assert "not in Season.pictures" in str(held.small(named))
    put(book, offer(data))
    assert isinstance(held.small(named), str)
    held.look_again()
    assert isinstance(held.small(named), QImage)


def test_a_large_picture_fits_its_frame(qtbot: QtBot, book: Path) -> None:
    named = put(book, offer(picture((900, 600))))

    image = Pictures(book, None).large(named, 300, 300)

    assert isinstance(image, QImage)
    assert (image.width(), image.height()) == (300, 200)


def test_a_dimmed_picture_is_darker_than_the_ink(qtbot: QtBot) -> None:
    white = QImage(4, 4, QImage.Format.Format_RGB888)
    white.fill(QColor("white"))

    shaded = dimmed(white, QColor("#E41200")).pixelColor(1, 1)

    assert 100 < shaded.red() < 0xE4
    assert shaded.blue() == 0
    assert shaded.green() <= 0x12
