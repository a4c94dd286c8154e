"""Copies: whole, compared, few, and never at the cost of the book."""

from __future__ import annotations

import datetime as dt
import sqlite3
import threading
from contextlib import closing
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.problems import StorageTrouble
from rearing.records import copies, schema
from rearing.records.book import Book
from rearing.records.engine import APPLICATION_ID
from rearing.records.rows import PlaceRow
from tests.records.filled_book import add_place, fill

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from rearing.records.journal import Entry

    Contents = Callable[[Path], dict[str, bytes]]

NOON = dt.datetime(2021, 6, 12, 12, 0, tzinfo=dt.UTC)
DAY = dt.timedelta(days=1)


def tables_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(path)) as connection:
        names = connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name"
        ).fetchall()
        return {
            name: connection.execute(f'SELECT * FROM "{name}"').fetchall()
            for (name,) in names
        }


def name_of(day: dt.date, clock: str = "120000") -> str:
    return f"Season {day} {clock} daily.rearing"


def test_a_copy_equals_the_book_in_every_table(filled: Book) -> None:
    # The book is open, and its latest entries are still in its log.
    copy = copies.copy_beside(filled.path, "by-hand", NOON)

    original = tables_of(filled.path)
    assert tables_of(copy) == original
    assert sum(bool(lines) for lines in original.values()) >= 18
    assert copy.parent.name == "Season copies"
    assert copy.name == "Season 2021-06-12 120000 by-hand.rearing"


def test_a_copy_stands_alone_and_opens_as_a_book(filled: Book, tmp_path: Path) -> None:
    into = tmp_path / "elsewhere" / "Carried.rearing"
    into.parent.mkdir()

    copies.copy_to(filled.path, into)

    assert [file.name for file in into.parent.iterdir()] == [into.name]
    with Book.open(into) as carried:
        assert carried.all(PlaceRow) == filled.all(PlaceRow)
        assert carried.journal() == filled.journal()
        assert carried.unsound() == ()


def test_a_copy_is_of_one_moment_while_others_write(path: Path, entry: Entry) -> None:
    stop = threading.Event()

    def write() -> None:
        with Book.open(path) as other:
            number = 0
            while not stop.is_set():
                number += 1
                add_place(other, entry, f"Place {number}")

    with Book.open(path) as book:
        fill(book, entry)
        writer = threading.Thread(target=write)
        writer.start()
        try:
            made = [copies.copy_beside(path, "busy", NOON + n * DAY) for n in range(8)]
        finally:
            stop.set()
            writer.join()

    for copy in made:
        with Book.open(copy) as copied:
            assert copied.unsound() == ()
            # One change a place: both are in the copy, or neither.
            places = [row.name for row in copied.all(PlaceRow)][1:]
            lines = [line.sentence for line in copied.journal(most=10**6)][::-1]
            assert lines[1:] == [f"New place {name}." for name in places]


def test_a_copy_is_never_made_over_another_file(filled: Book, tmp_path: Path) -> None:
    into = tmp_path / "Mine.txt"
    into.write_text("mine")

    with pytest.raises(StorageTrouble, match="left alone"):
        copies.copy_to(filled.path, into)

    assert into.read_text() == "mine"


def test_a_copy_of_nothing_makes_nothing(tmp_path: Path, contents: Contents) -> None:
    with pytest.raises(StorageTrouble, match="no book"):
        copies.copy_to(tmp_path / "Lost.rearing", tmp_path / "Copy.rearing")

    assert contents(tmp_path) == {}


def test_a_copy_that_fails_leaves_the_book_alone_and_nothing_half_made(
    path: Path, entry: Entry
) -> None:
    with Book.open(path) as book:
        fill(book, entry)
    whole = path.read_bytes()
    spoilt = whole[:8192] + b"\xa5" * (len(whole) - 8192)
    path.write_bytes(spoilt)

    with pytest.raises(StorageTrouble, match=r"Season\.rearing"):
        copies.copy_beside(path, "by-hand", NOON)

    assert path.read_bytes() == spoilt
    assert list(copies.folder_of(path).iterdir()) == []


def test_a_folder_of_copies_that_cannot_be_made_is_told(path: Path) -> None:
    copies.folder_of(path).write_text("a file in its place")

    with pytest.raises(StorageTrouble, match=r"Season\.rearing can't be written"):
        copies.keep_daily(path, NOON)


def test_a_copy_a_day_and_the_old_ones_thinned_out(path: Path) -> None:
    day = NOON
    for _ in range(40):
        assert copies.keep_daily(path, day) is not None
        assert copies.keep_daily(path, day + dt.timedelta(hours=3)) is None
        day += DAY

    kept = sorted(file.name for file in copies.folder_of(path).iterdir())
    # Computed by hand from 12 June to 21 July 2021: the last seven days, Sunday 11 July
    # and 4 July before them, and the last day of June.
    assert kept == [
        name_of(dt.date(2021, month, day_of_month))
        for month, day_of_month in [(6, 30), (7, 4), (7, 11)]
        + [(7, n) for n in range(15, 22)]
    ]


