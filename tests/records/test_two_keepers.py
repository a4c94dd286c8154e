"""Two programs, and several threads, on one book."""

from __future__ import annotations

import sqlite3
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from rearing.problems import AskFirst, LockedBook
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.rows import PlaceRow
from tests.records.filled_book import add_place

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rearing.records.journal import Entry


@pytest.fixture
def second(book: Book) -> Iterator[Book]:
    with Book.open(book.path) as opened:
        yield opened


def names(book: Book) -> list[str]:
    return [row.name for row in book.all(PlaceRow)]


def test_each_sees_what_the_other_entered(
    book: Book, second: Book, entry: Entry
) -> None:
    add_place(book, entry, "Shed")
    assert names(second) == ["Shed"]

    add_place(second, replace(entry, who="Bor"), "Loft")
    assert names(book) == ["Shed", "Loft"]

    with second.change(entry) as pen:
        pen.say("The shed is cool.")
        pen.change(t.Place, 1, set_point_c=14.0)
    assert book.one(PlaceRow, 1).set_point_c == 14.0
    assert book.one(PlaceRow, 1).version == 2
    assert [line.sentence for line in book.journal()] == [
        line.sentence for line in second.journal()
    ]


def test_one_keeper_does_not_take_back_the_others_entry_unasked(
    book: Book, second: Book, entry: Entry
) -> None:
    add_place(book, entry, "Shed")
    add_place(second, replace(entry, who="Bor"), "Loft")

    with pytest.raises(AskFirst, match="by Bor: “New place Loft"):
        book.take_back(entry)

    assert names(book) == ["Shed", "Loft"]


def test_a_change_is_not_seen_before_it_is_whole(
    book: Book, second: Book, entry: Entry
) -> None:
    with book.change(entry) as pen:
        pen.say("Two places.")
        pen.add(t.Place, name="Shed", walking_order=1, outdoors=True)
        assert [row.name for row in pen.all(PlaceRow)] == ["Shed"]
        assert names(second) == names(book) == []
        pen.add(t.Place, name="Loft", walking_order=2, outdoors=False)

    assert names(second) == names(book) == ["Shed", "Loft"]


def test_a_book_held_for_writing_may_be_read_but_not_written(
    book: Book, second: Book, entry: Entry
) -> None:
    add_place(book, entry, "Shed")
    with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        with pytest.raises(LockedBook, match=r"Season\.rearing is in use"):
            add_place(second, entry, "Loft")
        assert names(second) == ["Shed"]

    add_place(second, entry, "Loft")
    assert names(book) == ["Shed", "Loft"]


def test_a_reader_keeps_its_view_while_another_writes(
    book: Book, second: Book, entry: Entry
) -> None:
    count = "SELECT count(*) FROM place"
    add_place(book, entry, "Shed")

    with second.reading() as connection:
        assert connection.exec_driver_sql(count).scalar_one() == 1
        add_place(book, entry, "Loft")
        assert connection.exec_driver_sql(count).scalar_one() == 1

    assert len(names(second)) == 2


def test_threads_may_read_and_write_one_book_at_once(book: Book, entry: Entry) -> None:
    together = threading.Barrier(8)

    def work(number: int) -> int:
        together.wait()
        most = 0
        for n in range(6):
            if number < 4:
                add_place(book, entry, f"Place {number}-{n}")
            most = max(most, len(names(book)))
        return most

    with ThreadPoolExecutor(8) as threads:
        counts = list(threads.map(work, range(8)))

    assert len(names(book)) == len(book.journal()) == 24
    assert max(counts) <= 24
    assert book.unsound() == ()
