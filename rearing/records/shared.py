"""What boxes have in common: days they were handled on, leaf and cuts they were given.

The database compares and counts; only the boxes that share something are returned.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import case, func, select, union_all

from rearing.records.tables import BoxVisit, Cut, Headcount

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from sqlalchemy import Select

    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class SharedDays:
    """A box that was handled on the same days as another."""

    box_id: int
    days: int
    after: int
    """Days on which it was handled after the other, as far as clocks tell."""
    last: dt.date


@dataclass(frozen=True, slots=True)
class SharedLeaf:
    """A box that was given leaf of the same kind on the same days, or of one cut."""

    box_id: int
    name: str
    days: int
    last: dt.date


def shared_days(
    book: Book, box_id: int, since: dt.date, until: dt.date
) -> tuple[SharedDays, ...]:
    """Return the boxes that were visited or counted on days on which this one was."""
    mine = _handled(since, until, box_id).subquery()
    began = (
        select(mine.c.on, func.min(mine.c.at).label("at"))
        .group_by(mine.c.on)
        .subquery()
    )
    other = _handled(since, until).subquery()
    # Clocks of one day compare as text: they are stored as ISO 8601 in UTC.
    daily = (
        select(
            other.c.box_id,
            other.c.on,
            func.max(case((other.c.at > began.c.at, 1), else_=0)).label("after"),
        )
        .join(began, began.c.on == other.c.on)
        .where(other.c.box_id != box_id)
        .group_by(other.c.box_id, other.c.on)
        .subquery()
    )
    query = select(
        daily.c.box_id,
        func.count(),
        func.sum(daily.c.after),
        func.max(daily.c.on),
    ).group_by(daily.c.box_id)
    with book.reading() as connection:
        return tuple(SharedDays(*row) for row in connection.execute(query).all())


def shared_leaf(
    book: Book, box_id: int, since: dt.date, until: dt.date
) -> tuple[SharedLeaf, ...]:
    """Return the boxes that were given leaf of the same kind on the same days."""
    mine = _given(since, until).where(BoxVisit.box_id == box_id).distinct().subquery()
    query = (
        select(
            BoxVisit.box_id,
            BoxVisit.host,
            func.count(BoxVisit.on.distinct()),
            func.max(BoxVisit.on),
        )
        .join(mine, (mine.c.on == BoxVisit.on) & (mine.c.host == BoxVisit.host))
        .where(BoxVisit.box_id.is_not(None), BoxVisit.box_id != box_id)
        .group_by(BoxVisit.box_id, BoxVisit.host)
    )
    with book.reading() as connection:
        return tuple(_leaf(row) for row in connection.execute(query).all())


def shared_cuts(
    book: Book, box_id: int, since: dt.date, until: dt.date
) -> tuple[SharedLeaf, ...]:
    """Return the boxes that were given leaf of the very same cut."""
    mine = select(BoxVisit.cut_id).where(
        BoxVisit.box_id == box_id, BoxVisit.on.between(since, until)
    )
    query = (
        select(
            BoxVisit.box_id,
            func.max(Cut.host),
            func.count(BoxVisit.cut_id.distinct()),
            func.max(BoxVisit.on),
        )
        .join(Cut, Cut.id == BoxVisit.cut_id)
        .where(
            BoxVisit.cut_id.in_(mine),
            BoxVisit.box_id.is_not(None),
            BoxVisit.box_id != box_id,
            BoxVisit.on <= until,
        )
        .group_by(BoxVisit.box_id)
    )
    with book.reading() as connection:
        return tuple(_leaf(row) for row in connection.execute(query).all())


def _leaf(row: Sequence[Any]) -> SharedLeaf:
    box_id, name, days, last = row
    return SharedLeaf(box_id, name, days, last)


def _handled(since: dt.date, until: dt.date, box_id: int | None = None):  # type: ignore[no-untyped-def]
    """Return box, day and clock of every visit and headcount between two days."""
    parts = []
    for table in (BoxVisit, Headcount):
        part = select(table.box_id, table.on, table.at).where(
            table.box_id.is_not(None), table.on.between(since, until)
        )
        parts.append(part if box_id is None else part.where(table.box_id == box_id))
    return union_all(*parts)


def _given(since: dt.date, until: dt.date) -> Select[dt.date, str | None]:
    return select(BoxVisit.on, BoxVisit.host).where(
        BoxVisit.on.between(since, until), BoxVisit.host.is_not(None)
    )
