"""A second look at a night: what was counted is called something else, in one entry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.lamp import determine
from rearing.keeping.nights import check_order, current_call
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import ArrivalRow, CheckRow, DeterminationRow, MothRow

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.lamp import Call
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched
    from rearing.terms import Sex


@dataclass(frozen=True, slots=True)
class Counted:
    """What of one kind was counted at one check, as it was first called."""

    check: CheckRow
    taxon: str
    sex: Sex
    arrival_ids: tuple[int, ...]
    number: int
    """How many of them were not called anything else since."""


def counted_kinds(book: Book, night_id: int) -> tuple[Counted, ...]:
    """Return a night's counts by check and kind, those of which some still stand."""
    checks = sorted(book.all(CheckRow, t.Check.night_id == night_id), key=check_order)
    found = []
    for check in checks:
        kinds: dict[tuple[str, Sex], list[ArrivalRow]] = {}
        for row in book.all(ArrivalRow, t.Arrival.check_id == check.id):
            kinds.setdefault((row.taxon, row.sex), []).append(row)
        for (taxon, sex), rows in kinds.items():
            ids = tuple(row.id for row in rows)
            left = sum(row.number for row in rows) - _called(book, ids)
            if left > 0:
                found.append(Counted(check, taxon, sex, ids, left))
    return tuple(found)


def call_again(
    book: Book,
    entry: Entry,
    *,
    counted: Counted,
    number: int,
    call: Call,
    on: dt.date | None = None,
    note: str | None = None,
) -> Touched:
    """Call some of what a check counted something else; the first call stays."""
    if not 1 <= number <= counted.number:
        raise Refusal(
            f"That check counts {counted.number} of them; of how many is it now said?",
            field="number",
        )
    rows = book.all(ArrivalRow, t.Arrival.id.in_(counted.arrival_ids))
    of_them = t.Moth.arrival_id.in_(counted.arrival_ids)
    kept = {moth.arrival_id for moth in book.all(MothRow, of_them)}
    left = number
    with book.change(entry) as pen:
        # those that no bag hangs from first: she has a second look of her own
        for row in sorted(rows, key=lambda row: (row.id in kept, row.id)):
            free = row.number - _called(book, (row.id,))
            part = min(free, left)
            if part > 0:
                day = on or entry.on
                determine(pen, call, day, part, arrival_id=row.id, note=note)
                left -= part
        pen.say(
            f"Second look: {number} {counted.sex.sign} {counted.taxon} is "
            f"{call.sex.sign} {call.taxon}"
        )
    return pen.touched


def moth_kind(book: Book, moth: MothRow, on: dt.date) -> tuple[str, Sex]:
    """Return what a kept moth is called on a day."""
    calls = book.all(DeterminationRow, t.Determination.moth_id == moth.id)
    return current_call((moth.taxon, moth.sex), calls, on)


def _called(book: Book, arrival_ids: tuple[int, ...]) -> int:
    """Return how many of some lines were called something else, each moth once."""
    calls = book.all(DeterminationRow, t.Determination.arrival_id.in_(arrival_ids))
    moths = {call.moth_id for call in calls if call.moth_id is not None}
    return len(moths) + sum(call.number for call in calls if call.moth_id is None)
