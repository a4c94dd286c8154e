"""Days on which the keeper will be away: entered, changed, taken out again."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.keeping.moments import day_words
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.rows import AwayRow

if TYPE_CHECKING:
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched

LONGEST = dt.timedelta(days=60)
"""Nobody leaves stock alone for longer; more is a slip of the pen."""


def add_away(
    book: Book,
    entry: Entry,
    *,
    first: dt.date,
    last: dt.date,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Enter days away, the first and the last of them among them."""
    _refuse(book, entry.on, first, last, sure=sure)
    with book.change(entry) as pen:
        pen.new_id = pen.add(t.Away, first_on=first, last_on=last, note=note)
        pen.say(f"Away {away_words(first, last)}{f': {note}' if note else ''}")
    return pen.touched


def change_away(
    book: Book,
    entry: Entry,
    *,
    away_id: int,
    first: dt.date,
    last: dt.date,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Change days away that were entered."""
    book.one(AwayRow, away_id)
    _refuse(book, entry.on, first, last, sure=sure, but=away_id)
    with book.change(entry) as pen:
        pen.change(t.Away, away_id, first_on=first, last_on=last, note=note)
        pen.subjects.add(("away", away_id))
        pen.say(f"Now away {away_words(first, last)}{f': {note}' if note else ''}")
    return pen.touched


def drop_away(book: Book, entry: Entry, *, away_id: int) -> Touched:
    """Take days away out again: the keeper stays at home."""
    row = book.one(AwayRow, away_id)
    with book.change(entry) as pen:
        pen.remove(t.Away, away_id)
        pen.subjects.add(("away", away_id))
        pen.say(f"Not away {away_words(row.first_on, row.last_on)} after all")
    return pen.touched


def next_away(book: Book, on: dt.date) -> AwayRow | None:
    """Return the days away that are on, or come next."""
    rows = book.all(AwayRow, t.Away.last_on >= on, order=(t.Away.first_on, t.Away.id))
    return rows[0] if rows else None


def days_away(book: Book, on: dt.date) -> frozenset[dt.date]:
    """Return every day of those away that were entered, up to a day."""
    return frozenset(
        row.first_on + dt.timedelta(days=i)
        for row in book.all(AwayRow, t.Away.first_on <= on)
        for i in range((min(row.last_on, on) - row.first_on).days + 1)
    )


def away_words(first: dt.date, last: dt.date) -> str:
    """Return days away with their weekdays: Mon 28 and Tue 29 June."""
    if first == last:
        return day_words(first)
    link = "and" if last - first == dt.timedelta(days=1) else "to"
    if first.month == last.month and first.year == last.year:
        return f"{first:%a} {first.day} {link} {day_words(last)}"
    return f"{day_words(first)} {link} {day_words(last)}"


def _refuse(  # as what may be wrong with two days
    book: Book,
    today: dt.date,
    first: dt.date,
    last: dt.date,
    *,
    sure: bool,
    but: int | None = None,
) -> None:
    if last < first:
        raise Refusal("The last day away lies before the first.", field="last")
    if last - first > LONGEST:
        raise Refusal("That is more than two months; take it in parts.", field="last")
    others = book.all(AwayRow, t.Away.first_on <= last, t.Away.last_on >= first)
    for row in others:
        if row.id != but:
            said = away_words(row.first_on, row.last_on)
            raise Refusal(f"Away {said} is entered already.", field="first")
    if last < today and not sure:
        raise AskFirst(
            f"{day_words(last, year=True)} is over. Note it all the same, so that the "
            "gap is explained?",
            field="last",
        )
