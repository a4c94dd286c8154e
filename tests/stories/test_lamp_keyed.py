"""Story 1 keyed through the lamp's page: a busy sheet, a wrong key, a wrong sex.

Every number is the invented scenario's own. That the night is dated by its evening,
and that both sexes add to the night's total after every correction, is common
practice, no source.
"""

from __future__ import annotations

import datetime as dt
from time import perf_counter
from typing import TYPE_CHECKING

import pytest

from rearing.desk.fonts import load_families
from rearing.desk.theme import Theme, View
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import DeterminationRow, MothRow
from rearing.terms import Known, MothFate, Sex
from tests.desk.lamp_room import (
    BACK,
    ELPENOR,
    ENTER,
    EVENING,
    PYRI,
    QUERCUS,
    ZONE,
    Room,
    make,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

M, F, NOT = Sex.MALE, Sex.FEMALE, Sex.NOT_LOOKED


@pytest.fixture
def room(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> Iterator[Room]:
    theme = Theme(qapp, load_families(), view=View.RED)
    with Book.open(make(tmp_path / "story.rearing")) as book:
        yield Room(qtbot, theme, book)
    theme.deleteLater()


def close(room: Room) -> None:
    """Close the check at the time it is, no temperature."""
    room.press("c", ENTER, ENTER)


def keyed(room: Room) -> None:
    """Key the night, from dusk to lamp out."""
    room.press(ENTER, ENTER, ENTER, ENTER, "17.5", ENTER, "8/8, SW 2", ENTER)
    room.set_clock(22, 15)
    room.press("o", "333")
    close(room)
    room.set_clock(23, 30)
    room.press("m", "1111", "2", "o", "33")
    close(room)
    room.set_clock(0, 45)
    room.press("m", "11111", "f", "111", BACK, "2", "o", "3")
    close(room)
    room.set_clock(0, 50)
    room.press("k", "2", ENTER, ENTER, "3", ENTER)
    room.press("k", ENTER, ENTER, ENTER, ENTER, ENTER)
    room.set_clock(2)
    room.press("m", "111", "22")
    close(room)
    room.set_clock(2, 10)
    room.press("x", ENTER, "12", ENTER, "3/8, SW 1, dew from 1:30", ENTER)


def test_the_busy_night_is_keyed_to_the_figure(room: Room) -> None:
    begun = perf_counter()
    keyed(room)
    seconds = perf_counter() - begun
    print(f"\nstory 1 keyed off screen in {seconds:.1f} s")  # noqa: T201

    found = room.night()
    assert found.row.evening == EVENING
    assert room.totals() == {
        (PYRI, M): 12,
        (PYRI, F): 2,
        (QUERCUS, M): 3,
        (QUERCUS, F): 1,
        (ELPENOR, NOT): 6,
    }
    assert found.lamp_hours == pytest.approx(4.83, abs=0.005)
    assert len(found.checks) == 4
    assert (found.row.start_c, found.row.end_c) == (17.5, 12.0)
    codes = {moth.code: moth.container for moth in found.kept}
    assert codes == {"W21-05": "bag 1", "W21-06": "bag 2"}
    assert "4.83 lamp-hours" in room.echo


def test_the_second_look_next_morning_makes_a_male_of_w21_06(room: Room) -> None:
    keyed(room)
    room.set_clock(8, 10)
    room.press("s", "2", ENTER, ENTER, ENTER, ENTER)

    assert room.totals()[QUERCUS, M] == 4
    assert (QUERCUS, F) not in room.totals()
    before = {(one.taxon, one.sex): one.number for one in room.night().first_totals}
    assert (before[QUERCUS, M], before[QUERCUS, F]) == (3, 1)
    moth = room.book.find(MothRow, t.Moth.code == "W21-06")
    assert moth is not None
    assert moth.fate is MothFate.NOT_FEMALE
    (call,) = room.book.all(DeterminationRow)
    assert (call.who, call.sex) == ("N. K.", M)
    assert room.echo.startswith("M. quercus 3 ♂ 1 ♀ → M. quercus 4 ♂.")


def test_the_night_the_clock_jumps_is_keyed(room: Room) -> None:
    """Story 2: 02:30 does not exist; what is typed then is kept as about."""
    spring = dt.date(2021, 3, 27)
    room.clock.now = dt.datetime(2021, 3, 28, 9, tzinfo=ZONE)
    room.page.refresh(None)
    room.press("t", "2", "27 march", ENTER, "15 W actinic", ENTER, "1850", ENTER)
    room.press(ENTER, "9", ENTER, "calm", ENTER)
    assert room.row.evening == spring
    room.press("g", "1", "Endromis", ENTER, "f", "1")
    room.press("c", "0230", ENTER)
    assert "Was it 01:30 or 03:30?" in room.page.board.ask.refusal
    room.press("0330", ENTER, "4.5", ENTER)
    room.press("x", "0410", ENTER, "4.5", ENTER, ENTER)

    found = room.night()
    assert found.lamp_hours == pytest.approx(8 + 20 / 60)
    (check,) = found.checks
    assert check.known is Known.ABOUT
    assert check.at == dt.datetime(2021, 3, 28, 3, 30, tzinfo=ZONE)
