"""The latest of many: last visits of each box, found by the database itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

from rearing.records.book import columns_of
from rearing.records.rows import BoxVisitRow, LossRow
from rearing.records.tables import Box, BoxVisit, Loss
from rearing.terms import Cause, Visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from sqlalchemy import Select

    from rearing.records.book import Book


def last_visits(
    book: Book, on: dt.date, kinds: Iterable[Visit]
) -> dict[int, BoxVisitRow]:
    """Return each box's last visit of these kinds on or before a day."""
    ranked = (
        select(
            BoxVisit.id,
            func.row_number()
            .over(
                partition_by=BoxVisit.box_id,
                order_by=(BoxVisit.on.desc(), BoxVisit.at.desc(), BoxVisit.id.desc()),
            )
            .label("rank"),
        )
        .where(
            # Only boxes that stand: years of visits to closed ones are not read.
            BoxVisit.box_id.in_(_standing_boxes(on)),
            BoxVisit.on <= on,
            BoxVisit.what.in_(list(kinds)),
        )
        .subquery()
    )
    query = (
        select(*columns_of(BoxVisitRow))
        .join(ranked, ranked.c.id == BoxVisit.id)
        .where(ranked.c.rank == 1)
    )
    with book.reading() as connection:
        rows = [BoxVisitRow(*row) for row in connection.execute(query)]
    return {row.box_id: row for row in rows if row.box_id is not None}


def last_catching_losses(book: Book, on: dt.date) -> dict[int, LossRow]:
    """Return each box's last loss of a catching cause on or before a day."""
    catching = [cause for cause in Cause if cause.is_catching]
    losses = book.all(
        LossRow, Loss.cause.in_(catching), Loss.on <= on, order=(Loss.on, Loss.id)
    )
    return {loss.box_id: loss for loss in losses}


def _standing_boxes(on: dt.date) -> Select[int]:
    return select(Box.id).where(
        Box.opened_on <= on, Box.closed_on.is_(None) | (Box.closed_on > on)
    )
