"""The leaf given in a span of days, summed by the database: by day, host and cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import case, func, select

from rearing.records.tables import BoxVisit
from rearing.terms import Visit

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book

_FEEDS = [visit for visit in Visit if visit.feeds]


@dataclass(frozen=True, slots=True)
class Fed:
    """All feedings of a day with one host from one cut; `unweighed` have no grams."""

    on: dt.date
    host: str | None
    cut_id: int | None
    grams: float
    unweighed: int


def fed_between(book: Book, first: dt.date, last: dt.date) -> tuple[Fed, ...]:
    """Return what was given from one day to another, oldest first."""
    visit = BoxVisit.__table__.c
    unweighed = func.sum(case((visit.grams.is_(None), 1), else_=0))
    query = (
        select(
            visit.on,
            visit.host,
            visit.cut_id,
            func.coalesce(func.sum(visit.grams), 0.0),
            unweighed,
        )
        .where(visit.on >= first, visit.on <= last, visit.what.in_(_FEEDS))
        .group_by(visit.on, visit.host, visit.cut_id)
        .order_by(visit.on, visit.host, visit.cut_id)
    )
    with book.reading() as connection:
        rows = connection.execute(query).all()
    return tuple(Fed(*row) for row in rows)


def boxes_of_cuts(
    book: Book, first: dt.date, last: dt.date
) -> tuple[tuple[int, int], ...]:
    """Return each (cut, box) of the feedings that named their cut, once."""
    visit = BoxVisit.__table__.c
    query = (
        select(visit.cut_id, visit.box_id)
        .where(
            visit.on >= first,
            visit.on <= last,
            visit.cut_id.is_not(None),
            visit.box_id.is_not(None),
        )
        .distinct()
    )
    with book.reading() as connection:
        rows = connection.execute(query).all()
    return tuple((row[0], row[1]) for row in rows)
