"""What leaf was given: weighed or not by day, and what each box was given last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from rearing.records.tables import Box, BoxVisit
from rearing.terms import Visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class LeafGiven:
    """The leaf of some days.

    `weighed` are day, host and grams [g] of each time it was weighed, in order of
    time; `unweighed` the days on which some was not. `last_host` is what each box that
    stands was given last, where that was said.
    """

    weighed: tuple[tuple[dt.date, str | None, float], ...]
    unweighed: frozenset[dt.date]
    last_host: Mapping[int, str]


def leaf_given(book: Book, first: dt.date, last: dt.date) -> LeafGiven:
    """Return the leaf given from a day to another.

    A season feeds ten thousand times, mostly unweighed: the database adds it up itself,
    since to read every line takes five times as long.
    """
    visit = BoxVisit.__table__.c
    then = visit.on.between(first, last)
    fed = visit.what.in_([what for what in Visit if what.feeds])
    weighed = (
        select(visit.on, visit.host, visit.grams)
        .where(then, visit.grams != 0)
        .order_by(visit.on, visit.id)
    )
    unweighed = select(visit.on).where(then, fed, func.coalesce(visit.grams, 0) == 0)
    box = Box.__table__.c
    host = (
        select(visit.host)
        .where(visit.box_id == box.id, then, visit.host != "")
        .order_by(visit.on.desc(), visit.id.desc())
        .limit(1)
        .correlate(Box.__table__)
        .scalar_subquery()
    )
    boxes = select(box.id, host).where(
        box.opened_on <= last, box.closed_on.is_(None) | (box.closed_on > last)
    )
    with book.reading() as connection:
        return LeafGiven(
            tuple(map(tuple, connection.execute(weighed).all())),
            frozenset(connection.execute(unweighed.distinct()).scalars()),
            {
                box_id: given
                for box_id, given in connection.execute(boxes).all()
                if given is not None
            },
        )
