"""The program in a real window on a real X screen, driven by the keyboard alone.

Never skipped: without a screen to be had it fails and names the Debian packages.
"""

from __future__ import annotations

import shutil
import signal
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage

from rearing.belongings import sample
from rearing.desk.book_stand import SAMPLE
from rearing.records.book import Book
from rearing.records.rows import BoxVisitRow, HeadcountRow, LayingRow
from rearing.terms import Visit
from tests.desk.real_screen import HEIGHT, WIDTH, Screen, until

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.records.rows import Row

ON = "2021-06-12"
TITLE = "Robu – Rearing"
NOTICE = QRect(150, 26, WIDTH - 160, 34)
"""Where a notice stands, above the head of the page."""
FORM = QRect(150, 600, WIDTH - 160, 160)
"""Where a form opens, at the foot of the page."""


@pytest.fixture
def screen(tmp_path: Path) -> Iterator[Screen]:
    made = Screen(tmp_path)
    yield made
    made.close()


class Season:
    """The sample season in a book of its own, read while the program writes."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "season.rearing"
        shutil.copy(sample(SAMPLE), self.path)

    def all(self, kind: type[Row]) -> int:
        return int(self._ask(f"SELECT count(*) FROM {kind.TABLE.__tablename__}"))

    def last(self) -> str:
        return self._ask("SELECT sentence FROM change ORDER BY id DESC LIMIT 1")

    def _ask(self, question: str) -> str:
        # a reader that never holds the writer up
        with closing(sqlite3.connect(f"file:{self.path}?mode=ro", uri=True)) as bare:
            return str(bare.execute(question).fetchone()[0])


@pytest.fixture
def season(tmp_path: Path) -> Season:
    return Season(tmp_path)


def shades(picture: QImage, part: QRect) -> int:
    """Return how many different colours a part of a picture has."""
    return len(
        {
            picture.pixel(x, y)
            for x in range(part.left(), part.right(), 2)
            for y in range(part.top(), part.bottom(), 2)
        }
    )


def changed(screen: Screen, before: QImage, part: QRect, what: str) -> QImage:
    """Wait until a part of the screen is another picture, and return it all."""

    def other() -> QImage | None:
        now = QImage(str(screen.shoot(screen.folder / "now.png")))
        return None if now.copy(part) == before.copy(part) else now

    found = until(other, what)
    assert found is not None
    return found


@pytest.mark.slow
def test_a_newcomer_feeds_counts_asks_and_takes_back_by_keyboard(
    screen: Screen, season: Season, tmp_path: Path
) -> None:
    before = {kind: season.all(kind) for kind in (BoxVisitRow, LayingRow, HeadcountRow)}
    screen.start([str(season.path), "--on", ON], tmp_path)
    screen.window(TITLE)

    # feed a box: one key
    screen.press("f")
    until(lambda: season.all(BoxVisitRow) == before[BoxVisitRow] + 1, "the visit")
    fed = season.last()
    with Book.open(season.path) as book:
        visit = book.all(BoxVisitRow)[-1]
    assert visit.what is Visit.FED
    assert visit.on.isoformat() == ON
    assert visit.host

    # record the eggs of a night: the form knows whose and which night is next
    shut = QImage(str(screen.shoot(tmp_path / "shut.png")))
    screen.press("F2", "e")
    changed(screen, shut, FORM, "the form to open")
    # Enter at once: what is still needed gets the keyboard, wherever it stands
    screen.press("Return")
    screen.type("17")
    screen.press("Return")
    until(lambda: season.all(LayingRow) == before[LayingRow] + 1, "the eggs")
    with Book.open(season.path) as book:
        assert book.all(LayingRow)[-1].number == 17
    screen.press("Escape")

    # ask which brood hatches next: the answer stands above the page
    quiet = QImage(str(screen.shoot(tmp_path / "before.png")))
    screen.press("ctrl+h")

    asked = changed(screen, quiet, NOTICE, "the answer")
    assert shades(asked, NOTICE) > 8  # written words, smoothed at their edges

    # take both back, and the book is as it was but for its journal
    screen.press("ctrl+z")
    until(lambda: season.last().startswith("Taken back: 17 eggs"), "the eggs undone")
    screen.press("ctrl+z")
    until(lambda: season.last() == f"Taken back: {fed}", "the visit undone")
    assert {kind: season.all(kind) for kind in before} == before


@pytest.mark.slow
def test_the_window_is_painted_whole_and_closes_on_request(
    screen: Screen, season: Season, tmp_path: Path
) -> None:
    program = screen.start([str(season.path), "--on", ON], tmp_path)
    screen.window(TITLE)

    def painted() -> QImage | None:
        picture = QImage(str(screen.shoot(tmp_path / "round.png")))
        return picture if shades(picture, QRect(160, 90, 1000, 500)) > 40 else None

    picture = until(painted, "the round to be painted")
    assert picture is not None
    assert (picture.width(), picture.height()) == (WIDTH, HEIGHT)
    # by day, paper is light and ink is dark
    lightness = [
        picture.pixelColor(x, y).lightness()
        for x in range(160, WIDTH, 3)
        for y in range(90, 700, 3)
    ]
    assert sum(value > 200 for value in lightness) > 0.6 * len(lightness)
    assert min(lightness) < 80

    copies = season.path.with_name("season copies")
    until(lambda: list(copies.glob("*.rearing")), "the day's copy")
    screen.press("ctrl+q")
    until(lambda: program.poll() is not None, "the program to end")
    assert program.returncode == 0


@pytest.mark.slow
def test_what_was_answered_survives_the_power_going(
    screen: Screen, season: Season, tmp_path: Path
) -> None:
    before = season.all(BoxVisitRow)
    program = screen.start([str(season.path), "--on", ON], tmp_path)
    screen.window(TITLE)
    screen.press("f", "f", "f")
    until(lambda: season.all(BoxVisitRow) == before + 3, "three visits")
    program.send_signal(signal.SIGKILL)
    program.wait(timeout=20)
    with Book.open(season.path) as book:
        assert book.unsound() == ()
        assert len(book.all(BoxVisitRow)) == before + 3
