"""Counts and stages of many boxes, read as bare columns."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.of_boxes import headcounts_of, stages_seen_in
from rearing.terms import BoxKind, Quality, Stage

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

DAY = dt.date(2021, 5, 30)
AT = dt.datetime(2021, 5, 30, 18, tzinfo=dt.UTC)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "boxes.rearing") as made:
        with made.change(Entry(AT)) as pen:
            brood = pen.add(t.Brood, code="B21-01", taxon="Aglia tau", opened_on=DAY)
            for label in ("A", "B"):
                pen.add(
                    t.Box,
                    brood_id=brood,
                    label=label,
                    kind=BoxKind.BOX,
                    opened_on=DAY,
                )
            for box, day, number in ((1, 2, 30), (2, 0, 12), (1, 0, 31)):
                pen.add(
                    t.Headcount,
                    box_id=box,
                    on=DAY + dt.timedelta(days=day),
                    number=number,
                    quality=Quality.EXACT,
                )
            pen.say("Two boxes")
        yield made


def look(book: Book, on: dt.date, counts: dict[Stage, tuple[int, int]]) -> int:
    with book.change(Entry(AT)) as pen:
        made = pen.add(t.StageLook, box_id=1, on=on, at=AT, quality=Quality.EXACT)
        for stage, (number, resting) in counts.items():
            pen.add(
                t.StageCount, look_id=made, stage=stage, number=number, resting=resting
            )
        pen.say("A look")
    return made


def test_counts_come_by_entry_and_no_later_than_the_day(book: Book) -> None:
    assert [tuple(one) for one in headcounts_of(book, [1, 2], DAY)] == [
        (2, DAY, None, 12, 2),
        (1, DAY, None, 31, 3),
    ]
    assert len(headcounts_of(book, [1], DAY + dt.timedelta(days=2))) == 2
    assert len(headcounts_of(book, [], DAY)) == 0


def test_looks_come_by_day_with_a_line_for_each_stage(book: Book) -> None:
    later = look(book, DAY + dt.timedelta(days=1), {Stage.L3: (5, 0)})
    first = look(book, DAY, {Stage.L2: (7, 2), Stage.L3: (4, 0)})
    found = stages_seen_in(book, [1, 2], DAY + dt.timedelta(days=5))
    assert [(one[1], one[3], *one[4:]) for one in found] == [
        (first, AT, Stage.L2, 7, 2),
        (first, AT, Stage.L3, 4, 0),
        (later, AT, Stage.L3, 5, 0),
    ]
    assert len(stages_seen_in(book, [1], DAY)) == 2


def test_a_look_at_which_nothing_was_counted_is_told(book: Book) -> None:
    empty = look(book, DAY, {})
    assert [tuple(one) for one in stages_seen_in(book, [1], DAY)] == [
        (1, empty, DAY, AT, None, None, None)
    ]
