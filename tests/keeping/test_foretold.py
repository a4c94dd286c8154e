"""Windows kept from one question to the next, and worked out again where they changed.

The sample's season is its own invention.
"""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.boxes import When
from rearing.keeping.care import visit
from rearing.keeping.foretold import foretold_of
from rearing.keeping.season import season
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import BoxRow
from rearing.sheets.shelf import load_all
from rearing.terms import Quality, Visit

if TYPE_CHECKING:
    from collections.abc import Iterator

SHELF = load_all()
ON = dt.date(2021, 6, 12)
ENTRY = Entry(dt.datetime(2021, 6, 12, 18, tzinfo=dt.UTC))


@pytest.fixture
def book(built: Path, tmp_path: Path) -> Iterator[Book]:
    with Book.open(Path(shutil.copy(built, tmp_path))) as opened:
        yield opened


def test_the_same_question_is_worked_out_once(book: Book) -> None:
    first = season(book, SHELF, ON)
    kept = len(foretold_of(book))
    assert kept > 0
    assert season(book, SHELF, ON) == first
    assert len(foretold_of(book)) == kept


def test_a_feeding_changes_no_window(book: Book) -> None:
    first = season(book, SHELF, ON)
    kept = len(foretold_of(book))
    box = book.all(BoxRow, t.Box.closed_on.is_(None))[0]
    visit(book, ENTRY, what=Visit.FED, when=When(ON), box_id=box.id, sure=True)
    assert season(book, SHELF, ON) == first
    assert len(foretold_of(book)) == kept


def test_another_day_has_windows_of_its_own(book: Book) -> None:
    season(book, SHELF, ON)
    later = season(book, SHELF, ON + dt.timedelta(days=3))
    with Book.open(book.path) as fresh:
        assert season(fresh, SHELF, ON + dt.timedelta(days=3)) == later


def test_what_changed_is_worked_out_as_if_nothing_were_kept(book: Book) -> None:
    before = season(book, SHELF, ON)
    with book.change(ENTRY) as pen:
        for box in book.all(BoxRow, t.Box.closed_on.is_(None)):
            pen.add(
                t.Headcount,
                box_id=box.id,
                on=ON,
                at=ENTRY.now,
                number=3,
                quality=Quality.EXACT,
            )
        pen.say("Three in each")
    after = season(book, SHELF, ON)
    with Book.open(book.path) as fresh:
        assert season(fresh, SHELF, ON) == after
    assert after != before
