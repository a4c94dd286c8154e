"""Boxes kept apart: by judgement, after catching deaths, and their neighbours.

Fourteen days after the last death: common practice, no source. Neighbours of a virus
death are watched three days at least (Nuclear polyhedrosis, oocities.com).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import apart, care
from rearing.keeping.round import QUARANTINE, round_of
from rearing.keeping.round_lines import Task
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import SetApartRow
from rearing.terms import Cause, Stage
from tests.keeping.karst_book import (
    LATER,
    entry,
    on,
    picture,
    said,
    second_box,
    when,
)

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.round_lines import RoundLine
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf
    from tests.keeping.karst_book import Ids


def set_apart(book: Book, ids: Ids, until: dt.date | None = None) -> int:
    return apart.set_apart(
        book,
        entry(12),
        box_id=ids.box,
        since=on(6, 12),
        until=until,
        why="from another keeper",
    ).new_id


def dies(book: Book, box_id: int, day: int, cause: Cause = Cause.VIRUS) -> None:
    care.lose(
        book,
        entry(day),
        box_id=box_id,
        lost=care.Lost(1, cause, Stage.L1),
        when=when(6, day, 20),
    )


def line(book: Book, shelf: SheetShelf, day: dt.date, code: str) -> RoundLine:
    found = round_of(book, shelf, day, everything=True)
    return next(x for x in found.lines if x.code == code)


def test_a_box_set_apart_goes_last_with_the_keepers_reason(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    set_apart(book, ids, on(6, 26))
    assert said(book) == ("B21-01 A set apart until Sat 26 June: from another keeper")
    found = round_of(book, shelf, on(6, 20), everything=True)
    assert found.places[-1].name == QUARANTINE
    last = found.places[-1].lines[0]
    assert last.quarantine
    assert last.reason.startswith(
        "Hall shelf. From another keeper, since 12 June; apart until 26 June. "
        "Give it forceps of its own."
    )


def test_its_time_ends_by_itself_or_by_the_keeper(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    key = set_apart(book, ids, on(6, 26))
    assert apart.apart_now(book, shelf, on(6, 26))
    assert apart.apart_now(book, shelf, on(6, 27)) == ()
    assert apart.apart_now(book, shelf, on(6, 11)) == ()
    apart.end_apart(book, LATER, set_apart_id=key, on=on(6, 20))
    assert said(book) == "B21-01 A is no longer set apart, Sun 20 June"
    assert apart.apart_now(book, shelf, on(6, 19))
    assert apart.apart_now(book, shelf, on(6, 20)) == ()


def test_without_an_end_it_lasts_until_the_keeper_ends_it(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    set_apart(book, ids)
    (found,) = apart.apart_now(book, shelf, on(7, 19))
    assert found.until is None
    assert found.words.endswith("apart until you end it. Give it forceps of its own.")


def test_another_death_moves_the_end_on(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    set_apart(book, ids, on(6, 26))
    dies(book, ids.box, 15)
    assert apart.apart_now(book, shelf, on(6, 15))[0].until == on(6, 29)
    dies(book, ids.box, 20)
    (found,) = apart.apart_now(book, shelf, on(6, 20))
    assert (found.until, found.died_on) == (on(7, 4), on(6, 20))
    # as on the days before, the second death is not known
    assert apart.apart_now(book, shelf, on(6, 19))[0].until == on(6, 29)


@pytest.mark.parametrize("kitchen", [False, True])
def test_neighbours_of_a_virus_death_are_watched_for_three_days(
    book: Book, ids: Ids, shelf: SheetShelf, kitchen: bool
) -> None:
    # of one brood wherever it stands; the pot of the kitchen is no box
    second_box(book, ids, place_id=ids.shelf if kitchen else ids.hall)
    dies(book, ids.box, 15)
    for day, watched in ((15, True), (18, True), (19, False)):
        found = line(book, shelf, on(6, day), "B21-01 B")
        assert found.watched is watched
        told = "Virus in B21-01 A 15 June: look for limp ones until 18 June."
        assert (told in found.reason) is watched
        if watched:
            assert found.task.is_due


def test_flacherie_asks_for_no_watch(book: Book, ids: Ids, shelf: SheetShelf) -> None:
    second_box(book, ids, place_id=ids.hall)
    dies(book, ids.box, 15, Cause.FLACHERIE)
    assert not line(book, shelf, on(6, 16), "B21-01 B").watched


def test_a_box_at_rest_is_left_alone_though_its_neighbour_is_sick(
    book: Book, ids: Ids, shelf: SheetShelf
) -> None:
    box = second_box(book, ids, place_id=ids.hall)
    care.look_at_stages(
        book,
        entry(15),
        box_id=box,
        seen={Stage.L1: care.Seen(10, 8)},
        when=when(6, 15, 20),
    )
    dies(book, ids.box, 15)
    found = line(book, shelf, on(6, 16), "B21-01 B")
    assert found.task is Task.LEAVE_ALONE
    assert "Virus in B21-01 A" in found.reason


def test_the_usual_time_apart_is_fourteen_days(shelf: SheetShelf) -> None:
    assert apart.usual_end(shelf.defaults, on(6, 12)) == on(6, 26)


def test_what_can_not_be_meant_is_refused_under_its_field(book: Book, ids: Ids) -> None:
    key = set_apart(book, ids, on(6, 26))
    for field, words, since, until in (
        ("until", "end before it begins", on(6, 12), on(6, 11)),
        ("since", "was not open on Thu 10 June", on(6, 10), None),
        ("since", "set apart already since Sat 12 June", on(6, 14), None),
    ):
        with pytest.raises(Refusal, match=words) as refused:
            apart.set_apart(book, LATER, box_id=ids.box, since=since, until=until)
        assert refused.value.field == field
    with pytest.raises(AskFirst, match="still to come"):
        apart.set_apart(book, entry(12), box_id=ids.box, since=on(7, 1))
    with pytest.raises(Refusal, match="that is later"):
        apart.end_apart(book, LATER, set_apart_id=key, on=on(6, 11))
    apart.end_apart(book, LATER, set_apart_id=key, on=on(6, 20))
    with pytest.raises(Refusal, match="That ended on Sun 20 June"):
        apart.end_apart(book, LATER, set_apart_id=key, on=on(6, 21))


def test_both_are_taken_back_whole(book: Book, ids: Ids) -> None:
    empty = picture(book)
    key = set_apart(book, ids)
    begun = picture(book)
    apart.end_apart(book, entry(13), set_apart_id=key, on=on(6, 13))
    book.take_back(entry(13))
    assert picture(book) == begun
    assert book.one(SetApartRow, key).ended_on is None
    book.take_back(entry(13), sure=True)
    assert picture(book) == empty
