"""Notes as they are read on a page: whose they are, newest first, and corrected."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping.beside import shortened
from rearing.keeping.notes import add_note
from rearing.keeping.remarks import correct_note, remarks_of
from rearing.problems import Refusal
from tests.keeping.karst_book import LATER, on, picture, said

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


def noted(book: Book, subject: str, row_id: int, text: str, day: int) -> int:
    return add_note(
        book, LATER, subject=subject, subject_id=row_id, text=text, on=on(6, day)
    ).new_id


def test_a_broods_notes_are_its_own_and_those_of_what_belongs_to_it(
    book: Book, ids: Ids
) -> None:
    noted(book, "brood", ids.brood, "of the brood", 14)
    noted(book, "box", ids.box, "of the box", 16)
    noted(book, "egg_pot", ids.pot, "of the pot", 15)
    noted(book, "moth", ids.moth, "of the mother", 13)
    noted(book, "lamp_night", ids.night, "of the night", 17)

    found = remarks_of(book, "brood", ids.brood, on(6, 16))

    assert [one.text for one in found] == [
        "of the box",
        "of the pot",
        "of the brood",
        "of the mother",
    ]
    assert [bool(one.where) for one in found] == [True, True, False, True]
    assert len(remarks_of(book, "brood", ids.brood, on(6, 14))) == 2
    (night,) = remarks_of(book, "lamp_night", ids.night, on(6, 17))
    assert night.text == "of the night"


def test_a_corrected_note_says_so_and_the_journal_has_the_first(
    book: Book, ids: Ids
) -> None:
    note_id = noted(book, "box", ids.box, "two lie apart", 14)
    before = picture(book)

    touched = correct_note(
        book, LATER, note_id=note_id, text=" three lie apart ", on=on(6, 13)
    )

    (one,) = remarks_of(book, "box", ids.box, on(6, 20))
    assert (one.text, one.on, one.corrected) == ("three lie apart", on(6, 13), True)
    assert said(book) == (
        "Note corrected: “three lie apart” in place of “two lie apart”, "
        "13 June in place of 14 June"
    )
    assert ("box", ids.box) in touched.subjects
    book.take_back(LATER)
    assert picture(book) == before
    (one,) = remarks_of(book, "box", ids.box, on(6, 20))
    assert not one.corrected


def test_a_note_is_not_corrected_into_itself_or_nothing(book: Book, ids: Ids) -> None:
    note_id = noted(book, "box", ids.box, "two lie apart", 14)

    with pytest.raises(Refusal, match="as it was"):
        correct_note(book, LATER, note_id=note_id, text="two lie apart", on=on(6, 14))
    with pytest.raises(Refusal, match="empty") as refused:
        correct_note(book, LATER, note_id=note_id, text=" ", on=on(6, 14))
    assert refused.value.field == "text"
    with pytest.raises(Refusal, match="no longer in the book"):
        correct_note(book, LATER, note_id=99, text="x", on=on(6, 14))


def test_long_words_are_shortened_between_words() -> None:
    assert shortened("two\nlie  apart") == "two lie apart"
    long = "the whole cage from above, leaf two days old and turning at the edge"
    assert (
        shortened(long)
        == "the whole cage from above, leaf two days old and turning at …"
    )
    assert len(shortened("x" * 100)) <= 62
