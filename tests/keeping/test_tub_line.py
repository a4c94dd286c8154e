"""What a tub asks for: only larvae that went down in it need the quiet.

That a tub lies still for 14 days after the last wanderer is common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, eggs, facts, lamp, mothers, places
from rearing.keeping.boxes import Origin, When
from rearing.keeping.round import round_of
from rearing.keeping.round_lines import Task
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, EggFate, Stage

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

LAID, CARRIED = dt.date(2021, 5, 7), dt.date(2021, 7, 10)


def entry(day: dt.date) -> Entry:
    return Entry(dt.datetime.combine(day, dt.time(20), dt.UTC))


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Return a book with a cage of ten and an empty tub."""
    with Book.make(tmp_path / "tub.rearing") as made:
        first = entry(LAID)
        facts.set_home(made, first, name="Home", zone_name="UTC")
        lamp.add_site(made, first, name="Site", latitude=45, longitude=14, zone="UTC")
        places.add_place(made, first, name="Hall", set_point_c=18)
        lamp.record_night(made, first, site_id=1, evening=LAID, lamp="actinic")
        mothers.keep_female(made, first, night_id=1, taxon="Aglia tau")
        eggs.record_eggs(
            made,
            first,
            parents=eggs.Parents(1),
            evening=LAID,
            number=10,
            pot=eggs.Pot(place_id=1),
        )
        hatched = LAID + dt.timedelta(days=14)
        eggs.record_fate(
            made, entry(hatched), pot_id=1, fate=EggFate.HATCHED, number=10, on=hatched
        )
        for kind, day in ((BoxKind.CAGE, hatched), (BoxKind.TUB, CARRIED)):
            boxes.open_box(
                made, entry(day), brood_id=1, kind=kind, place_id=1, when=When(day)
            )
        boxes.move_animals(
            made,
            entry(hatched),
            origin=Origin(pot_id=1),
            to_box_id=1,
            number=10,
            when=When(hatched),
        )
        yield made


@pytest.mark.parametrize(
    ("stage", "days", "task"),
    [
        (Stage.WANDERING, 13, Task.LEAVE_ALONE),
        (Stage.WANDERING, 14, Task.LOOK),
        (None, 13, Task.LEAVE_ALONE),
        (Stage.PUPA, 1, Task.NOTHING),
        (Stage.PUPA, 30, Task.NOTHING),
    ],
)
def test_a_tub_is_left_alone_for_wanderers_only(
    book: Book, stage: Stage | None, days: int, task: Task
) -> None:
    boxes.move_animals(
        book,
        entry(CARRIED),
        origin=Origin(box_id=1),
        to_box_id=2,
        number=10,
        when=When(CARRIED),
        stage=stage,
    )
    found = round_of(
        book, load_all(), CARRIED + dt.timedelta(days=days), everything=True
    )
    (line,) = (line for line in found.lines if line.id == 2)

    assert line.task is task
