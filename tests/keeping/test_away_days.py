"""Days away as entries: refused where they can't be meant, taken back whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping.away_days import (
    add_away,
    away_words,
    change_away,
    days_away,
    drop_away,
    next_away,
)
from rearing.problems import AskFirst, Refusal
from rearing.records.journal import Entry
from tests.keeping.karst_book import LATER, at, on, picture, said

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids

ASKED = Entry(at(6, 25), "N. K.")


def two_days(book: Book) -> int:
    return add_away(book, ASKED, first=on(6, 28), last=on(6, 29), note="a fair").new_id


def test_days_away_are_on_until_the_last_is_over(book: Book, ids: Ids) -> None:
    key = two_days(book)
    assert said(book) == "Away Mon 28 and Tue 29 June: a fair"
    for day, there in ((on(6, 25), True), (on(6, 29), True), (on(6, 30), False)):
        found = next_away(book, day)
        assert (found is not None and found.id == key) is there


def test_of_several_the_next_is_told(book: Book, ids: Ids) -> None:
    later = add_away(book, ASKED, first=on(7, 5), last=on(7, 9)).new_id
    two_days(book)
    assert next_away(book, on(6, 26)) is not None
    found = next_away(book, on(6, 30))
    assert found is not None
    assert found.id == later


def test_they_can_be_changed_and_taken_out(book: Book, ids: Ids) -> None:
    before = picture(book)
    key = two_days(book)
    change_away(book, ASKED, away_id=key, first=on(6, 28), last=on(6, 30))
    assert said(book) == "Now away Mon 28 to Wed 30 June"
    drop_away(book, ASKED, away_id=key)
    assert said(book) == "Not away Mon 28 to Wed 30 June after all"
    assert next_away(book, on(6, 25)) is None
    for _ in range(3):
        book.take_back(ASKED)
    assert picture(book) == before


def test_only_days_that_have_come_are_a_gap(book: Book, ids: Ids) -> None:
    two_days(book)
    assert days_away(book, on(6, 27)) == frozenset()
    assert days_away(book, on(6, 28)) == {on(6, 28)}
    assert days_away(book, on(7, 9)) == {on(6, 28), on(6, 29)}


@pytest.mark.parametrize(
    ("first", "last", "field", "words"),
    [
        (on(6, 29), on(6, 28), "last", "lies before the first"),
        (on(6, 29), on(9, 29), "last", "more than two months"),
        (on(6, 29), on(7, 2), "first", "Mon 28 and Tue 29 June is entered already"),
    ],
)
def test_what_can_not_be_meant_is_refused(
    book: Book, ids: Ids, first: dt.date, last: dt.date, field: str, words: str
) -> None:
    two_days(book)
    with pytest.raises(Refusal, match=words) as refused:
        add_away(book, ASKED, first=first, last=last)
    assert refused.value.field == field


def test_days_that_are_over_are_asked_about_once(book: Book, ids: Ids) -> None:
    with pytest.raises(AskFirst, match="gap is explained"):
        add_away(book, LATER, first=on(6, 28), last=on(6, 29))
    add_away(book, LATER, first=on(6, 28), last=on(6, 29), sure=True)
    assert days_away(book, on(7, 20)) == {on(6, 28), on(6, 29)}


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (on(6, 28), on(6, 28), "Mon 28 June"),
        (on(6, 28), on(6, 29), "Mon 28 and Tue 29 June"),
        (on(6, 28), on(6, 30), "Mon 28 to Wed 30 June"),
        (on(6, 30), on(7, 1), "Wed 30 June and Thu 1 July"),
    ],
)
def test_days_away_in_words(first: dt.date, last: dt.date, words: str) -> None:
    assert away_words(first, last) == words
