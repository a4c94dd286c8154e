"""The lamp in a real window in red view: story 1 keyed against the clock.

Never skipped: without a screen to be had it fails and names the Debian packages.
"""

from __future__ import annotations

import datetime as dt
from time import monotonic
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QImage

from rearing.keeping.nights import Night, nights
from rearing.records.book import Book
from rearing.records.rows import MothRow
from rearing.terms import MothFate, Sex
from tests.desk.lamp_room import ELPENOR, EVENING, PYRI, QUERCUS, make
from tests.desk.real_screen import HEIGHT, WIDTH, Screen, until

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NEXT = EVENING + dt.timedelta(days=1)
SETTINGS = "[General]\nlast_page=2\nred_step=3\nversion=1\nview=red\n"
M, F, NOT = Sex.MALE, Sex.FEMALE, Sex.NOT_LOOKED


@pytest.fixture
def screen(tmp_path: Path) -> Iterator[Screen]:
    made = Screen(tmp_path)
    yield made
    made.close()


@pytest.fixture
def path(screen: Screen, tmp_path: Path) -> Path:
    """Return the book, opened in red as it was left."""
    book, home = make(tmp_path / "story.rearing"), tmp_path / "home"
    home.mkdir()
    (home / "window.ini").write_text(SETTINGS, encoding="utf-8")
    screen.start([str(book), "--on", f"{NEXT}"], home)
    screen.window("Hi")
    return book


def last_night(path: Path) -> Night:
    with Book.open(path) as book:
        return nights(book, NEXT)[0]


def is_red(picture: QImage) -> bool:
    """Tell whether something is shown, and nothing but red on black."""
    shades = [
        picture.pixelColor(x, y)
        for x in range(0, WIDTH, 4)
        for y in range(0, HEIGHT, 4)
    ]
    dark = all(shade.blue() == 0 and shade.green() <= 0x14 for shade in shades)
    return dark and any(shade.red() > 0x80 for shade in shades)


def test_story_1_is_keyed_in_red_within_ninety_seconds(
    screen: Screen, path: Path, tmp_path: Path
) -> None:
    shot = tmp_path / "red.png"
    until(lambda: is_red(QImage(str(screen.shoot(shot)))), "the page in red")

    begun = monotonic()
    night(screen)
    until(lambda: last_night(path).row.evening == EVENING, "the night")
    until(lambda: last_night(path).row.lamp_off, "the lamp out")
    screen.press("s", "2", "Return", "Return", "Return", "Return")
    until(lambda: last_night(path).is_corrected, "the second look")
    seconds = monotonic() - begun
    print(f"\nstory 1 keyed in a window in {seconds:.1f} s")  # noqa: T201

    assert seconds < 90
    assert is_red(QImage(str(screen.shoot(shot))))
    found = last_night(path)
    assert found.row.evening == EVENING
    assert found.lamp_hours == pytest.approx(4.83, abs=0.005)
    assert {(one.taxon, one.sex): one.number for one in found.totals} == {
        (PYRI, M): 12,
        (PYRI, F): 2,
        (QUERCUS, M): 4,
        (ELPENOR, NOT): 6,
    }
    assert [check.at.strftime("%H%M") for check in found.checks if check.at] == [
        "2015",
        "2130",
        "2245",
        "0000",
    ]
    with Book.open(path) as book:
        moths = {moth.code: moth.fate for moth in book.all(MothRow)}
    assert moths == {"W21-04": None, "W21-05": None, "W21-06": MothFate.NOT_FEMALE}


def night(screen: Screen) -> None:
    """Key the night as one from paper, since the wall's clock is another."""
    key(screen, "t2", "28 may\n", "\n2120\n", "\n17.5\n8/8, SW 2\n")
    key(screen, "o333", "c2215\n\n", "m11112", "o33", "c2330\n\n")
    key(screen, "m11111", "f111")
    screen.press("BackSpace")
    key(screen, "2o3", "k2\n\n3\n", "k\n\n\n\n\n", "c0045\n\n")
    key(screen, "m11122", "c0200\n\n", "x0210\n12\n3/8, SW 1, dew from 1:30\n")


def key(screen: Screen, *parts: str) -> None:
    """Type; a new line is the Enter key."""
    for part in parts:
        for number, words in enumerate(part.split("\n")):
            if number:
                screen.press("Return")
            if words:
                screen.type(words)
