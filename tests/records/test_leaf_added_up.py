"""Leaf given, added up by the database, against each line read (invented visits)."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.leaf_given import leaf_given
from rearing.records.rows import BoxVisitRow
from rearing.terms import BoxKind, Visit

if TYPE_CHECKING:
    from pathlib import Path

NOON = dt.datetime(2021, 6, 20, 12, tzinfo=dt.UTC)
DAYS = [dt.date(2021, 6, day) for day in range(1, 21)]
CLOSED, BOXES, VISITS = 2, 5, 240


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = Book.make(tmp_path / "leaf.rearing")
    rng = np.random.default_rng(4)
    with made.change(Entry(NOON)) as pen:
        pen.say("Boxes that are given leaf.")
        brood = pen.add(t.Brood, code="B21-001", taxon="Aglia tau", opened_on=DAYS[0])
        pot = pen.add(t.EggPot, brood_id=brood, label="1", opened_on=DAYS[0])
        for label in range(1, BOXES + 1):
            pen.add(
                t.Box,
                brood_id=brood,
                label=str(label),
                kind=BoxKind.BOX,
                opened_on=DAYS[0],
                closed_on=DAYS[10] if label == CLOSED else None,
            )
        for _ in range(VISITS):
            # the fifth box has no visit at all
            box = int(rng.integers(0, BOXES))
            pen.add(
                t.BoxVisit,
                box_id=box or None,
                pot_id=None if box else pot,
                on=DAYS[rng.integers(len(DAYS))],
                what=tuple(Visit)[rng.integers(len(Visit))],
                host=("beech", "birch", "", None)[rng.integers(4)],
                grams=(None, None, 0.0, 12.5, 30.0)[rng.integers(5)],
            )
    return made


@pytest.mark.parametrize(("first", "last"), [(0, 19), (3, 12), (7, 7)])
def test_leaf_added_up_is_leaf_read_line_by_line(
    book: Book, first: int, last: int
) -> None:
    begin, end = DAYS[first], DAYS[last]
    given = leaf_given(book, begin, end)
    rows = book.all(
        BoxVisitRow,
        t.BoxVisit.on >= begin,
        t.BoxVisit.on <= end,
        order=(t.BoxVisit.on, t.BoxVisit.id),
    )
    assert given.weighed == tuple((v.on, v.host, v.grams) for v in rows if v.grams)
    bare = {v.on for v in rows if v.what.feeds and not v.grams}
    assert given.unweighed == bare
    hosts = {v.box_id: v.host for v in rows if v.host and v.box_id}
    if end >= DAYS[10]:
        hosts.pop(CLOSED, None)
    assert given.last_host == hosts


def test_no_day_is_told_of_that_was_not_asked_for(book: Book) -> None:
    given = leaf_given(book, DAYS[3], DAYS[12])
    days = {day for day, _, _ in given.weighed} | given.unweighed
    assert min(days) >= DAYS[3]
    assert max(days) <= DAYS[12]
    assert leaf_given(book, dt.date(2020, 1, 1), dt.date(2020, 12, 31)).weighed == ()
