"""What is not a good book is told in one sentence, and nothing is touched."""

from __future__ import annotations

import datetime as dt
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from rearing.problems import (
    LockedBook,
    NewerBook,
    NotABook,
    ReadOnlyBook,
    StorageTrouble,
)
from rearing.records import schema
from rearing.records.book import Book
from rearing.records.engine import APPLICATION_ID
from rearing.records.rows import NoteRow, PlaceRow
from tests.records.filled_book import add_place

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from rearing.problems import Problem
    from rearing.records.journal import Entry

    Contents = Callable[[Path], dict[str, bytes]]

NOW = dt.datetime(2021, 6, 12, 7, 30, tzinfo=dt.UTC)
# The eight bytes every PNG begins with (W3C, Portable Network Graphics, section 5.2).
PNG_SIGNATURE = bytes([137, 80, 78, 71, 13, 10, 26, 10])


def refusal_of(path: Path) -> Problem:
    with pytest.raises(StorageTrouble) as told:
        Book.open(path, now=NOW)
    assert path.name in told.value.sentence
    assert told.value.sentence.endswith(".")
    return told.value


def with_user_version(path: Path, version: int) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA user_version = {version}")


def test_a_book_that_is_not_there(tmp_path: Path, contents: Contents) -> None:
    trouble = refusal_of(tmp_path / "Lost.rearing")

    assert "There is no book" in trouble.sentence
    assert contents(tmp_path) == {}


def test_a_folder(tmp_path: Path) -> None:
    folder = tmp_path / "Folder.rearing"
    folder.mkdir()

    assert isinstance(refusal_of(folder), NotABook)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "inside",
    [
        b"",
        b"Saturnia pyri, 12 eggs\n" * 40,
        PNG_SIGNATURE + bytes(200),
        b"SQLite format 3\x00",
        b"SQLite format 3\x00" + bytes(84),
        b"SQLite format 2\x00" + bytes(400),
        bytes(4096),
    ],
    ids=["empty", "text", "picture", "cut head", "no head", "other form", "zeros"],
)
def test_a_file_that_is_something_else(
    tmp_path: Path, contents: Contents, inside: bytes
) -> None:
    path = tmp_path / "Something.rearing"
    path.write_bytes(inside)

    assert isinstance(refusal_of(path), NotABook)
    assert contents(tmp_path) == {path.name: inside}


def test_a_database_of_another_program(tmp_path: Path, contents: Contents) -> None:
    path = tmp_path / "Stamps.rearing"
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("CREATE TABLE stamp (id INTEGER PRIMARY KEY, country TEXT)")
        other.execute("INSERT INTO stamp (country) VALUES ('Carniola')")
    before = contents(tmp_path)

    trouble = refusal_of(path)

    assert isinstance(trouble, NotABook)
    assert "another program" in trouble.sentence
    assert contents(tmp_path) == before


def test_a_newer_book_names_both_forms(path: Path, contents: Contents) -> None:
    with_user_version(path, schema.VERSION + 3)
    before = contents(path.parent)

    trouble = refusal_of(path)

    assert isinstance(trouble, NewerBook)
    assert f"its form is {schema.VERSION + 3}" in trouble.sentence
    assert f"knows {schema.VERSION}" in trouble.sentence
    assert contents(path.parent) == before


def test_a_newer_book_whose_number_is_still_in_its_log(path: Path) -> None:
    with closing(sqlite3.connect(path)) as newer:
        # As after a crash: the new number stands in the log, not yet in the file.
        newer.execute("PRAGMA wal_autocheckpoint = 0")
        newer.execute("PRAGMA user_version = 99")
        assert int.from_bytes(path.read_bytes()[60:64], "big") == schema.VERSION

        assert isinstance(refusal_of(path), NewerBook)


def test_a_read_only_file(path: Path, contents: Contents) -> None:
    path.chmod(0o444)
    before = contents(path.parent)

    trouble = refusal_of(path)

    assert isinstance(trouble, ReadOnlyBook)
    assert contents(path.parent) == before
    assert path.stat().st_mode & 0o777 == 0o444


def test_a_read_only_folder(path: Path, contents: Contents) -> None:
    path.parent.chmod(0o555)
    try:
        before = contents(path.parent)
        trouble = refusal_of(path)
        after = contents(path.parent)
    finally:
        path.parent.chmod(0o755)

    assert isinstance(trouble, ReadOnlyBook)
    assert "folder" in trouble.sentence
    assert after == before


def test_a_book_held_by_another_program(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        before = path.read_bytes()

        assert isinstance(refusal_of(path), LockedBook)
        assert path.read_bytes() == before

    with Book.open(path) as book:
        assert book.unsound() == ()


def test_a_book_cut_short(path: Path, contents: Contents) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    before = contents(path.parent)

    trouble = refusal_of(path)

    assert "can't be read as it should be" in trouble.sentence
    assert contents(path.parent) == before


def test_a_book_spoilt_all_through(path: Path, contents: Contents) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:4096] + b"\xa5" * (len(whole) - 4096))
    before = contents(path.parent)

    trouble = refusal_of(path)

    assert "can't be read as it should be" in trouble.sentence
    assert contents(path.parent) == before


