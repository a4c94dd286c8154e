"""Taking back at the lamp: one key, and never an entry that isn't this night's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.lamp_counting import keys_name, stand_of
from rearing.problems import Refusal
from rearing.records.rows import (
    ArrivalRow,
    CheckRow,
    DeterminationRow,
    FactRow,
    LampNightRow,
    MothRow,
    OutageRow,
)
from rearing.records.standing import last_standing

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched
    from rearing.records.standing import Standing


def take_back_here(book: Book, entry: Entry, *, night_id: int) -> Touched:
    """Take back the last entry if it is one of this lamp night; else say what it is."""
    last = last_standing(book)
    if last is None:
        raise Refusal("There is nothing left to take back.")
    if not _is_of(book, last, night_id):
        raise Refusal(
            "Nothing of this night is left to take back. The last entry is "
            f"“{last.sentence}”; Ctrl+Z takes that back."
        )
    # after midnight the day is another, the night is the same
    return book.take_back(entry, sure=True)


def _is_of(book: Book, last: Standing, night_id: int) -> bool:
    """Tell whether every row of an entry hangs from the night, and one does at all.

    The facts of a lamp's stand go with the entry they were written in; one of facts
    alone is this night's when they are of its stand.
    """
    own = [subject for subject in last.subjects if subject[0] != "fact"]
    if not own:
        stand = stand_of(book.one(LampNightRow, night_id))
        facts = [book.one(FactRow, row_id).name for _, row_id in last.subjects]
        return bool(facts) and set(facts) == {keys_name(stand)}
    return all(
        name in _NIGHT_OF and _NIGHT_OF[name](book, row_id) == night_id
        for name, row_id in own
    )


def _itself(_book: Book, row_id: int) -> int:
    return row_id


def _of_check(book: Book, row_id: int) -> int:
    return book.one(CheckRow, row_id).night_id


def _of_arrival(book: Book, row_id: int) -> int:
    return _of_check(book, book.one(ArrivalRow, row_id).check_id)


def _of_outage(book: Book, row_id: int) -> int:
    return book.one(OutageRow, row_id).night_id


def _of_moth(book: Book, row_id: int) -> int | None:
    return book.one(MothRow, row_id).night_id


def _of_call(book: Book, row_id: int) -> int | None:
    call = book.one(DeterminationRow, row_id)
    if call.moth_id is not None:
        return _of_moth(book, call.moth_id)
    return _of_arrival(book, call.arrival_id) if call.arrival_id is not None else None


_NIGHT_OF: dict[str, Callable[[Book, int], int | None]] = {
    "lamp_night": _itself,
    "lamp_check": _of_check,
    "arrival": _of_arrival,
    "outage": _of_outage,
    "moth": _of_moth,
    "determination": _of_call,
}
