"""The last visits of each box, of several kinds at once (invented visits)."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.latest import last_visits, last_visits_of
from rearing.terms import BoxKind, Visit

if TYPE_CHECKING:
    from pathlib import Path

NOON = dt.datetime(2021, 6, 12, 12, tzinfo=dt.UTC)
FED = (Visit.FED, Visit.FED_AND_CLEANED)
CLEANED = (Visit.CLEANED, Visit.FED_AND_CLEANED)
VISITS = (
    (1, 10, Visit.FED_AND_CLEANED, 8),
    (1, 11, Visit.FED, None),
    (1, 11, Visit.FED, 9),
    (1, 11, Visit.ALL_WELL, 20),
    (2, 9, Visit.CLEANED, 8),
    (2, 12, Visit.FED_AND_CLEANED, 8),
    (3, 8, Visit.FED, 8),
)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = Book.make(tmp_path / "visits.rearing")
    day = dt.date(2021, 6, 1)
    with made.change(Entry(NOON)) as pen:
        pen.say("Boxes and visits.")
        brood = pen.add(t.Brood, code="B21-001", taxon="Aglia tau", opened_on=day)
        for label in "123":
            pen.add(
                t.Box,
                brood_id=brood,
                label=label,
                kind=BoxKind.BOX,
                opened_on=day,
                closed_on=dt.date(2021, 6, 9) if label == "3" else None,
            )
        for box_id, date, what, hour in VISITS:
            at = None if hour is None else NOON.replace(day=date, hour=hour)
            on = dt.date(2021, 6, date)
            pen.add(t.BoxVisit, box_id=box_id, on=on, at=at, what=what)
    return made


def test_each_kind_has_its_own_last_visit(book: Book) -> None:
    fed, cleaned = last_visits_of(book, dt.date(2021, 6, 11), FED, CLEANED)
    assert {key: row.id for key, row in fed.items()} == {1: 3}
    assert {key: row.id for key, row in cleaned.items()} == {1: 1, 2: 5}


def test_several_kinds_at_once_are_as_one_after_the_other(book: Book) -> None:
    for date in range(8, 13):
        on = dt.date(2021, 6, date)
        fed, cleaned = last_visits_of(book, on, FED, CLEANED)
        assert fed == last_visits(book, on, FED)
        assert cleaned == last_visits(book, on, CLEANED)


def test_a_closed_box_has_none(book: Book) -> None:
    assert 3 not in last_visits(book, dt.date(2021, 6, 12), FED)
    assert last_visits(book, dt.date(2021, 6, 8), FED)[3].id == 7
