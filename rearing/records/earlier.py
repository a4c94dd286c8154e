"""What the journal still knows of rows that have been changed since."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sqlalchemy import select

from rearing.records.journal import Line
from rearing.records.rows import TreeRow
from rearing.records.tables import Change, ChangeRow, Tree

if TYPE_CHECKING:
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class Closing:
    """A time in which a tree was closed, and why."""

    since: dt.date
    until: dt.date
    why: str


def closings(book: Book, tree_id: int) -> tuple[Closing, ...]:
    """Return when a tree was closed, oldest first.

    A closing whose end was changed later counts once, as it was left.
    """
    told = (
        select(ChangeRow.after)
        .join(Change, Change.id == ChangeRow.change_id)
        .where(
            ChangeRow.table_name == Tree.__tablename__,
            ChangeRow.row_id == tree_id,
            Change.kind == Line.ENTRY,
            Change.undone.is_(False),
        )
        .order_by(ChangeRow.id)
    )
    with book.reading() as connection:
        images = connection.execute(told).scalars().all()
    found: dict[dt.date, Closing] = {}
    for image in images:
        row = json.loads(image) if image else {}
        since, until = row.get("closed_from"), row.get("closed_until")
        if since and until:
            first = dt.date.fromisoformat(since)
            last = dt.date.fromisoformat(until)
            found[first] = Closing(first, last, row.get("closed_why") or "")
    return tuple(found[first] for first in sorted(found))


def trees_on(book: Book, on: dt.date) -> tuple[TreeRow, ...]:
    """Return the trees, each with the closing that holds on a day.

    A tree that is closed again later has the closing that the day lies in.
    """
    rows = book.all(TreeRow)
    return tuple(
        row
        if row.closed_from is None or row.closed_from <= on
        else _as_closed_before(book, row, on)
        for row in rows
    )


def _as_closed_before(book: Book, row: TreeRow, on: dt.date) -> TreeRow:
    then = [one for one in closings(book, row.id) if one.since <= on < one.until]
    if not then:
        return row
    last = then[-1]
    return replace(
        row,
        closed_from=last.since,
        closed_until=last.until,
        closed_why=last.why or None,
    )