def test_a_book_spoilt_in_one_page_is_told_when_that_is_read(
    path: Path, entry: Entry
) -> None:
    with Book.open(path) as book:
        add_place(book, entry, "Shed")
    with closing(sqlite3.connect(path)) as connection:
        (page,) = connection.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'place'"
        ).fetchone()
    with path.open("r+b") as file:
        file.seek((page - 1) * 4096)
        file.write(b"\xa5" * 4096)

    with Book.open(path) as book:
        with pytest.raises(StorageTrouble, match=r"Season\.rearing can't be read"):
            book.all(PlaceRow)
        assert book.unsound() != ()


def test_the_check_of_a_book_finds_what_was_spoilt(path: Path, entry: Entry) -> None:
    with Book.open(path) as book:
        add_place(book, entry, "Shed")
    with closing(sqlite3.connect(path)) as careless, careless:
        careless.execute(
            "INSERT INTO egg_pot (brood_id, label, opened_on) VALUES (9, 'a', '2021')"
        )

    with Book.open(path) as book:
        assert book.unsound() == (
            "a line of egg_pot points at a missing line of brood",
        )


def test_a_full_disk_loses_one_entry_and_no_other(book: Book, entry: Entry) -> None:
    add_place(book, entry, "Shed")
    with book.engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")

    with pytest.raises(StorageTrouble, match=r"full.*Season\.rearing") as told:
        add_place(book, entry, "A" * 100_000)

    assert type(told.value) is StorageTrouble
    assert [row.name for row in book.all(PlaceRow)] == ["Shed"]
    assert [line.sentence for line in book.journal()] == ["New place Shed."]
    with book.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 1000000")
    add_place(book, entry, "Loft")
    assert book.unsound() == ()


def test_a_good_book_leaves_one_file_when_closed(path: Path, entry: Entry) -> None:
    with Book.open(path) as book:
        add_place(book, entry, "Shed")

    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_any_name_will_do(tmp_path: Path, entry: Entry) -> None:
    path = tmp_path / "Žolna & ash; 50% #1? 'a'.rearing"

    with Book.make(path) as book:
        add_place(book, entry, "Shed")
    with Book.open(path) as book:
        assert [row.name for row in book.all(PlaceRow)] == ["Shed"]


def test_a_new_book_is_never_made_over_another_file(tmp_path: Path) -> None:
    path = tmp_path / "Mine.rearing"
    path.write_text("not a book, but mine")

    with pytest.raises(StorageTrouble, match="left alone"):
        Book.make(path)

    assert path.read_text() == "not a book, but mine"


def test_a_new_book_needs_a_folder_that_can_be_written(
    tmp_path: Path, contents: Contents
) -> None:
    with pytest.raises(StorageTrouble, match="no folder"):
        Book.make(tmp_path / "nowhere" / "New.rearing")

    tmp_path.chmod(0o555)
    try:
        with pytest.raises(ReadOnlyBook, match=r"New\.rearing"):
            Book.make(tmp_path / "New.rearing")
    finally:
        tmp_path.chmod(0o755)
    assert contents(tmp_path) == {}


def test_a_new_book_may_lie_in_a_folder_of_a_read_only_one(tmp_path: Path) -> None:
    inner = tmp_path / "home" / "ana"
    inner.mkdir(parents=True)
    inner.parent.chmod(0o555)
    try:
        with Book.make(inner / "New.rearing") as book:
            assert book.all(NoteRow) == ()
    finally:
        inner.parent.chmod(0o755)


def test_what_a_crash_left_of_a_new_book_is_cleared_away(tmp_path: Path) -> None:
    (tmp_path / "New.rearing.unfinished").write_bytes(b"half")
    (tmp_path / "New.rearing.unfinished-wal").write_bytes(b"half a log")

    Book.make(tmp_path / "New.rearing").close()

    assert [file.name for file in tmp_path.iterdir()] == ["New.rearing"]


def test_a_new_book_says_what_it_is_and_is_fully_durable(path: Path) -> None:
    head = path.read_bytes()[:100]
    with Book.open(path) as book, book.reading() as connection:
        asked = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
            for name in ("journal_mode", "foreign_keys", "synchronous")
        }

    # Bytes 60-63 and 68-71: user version, application id (sqlite.org/fileformat2.html).
    assert int.from_bytes(head[60:64], "big") == schema.VERSION
    assert int.from_bytes(head[68:72], "big") == APPLICATION_ID
    # 2 is FULL (sqlite.org/pragma.html#pragma_synchronous).
    assert asked == {"journal_mode": "wal", "foreign_keys": 1, "synchronous": 2}
