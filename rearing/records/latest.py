"""The latest of many: last visits of each box, found by the database itself."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from rearing.records.book import columns_of
from rearing.records.rows import BoxVisitRow, LossRow, MoveRow
from rearing.records.tables import Box, BoxVisit, Change, Loss, Move
from rearing.terms import Cause, Visit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import ScalarSelect

    from rearing.records.book import Book


def last_visits(
    book: Book, on: dt.date, kinds: Iterable[Visit]
) -> dict[int, BoxVisitRow]:
    """Return each box's last visit of these kinds on or before a day."""
    return last_visits_of(book, on, tuple(kinds))[0]


def last_visits_of(
    book: Book, on: dt.date, *each: tuple[Visit, ...]
) -> list[dict[int, BoxVisitRow]]:
    """Return each box's last visit on or before a day of several kinds, read at once.

    One that is the last of two kinds, as most are, is fetched only once.
    """
    box = Box.__table__.c
    standing = box.opened_on <= on, box.closed_on.is_(None) | (box.closed_on > on)
    lasts = [select(_last_id(on, kinds)).where(*standing) for kinds in each]
    visit = BoxVisit.__table__.c
    query = (
        select(*columns_of(BoxVisitRow))
        .where(visit.id.in_(lasts[0].union_all(*lasts[1:])))
        .order_by(visit.on, visit.at, visit.id)
    )
    with book.reading() as connection:
        rows = [BoxVisitRow(*row) for row in connection.execute(query).all()]
    # in order of time: the last of a kind stays
    return [
        {
            row.box_id: row
            for row in rows
            if row.what in kinds and row.box_id is not None
        }
        for kinds in each
    ]


def _last_id(on: dt.date, kinds: Iterable[Visit]) -> ScalarSelect[int]:
    # Asked box by box: the index leads to the last few, years of others are not read.
    visit = BoxVisit.__table__.c
    return (
        select(visit.id)
        .where(
            visit.box_id == Box.__table__.c.id,
            visit.on <= on,
            visit.what.in_(list(kinds)),
        )
        .order_by(visit.on.desc(), visit.at.desc(), visit.id.desc())
        .limit(1)
        .correlate(Box.__table__)
        .scalar_subquery()
    )


SPREADS = dt.timedelta(days=3)
"""Those taken out so shortly before a death had shared the box with the sick one
(three days at least: Nuclear polyhedrosis, oocities.com/RainForest/2153/np.html)."""


def last_catching_losses(book: Book, on: dt.date) -> dict[int, LossRow]:
    """Return each box's last loss of a catching cause on or before a day.

    Animals moved out of a sick box carry it along: splitting, joining or mixing ends
    no quarantine.
    """
    catching = [cause for cause in Cause if cause.is_catching]
    losses = book.all(
        LossRow, Loss.cause.in_(catching), Loss.on <= on, order=(Loss.on, Loss.id)
    )
    found = {loss.box_id: loss for loss in losses}
    if not found:
        return found
    first = min(loss.on for loss in losses) - SPREADS
    for move in book.all(
        MoveRow,
        Move.from_box_id.is_not(None),
        Move.on.between(first, on),
        order=(Move.on, Move.id),
    ):
        sick = found.get(move.from_box_id or 0)
        if sick is None or move.on < sick.on - SPREADS:
            continue
        had = found.get(move.to_box_id)
        if had is None or had.on < sick.on:
            found[move.to_box_id] = replace(sick, box_id=move.to_box_id)
    return found


def last_change(book: Book) -> int:
    """Return the number of the journal's last line: whatever is entered moves it on."""
    with book.reading() as connection:
        return int(
            connection.execute(select(func.max(Change.__table__.c.id))).scalar_one()
            or 0
        )
