"""Keeping a female at the lamp: her next code, and the line that counted her."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from rearing.keeping.codes import next_code
from rearing.records import tables as t
from rearing.records.rows import ArrivalRow, CheckRow, MothRow
from rearing.records.standing import codes_told
from rearing.terms import Sex

if TYPE_CHECKING:
    from rearing.records.book import Book

_LAST_NUMBER = re.compile(r"(\d+)(\D*)$")
_KEPT = "Kept "


def next_wild_code(book: Book, year: int) -> str:
    """Return the code after the last wild female's, written as hers was.

    A code that was given out is never given again, not after its entry was taken back
    either: it may stand on a bag already.
    """
    moths = book.all(MothRow, t.Moth.night_id.is_not(None), order=(t.Moth.id,))
    taken = {moth.code for moth in book.all(MothRow)} | set(codes_told(book, _KEPT))
    own = [moth for moth in moths if moth.since.year == year] or list(moths)
    if not own:
        return next_code("W", year, taken)
    last = own[-1]
    parts = _parts(last.code, last.since.year, year)
    if parts is None:
        return next_code("W", year, taken)
    before, digits, after = parts
    shape = re.compile(f"{re.escape(before)}(\\d+){re.escape(after)}")
    used = [int(match[1]) for match in map(shape.fullmatch, taken) if match]
    return f"{before}{max(used, default=0) + 1:0{digits}d}{after}"


def _parts(code: str, was: int, year: int) -> tuple[str, int, str] | None:
    """Split a code at its number, the year in it brought on: ("W22-", 2, "")."""
    match = _LAST_NUMBER.search(code)
    if match is None:
        return None
    before = code[: match.start()]
    for old, new in ((f"{was}", f"{year}"), (f"{was:d}"[-2:], f"{year:d}"[-2:])):
        if old in before:
            before = before.replace(old, new, 1)
            break
    return before, len(match[1]), match[2]


def free_females(book: Book, night_id: int) -> tuple[ArrivalRow, ...]:
    """Return a night's lines of females of which not all were kept, latest first."""
    checks = [check.id for check in book.all(CheckRow, t.Check.night_id == night_id)]
    lines = book.all(
        ArrivalRow,
        t.Arrival.check_id.in_(checks),
        t.Arrival.sex == Sex.FEMALE,
        order=(t.Arrival.id.desc(),),
    )
    kept = [moth.arrival_id for moth in book.all(MothRow, t.Moth.night_id == night_id)]
    return tuple(line for line in lines if kept.count(line.id) < line.number)
