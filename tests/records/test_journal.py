"""The journal: one sentence a change, back and forth, and never by surprise."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from sqlalchemy.exc import IntegrityError

from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry, Touched
from rearing.records.rows import BoxVisitRow, FactRow, MothRow, NoteRow
from rearing.terms import Sex

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from rearing.records.book import Writing
    from rearing.records.journal import Touched


def note(book: Book, entry: Entry, text: str) -> Touched:
    with book.change(entry) as pen:
        pen.say(f"Noted {text}.")
        pen.new_id = pen.add(
            t.Note, subject="book", subject_id=1, on=entry.on, text=text
        )
    return pen.touched


def write(book: Book, entry: Entry, what: Callable[[Writing], object]) -> None:
    with book.change(entry) as pen:
        pen.say("Something.")
        what(pen)


def fail_half_way(book: Book, entry: Entry) -> None:
    with book.change(entry) as pen:
        pen.say("Never said.")
        pen.add(t.Note, subject="book", subject_id=1, on=entry.on, text="half")
        pen.change(t.Note, 1, text="changed")
        raise ZeroDivisionError


def texts(book: Book) -> list[str]:
    return [row.text for row in book.all(NoteRow)]


def test_a_change_says_what_it_touched(book: Book, entry: Entry) -> None:
    touched = note(book, entry, "rain")

    assert touched.sentence == "Noted rain."
    assert touched.subjects == {("note", touched.new_id)}
    assert touched.concerns("note")
    assert not touched.concerns("box")


def test_every_change_has_one_line_with_who_and_when(book: Book, entry: Entry) -> None:
    note(book, entry, "rain")
    note(book, replace(entry, who="Bor"), "sun")

    lines = book.journal()

    assert [(line.sentence, line.who) for line in lines] == [
        ("Noted sun.", "Bor"),
        ("Noted rain.", "Ana"),
    ]
    assert all(line.at == entry.now and line.on == entry.on for line in lines)


def test_the_day_of_an_entry_is_the_keepers_own_not_that_of_utc(book: Book) -> None:
    late = dt.datetime(2021, 6, 13, 0, 20, tzinfo=dt.timezone(dt.timedelta(hours=2)))

    note(book, Entry(late), "moon")

    (line,) = book.journal()
    assert line.on == dt.date(2021, 6, 13)
    assert line.at.astimezone(dt.UTC) == dt.datetime(2021, 6, 12, 22, 20, tzinfo=dt.UTC)


def test_a_change_without_its_sentence_is_not_written(book: Book, entry: Entry) -> None:
    with pytest.raises(ValueError, match="sentence"), book.change(entry) as pen:
        pen.add(t.Note, subject="book", subject_id=1, on=entry.on, text="mute")

    assert texts(book) == []
    assert book.journal() == ()


def test_a_change_that_fails_half_way_writes_nothing(book: Book, entry: Entry) -> None:
    note(book, entry, "before")

    with pytest.raises(ZeroDivisionError):
        fail_half_way(book, entry)

    assert texts(book) == ["before"]
    assert [line.sentence for line in book.journal()] == ["Noted before."]


def test_a_line_that_points_nowhere_is_refused_by_the_book_itself(
    book: Book, entry: Entry
) -> None:
    with pytest.raises(IntegrityError):
        write(
            book,
            entry,
            lambda pen: pen.add(t.EggPot, brood_id=99, label="a", opened_on=entry.on),
        )

    assert book.journal() == ()


def test_what_others_point_at_cannot_be_removed(filled: Book, entry: Entry) -> None:
    with pytest.raises(IntegrityError):
        write(filled, entry, lambda pen: pen.remove(t.Moth, 1))

    assert filled.unsound() == ()
    assert len(filled.all(MothRow)) == 1


def test_changing_a_line_that_is_gone_is_refused(book: Book, entry: Entry) -> None:
    with pytest.raises(Refusal, match="no longer"):
        write(book, entry, lambda pen: pen.change(t.Note, 7, text="x"))


def test_taking_back_says_what_it_took_back(book: Book, entry: Entry) -> None:
    added = note(book, entry, "rain")

    back = book.take_back(entry)
    again = book.do_again(entry)

    assert back.sentence == "Taken back: Noted rain."
    assert again.sentence == "Done again: Noted rain."
    assert back.subjects == again.subjects == added.subjects
    assert texts(book) == ["rain"]
    assert [line.kind for line in book.journal()] == [
        "done again",
        "taken back",
        "entry",
    ]


def test_the_journal_shows_that_an_entry_no_longer_stands(
    book: Book, entry: Entry
) -> None:
    note(book, entry, "rain")
    book.take_back(entry)

    assert [line.undone for line in book.journal()] == [False, True]


def test_every_kind_of_value_comes_back_as_it_was(filled: Book, entry: Entry) -> None:
    before = (filled.all(MothRow), filled.all(BoxVisitRow), filled.all(NoteRow))

    with filled.change(entry) as pen:
        pen.say("All at once.")
        pen.change(
            t.Moth, 1, sex=Sex.MALE, since=dt.date(2020, 2, 29), kept_at=None, note="x"
        )
        pen.remove(t.BoxVisit, 1)
        pen.remove(t.Note, 1)
    filled.take_back(entry)

    assert (filled.all(MothRow), filled.all(BoxVisitRow), filled.all(NoteRow)) == before


def test_a_whole_season_goes_back_and_comes_again(filled: Book, entry: Entry) -> None:
    moths = filled.all(MothRow)

    filled.take_back(entry)
    assert filled.all(MothRow) == ()
    assert filled.unsound() == ()

    filled.do_again(entry)
    assert filled.all(MothRow) == moths
    assert filled.unsound() == ()


def test_another_days_entry_is_asked_about_first(book: Book, entry: Entry) -> None:
    note(book, entry, "rain")
    tomorrow = replace(entry, now=entry.now + dt.timedelta(days=1))

    with pytest.raises(AskFirst, match=r"Saturday 12 June 2021: “Noted rain\.”"):
        book.take_back(tomorrow)
    assert texts(book) == ["rain"]

    book.take_back(tomorrow, sure=True)
    assert texts(book) == []


def test_another_persons_entry_is_asked_about_first(book: Book, entry: Entry) -> None:
    note(book, entry, "rain")

    with pytest.raises(AskFirst, match="by Ana: “Noted rain"):
        book.take_back(replace(entry, who="Bor"))
    assert texts(book) == ["rain"]

    book.take_back(replace(entry, who="Bor"), sure=True)
    assert texts(book) == []


def test_nothing_to_take_back_or_do_again_is_a_refusal(
    book: Book, entry: Entry
) -> None:
    with pytest.raises(Refusal, match="nothing left to take back"):
        book.take_back(entry)
    with pytest.raises(Refusal, match="Nothing was taken back"):
        book.do_again(entry)
    assert book.journal() == ()


def test_after_a_new_entry_nothing_can_be_done_again(book: Book, entry: Entry) -> None:
    note(book, entry, "rain")
    book.take_back(entry)
    note(book, entry, "sun")

    with pytest.raises(Refusal):
        book.do_again(entry)
    assert texts(book) == ["sun"]


def test_what_a_new_entry_buried_stays_buried_when_that_is_taken_back(
    book: Book, entry: Entry
) -> None:
    note(book, entry, "rain")
    book.take_back(entry)
    note(book, entry, "sun")
    book.take_back(entry)

    book.do_again(entry)

    assert texts(book) == ["sun"]
    with pytest.raises(Refusal):
        book.do_again(entry)


def test_several_steps_back_and_again_survive_a_restart(
    path: Path, entry: Entry
) -> None:
    with Book.open(path) as book:
        for text in ("one", "two", "three"):
            note(book, entry, text)
        book.take_back(entry)
    with Book.open(path) as book:
        book.take_back(entry)
        assert texts(book) == ["one"]
    with Book.open(path) as book:
        book.do_again(entry)
        book.do_again(entry)
        assert texts(book) == ["one", "two", "three"]


def test_an_image_with_a_column_this_form_lacks_is_still_taken_back(
    book: Book, entry: Entry
) -> None:
    with book.change(entry) as pen:
        pen.say("The home's name.")
        fact = pen.add(t.Fact, name="home", value="Mill")
    with book.change(entry) as pen:
        pen.say("Another name.")
        pen.change(t.Fact, fact, value="Weir")

    with book.engine.begin() as connection:
        connection.exec_driver_sql(
            "UPDATE change_row SET before = json_set(before, '$.colour', 'red')"
            " WHERE before IS NOT NULL"
        )
    book.take_back(entry)

    assert [row.value for row in book.all(FactRow)] == ["Mill"]
