"""How the number of a brood goes; every figure computed by hand from the entries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, care
from rearing.keeping.boxes import When
from rearing.keeping.course import course
from rearing.keeping.holding import holding
from rearing.records.book import Book
from rearing.terms import Cause
from tests.desk.karst_season import ON, Season, day, entry, write_season

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator
    from pathlib import Path

Kept = tuple[Book, Season]


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Kept]:
    with Book.make(tmp_path / "karst.rearing") as book:
        yield book, write_season(book)


def steps(kept: Kept, on: dt.date = ON) -> dict[dt.date, int]:
    book, season = kept
    held = holding(book, on, brood_id=season.tau_brood, all_ever=True)
    return {step.on: step.number for step in course(book, held)}


def test_eggs_add_up_night_by_night_and_fall_with_each_fate(kept: Kept) -> None:
    assert steps(kept) == {
        day(5, 7): 38,
        day(5, 8): 69,
        day(5, 9): 86,
        day(5, 26): 77,
        day(5, 27): 74,
        day(6, 17): 67,
        day(6, 20): 66,
        day(6, 24): 67,
    }


def test_putting_them_on_leaf_changes_no_number(kept: Kept) -> None:
    assert day(6, 3) not in steps(kept)


def test_a_day_sees_nothing_of_what_came_later(kept: Kept) -> None:
    assert max(steps(kept, day(5, 26))) == day(5, 26)


def test_what_is_in_a_closed_box_is_not_alive(kept: Kept) -> None:
    book, season = kept
    boxes.close_box(
        book, entry(ON), box_id=season.box_a, when=When(ON), sure=True, why="emptied"
    )
    assert steps(kept)[ON] == 51


def test_a_loss_entered_late_stands_on_its_own_day(kept: Kept) -> None:
    book, season = kept
    before = steps(kept)
    care.lose(
        book,
        entry(ON),
        box_id=season.box_b,
        lost=care.Lost(2, Cause.PREDATOR),
        when=When(day(6, 21)),
    )
    after = steps(kept)
    assert after[day(6, 21)] == before[day(6, 20)] - 2
    assert after[day(6, 24)] == before[day(6, 24)] - 2


def test_a_brood_without_eggs_has_no_course(tmp_path: Path) -> None:
    with Book.make(tmp_path / "empty.rearing") as book:
        assert course(book, holding(book, ON, all_ever=True)) == ()
