"""A filled book of an earlier form is brought up to date and loses nothing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from rearing.problems import StorageTrouble
from rearing.records import copies, schema
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import ForecastDayRow, PlaceFollowRow, PlaceRow
from tests.records.filled_book import fill

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.records.journal import Entry

LATER = {
    *("forecast_day", "place_follow"),
    *("away", "leaf_test", "measurement", "mixed_from", "photo", "set_apart"),
    *("sleeve_move", "tree_day"),
}
"""Tables that the first form had not."""

ADDED = (("box", "tools"), ("cut", "gone_on"))
"""Columns that the first form had not."""


def lines_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(path)) as connection:
        names = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table'"
        ).fetchall()
        return {
            name: connection.execute(f'SELECT * FROM "{name}"').fetchall()
            for (name,) in names
            if name != "alembic_version"
        }


@pytest.fixture
def first_form(path: Path, entry: Entry) -> Path:
    """Return a filled book as the first form left it."""
    with Book.open(path) as book:
        fill(book, entry)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for name in sorted(LATER):
            connection.execute(f"DROP TABLE {name}")
        for name, column in ADDED:
            connection.execute(f"ALTER TABLE {name} DROP COLUMN {column}")
        connection.execute("UPDATE alembic_version SET version_num = '0001'")
        connection.execute("PRAGMA user_version = 1")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


def test_a_filled_book_of_the_first_form_keeps_every_line(
    first_form: Path, entry: Entry
) -> None:
    before = lines_of(first_form)
    assert sum(map(len, before.values())) > 30
    with Book.open(first_form, now=entry.now) as book:
        assert book.unsound() == ()
        assert not book.all(ForecastDayRow)
        assert not book.all(PlaceFollowRow)
        place = book.all(PlaceRow)[0]
        with book.change(entry) as pen:
            day = {"place_id": place.id, "day": entry.on, "given_on": entry.on}
            pen.add(t.ForecastDay, low_c=9.0, high_c=21.0, **day)
            pen.say("A forecast")
        assert len(book.all(ForecastDayRow)) == 1
        book.take_back(entry)
        book.take_back(entry)  # the old book's last entry, by its old images
    (copy,) = copies.folder_of(first_form).iterdir()
    assert lines_of(copy) == before
    after = lines_of(first_form)
    assert set(after) == set(before) | LATER


def test_migrating_changes_no_line(first_form: Path, entry: Entry) -> None:
    before = lines_of(first_form)
    Book.open(first_form, now=entry.now).close()
    after = lines_of(first_form)
    added = dict.fromkeys((name for name, _ in ADDED), 1)
    as_it_was = {
        name: [line[: len(line) - added.get(name, 0)] for line in after[name]]
        for name in before
    }
    assert as_it_was == before
    assert int.from_bytes(first_form.read_bytes()[60:64], "big") == schema.VERSION


def test_a_book_of_the_first_form_is_left_alone_without_a_moment(
    first_form: Path,
) -> None:
    before = first_form.read_bytes()
    with pytest.raises(StorageTrouble, match="of an older form"):
        Book.open(first_form)
    assert first_form.read_bytes() == before