def test_thinning_out_leaves_every_other_file(path: Path) -> None:
    folder = copies.folder_of(path)
    folder.mkdir()
    others = [
        "Season 2001-01-01 120000 before-form-1.rearing",
        "Season daily.rearing",
        "Season 2001-13-41 120000 daily.rearing",
        "my own daily notes 2001-01-01.txt",
        "Garden 2001-01-01 120000 daily.rearing",
    ]
    for name in others:
        (folder / name).write_text(name)
    for n in range(30):
        (folder / name_of((NOON - (n + 1) * DAY).date())).write_text("old")

    copies.keep_daily(path, NOON)

    left = {file.name for file in folder.iterdir()}
    assert left >= set(others)
    assert name_of(NOON.date()) in left
    assert len(left) < 30


def test_a_book_named_after_a_day_or_with_brackets_is_thinned_out_too(
    tmp_path: Path, empty_file: Path
) -> None:
    path = tmp_path / "Season [2019-05-01].rearing"
    path.write_bytes(empty_file.read_bytes())

    for n in range(30):
        copies.keep_daily(path, NOON + n * DAY)
    assert copies.keep_daily(path, NOON + 29 * DAY) is None

    # Computed by hand: 5 to 11 July, Sundays 4 July, 27 and 20 June, and 30 June.
    assert len(list(copies.folder_of(path).iterdir())) == 11


@given(
    offsets=st.lists(st.integers(-900, 3), min_size=1, max_size=80),
    clock=st.sampled_from(["000000", "235959"]),
)
def test_thinning_out_keeps_the_newest_and_only_so_many(
    offsets: list[int], clock: str
) -> None:
    today = NOON.date()
    days = [today + dt.timedelta(days=n) for n in offsets]
    names = [name_of(day, clock if n % 2 else "120000") for n, day in enumerate(days)]
    names = sorted(set(names))

    gone = copies.superfluous(names, today)

    kept = [name for name in names if name not in gone]
    assert max(names) in kept
    assert set(gone) <= set(names)
    assert len(kept) <= 1 + 7 + 4 + 12
    # What is kept covers the newest seven days that have a copy, and four weeks.
    newest_days = sorted(set(days))[-7:]
    assert {name.split()[1] for name in kept} >= {str(day) for day in newest_days}
    # Thinned out once, there is nothing more to thin out.
    assert copies.superfluous(kept, today) == []


def older_book(path: Path, *, extra: str = "") -> None:
    """Make a book of form 0 by hand: named as a book, with no table yet."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("CREATE TABLE keepsake (text TEXT)")
        connection.execute("INSERT INTO keepsake VALUES ('pressed leaf')")
        if extra:
            connection.execute(extra)


def test_an_older_book_is_copied_and_brought_up_to_date(tmp_path: Path) -> None:
    path = tmp_path / "Old.rearing"
    older_book(path)
    before = tables_of(path)

    with Book.open(path, now=NOON) as book:
        assert book.unsound() == ()
        assert book.journal() == ()

    (copy,) = copies.folder_of(path).iterdir()
    assert copy.name == f"Old 2021-06-12 120000 before-form-{schema.VERSION}.rearing"
    assert tables_of(copy) == before
    assert tables_of(path)["keepsake"] == [("pressed leaf",)]
    assert int.from_bytes(path.read_bytes()[60:64], "big") == schema.VERSION


def test_an_older_book_is_refused_where_no_copy_can_be_named(
    tmp_path: Path, contents: Contents
) -> None:
    path = tmp_path / "Old.rearing"
    older_book(path)
    before = contents(tmp_path)

    with pytest.raises(StorageTrouble, match=r"Old\.rearing is of an older form"):
        Book.open(path)

    assert contents(tmp_path) == before


@pytest.mark.parametrize(
    "extra",
    [
        "CREATE TABLE brood (id INTEGER PRIMARY KEY)",
        "CREATE TABLE alembic_version AS SELECT '7777' AS version_num",
        "CREATE TABLE child (up INTEGER REFERENCES keepsake (text))",
    ],
    ids=["a table in the way", "a step unknown", "a line that points nowhere"],
)
def test_a_migration_that_fails_changes_nothing_and_names_the_copy(
    tmp_path: Path, extra: str
) -> None:
    path = tmp_path / "Odd.rearing"
    older_book(path, extra=extra)
    before = tables_of(path)

    with pytest.raises(StorageTrouble, match="Nothing in it was changed") as told:
        Book.open(path, now=NOON)

    (copy,) = copies.folder_of(path).iterdir()
    assert copy.name in told.value.sentence
    assert path.name in told.value.sentence
    assert tables_of(path) == tables_of(copy) == before


def test_no_migration_without_a_copy(tmp_path: Path) -> None:
    path = tmp_path / "Old.rearing"
    older_book(path)
    before = tables_of(path)
    copies.folder_of(path).write_text("a file in its place")

    with pytest.raises(StorageTrouble, match="folder of copies"):
        Book.open(path, now=NOON)

    assert tables_of(path) == before
