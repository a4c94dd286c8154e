"""What is coming, written as a calendar file, on paper, or as JSON.

JSON: ``on`` (ISO date) and ``events``, soonest first, each with ``key`` (the same
whenever it is told again), ``first`` and ``last`` (ISO dates, both among its days),
``title`` and ``words``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.coming import coming
from rearing.keeping.facts import home
from rearing.keeping.moments import counted, span_words

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from rearing.commands.paper import Paper
    from rearing.keeping.coming import Coming
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


def write_coming(
    book: Book, shelf: SheetShelf, on: dt.date, paper: Paper, *, as_json: bool = False
) -> None:
    """Write what is coming from a day on."""
    found = coming(book, shelf, on)
    if as_json:
        paper.json({"on": on.isoformat(), "events": [_data(one) for one in found]})
        return
    paper.line(f"Coming from {full_day(on)} on")
    if not found:
        paper.line("Nothing is coming.")
    for one in found:
        days = span_words(one.first, one.last)
        paper.paragraph(f"{days}  {one.title}", indent=2, later=2)


def write_feed(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    out: tuple[Path, dt.datetime],
    paper: Paper,
) -> None:
    """Write what is coming to a calendar file, at a moment."""
    from rearing.exchange.calendar_feed import calendar_of, write_calendar

    path, now = out
    found = coming(book, shelf, on)
    write_calendar(path, calendar_of(found, home=home(book).name, now=now))
    events = counted(len(found), "event")
    paper.line(f"Wrote {events} to {path.name}, as on {full_day(on)}.")


def _data(one: Coming) -> dict[str, str]:
    return {
        "key": one.key,
        "first": one.first.isoformat(),
        "last": one.last.isoformat(),
        "title": one.title,
        "words": one.words,
    }
