"""What was counted and seen in many boxes, as bare columns.

A large round reads ten thousand of these lines: made into whole rows first, of which
four columns are wanted, they would take three times as long.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

from rearing.records.among import among
from rearing.records.tables import BoxVisit, Headcount, StageCount, StageLook
from rearing.terms import Visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from rearing.records.book import Book
    from rearing.terms import Stage

    Counted = tuple[int, dt.date, dt.datetime | None, int, int]
    Seen = tuple[
        int, int, dt.date, dt.datetime | None, Stage | None, int | None, int | None
    ]


def headcounts_of(book: Book, box_ids: Iterable[int], on: dt.date) -> Sequence[Counted]:
    """Return box, day, moment, number and id of the counts up to a day, by id."""
    count = Headcount.__table__.c
    query = (
        select(count.box_id, count.on, count.at, count.number, count.id)
        .where(among(count.box_id, box_ids), count.on <= on)
        .order_by(count.id)
    )
    with book.reading() as connection:
        return connection.execute(query).all()


def stages_seen_in(book: Book, box_ids: Iterable[int], on: dt.date) -> Sequence[Seen]:
    """Return the looks at stages up to a day, a line for each stage, in their order.

    Box, look, day, moment, stage, number, of them at rest; a look at which nothing was
    counted has one line without a stage.
    """
    look, count = StageLook.__table__.c, StageCount.__table__.c
    joined = StageLook.__table__.outerjoin(
        StageCount.__table__, count.look_id == look.id
    )
    query = (
        select(
            *(look.box_id, look.id, look.on, look.at),
            *(count.stage, count.number, count.resting),
        )
        .select_from(joined)
        .where(among(look.box_id, box_ids), look.on <= on)
        .order_by(look.on, look.id, count.id)
    )
    with book.reading() as connection:
        return connection.execute(query).all()


def last_looked_well(
    book: Book, box_ids: Iterable[int], first: dt.date, last: dt.date
) -> dict[int, dt.date]:
    """Return on which of some days boxes were last looked at and found all well."""
    visit = BoxVisit.__table__.c
    query = (
        select(visit.box_id, func.max(visit.on))
        .where(
            among(visit.box_id, box_ids),
            visit.what == Visit.ALL_WELL,
            visit.on.between(first, last),
        )
        .group_by(visit.box_id)
    )
    with book.reading() as connection:
        return dict(map(tuple, connection.execute(query).all()))
