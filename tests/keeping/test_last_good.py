"""Answers kept in files: read again as they were, and never by another form."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import leaf
from rearing.keeping.kept_season import kept_season
from rearing.keeping.last_good import MOST_FILES, LastGood, last_change
from rearing.keeping.season_rows import season_rows
from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from rearing.terms import Stage
from tests.desk.karst_season import ON, entry, write_season

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MADE = dt.datetime(2021, 6, 25, 20, tzinfo=dt.UTC)


@dataclass(frozen=True, slots=True)
class Answer:
    stage: Stage
    until: float
    by_day: dict[dt.date, int]


@dataclass(frozen=True, slots=True)
class OtherAnswer:
    stage: Stage


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "karst.rearing") as made:
        yield made


def test_a_whole_season_is_read_as_it_was_worked_out(
    book: Book, tmp_path: Path
) -> None:
    write_season(book)
    view = season_rows(book, load_all(), ON)
    store = kept_season(tmp_path)
    store.keep(book, ON, view, MADE, last_change(book))
    kept = store.read(book, ON)
    assert kept is not None
    assert kept.answer == view
    assert kept.made_at == MADE
    assert kept.change == last_change(book) > 0


def test_what_json_has_no_word_for_comes_back(book: Book, tmp_path: Path) -> None:
    answer = Answer(Stage.L4, float("inf"), {ON: 3})
    store = LastGood(tmp_path, "answer", (Answer, Stage))
    store.keep(book, ON, answer, MADE, 1)
    kept = store.read(book, ON)
    assert kept is not None
    assert kept.answer == answer
    assert isinstance(kept.answer.stage, Stage)


def test_another_form_of_the_program_does_not_show_it(
    book: Book, tmp_path: Path
) -> None:
    store = LastGood(tmp_path, "answer", (Answer, Stage))
    store.keep(book, ON, Answer(Stage.L4, 1.0, {}), MADE, 1)
    other = LastGood(tmp_path, "answer", (Answer, OtherAnswer, Stage))
    assert other.read(book, ON) is None
    told = json.loads(store.path(book, ON).read_text(encoding="utf-8"))
    told["form"] = "older"
    store.path(book, ON).write_text(json.dumps(told), encoding="utf-8")
    assert store.read(book, ON) is None


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"form": 1}', "null"])
def test_a_spoilt_file_is_as_none(book: Book, tmp_path: Path, spoilt: str) -> None:
    store = LastGood(tmp_path, "answer", (Answer, Stage))
    store.keep(book, ON, Answer(Stage.L4, 1.0, {}), MADE, 1)
    store.path(book, ON).write_text(spoilt, encoding="utf-8")
    assert store.read(book, ON) is None


def test_another_day_and_another_book_have_their_own(
    book: Book, tmp_path: Path
) -> None:
    store = LastGood(tmp_path, "answer", (Answer, Stage))
    store.keep(book, ON, Answer(Stage.L4, 1.0, {}), MADE, 1)
    assert store.read(book, ON + dt.timedelta(days=1)) is None
    with Book.make(tmp_path / "other.rearing") as other:
        assert store.read(other, ON) is None


def test_a_book_begun_anew_in_the_same_place_is_another(tmp_path: Path) -> None:
    store = LastGood(tmp_path, "answer", (Answer, Stage))
    path, marks = tmp_path / "same.rearing", set()
    for day in (ON, ON + dt.timedelta(days=1)):
        with Book.make(path) as made:
            leaf.add_tree(made, entry(day), name="Lane", host="oak")
            marks.add(store.path(made, ON))
        path.unlink()
    assert len(marks) == 2


def test_old_files_are_cleared_away(book: Book, tmp_path: Path) -> None:
    store = LastGood(tmp_path, "answer", (Answer, Stage))
    for days in range(MOST_FILES + 3):
        on = ON + dt.timedelta(days=days)
        store.keep(book, on, Answer(Stage.L4, 1.0, {}), MADE, 1)
    assert len(list((tmp_path / "last").iterdir())) == MOST_FILES


def test_a_folder_that_cannot_be_written_loses_nothing(
    book: Book, tmp_path: Path
) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("no folder", encoding="utf-8")
    store = LastGood(in_the_way, "answer", (Answer, Stage))
    store.keep(book, ON, Answer(Stage.L4, 1.0, {}), MADE, 1)
    assert store.read(book, ON) is None
