"""What was done and seen at a brood, latest first: the lines of its page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.away_days import days_away
from rearing.keeping.gaps import care_span, gaps
from rearing.keeping.holding import grouped
from rearing.keeping.moments import stages_words
from rearing.records import tables as t
from rearing.records.rows import BoxVisitRow, ExitRow, HeadcountRow, LossRow, MoveRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

    from rearing.keeping.holding import Holding
    from rearing.records.book import Book

MOST = 60


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing done or seen."""

    on: dt.date
    at: dt.datetime | None
    where: str
    words: str
    note: str | None


def doings_of(book: Book, held: Holding, on: dt.date) -> tuple[Doing, ...]:
    """Return the latest things done and seen in what is held, up to a day."""
    found = [*_of_pots(held), *_of_boxes(book, held, on)]
    found += _missed(book, held, on, {doing.on for doing in found})
    found.sort(key=_order, reverse=True)
    return tuple(found[:MOST])


def _order(doing: Doing) -> tuple[dt.date, float]:
    return (doing.on, doing.at.timestamp() if doing.at else 0.0)


def _missed(
    book: Book, held: Holding, on: dt.date, seen: set[dt.date]
) -> Iterator[Doing]:
    """Return the days on which boxes with feeding larvae had no entry at all."""
    ids = [box.row.id for box in held.boxes]
    visits = book.all(BoxVisitRow, t.BoxVisit.box_id.in_(ids), t.BoxVisit.on <= on)
    fed = grouped((v for v in visits if v.what.feeds), lambda visit: visit.box_id)
    spans = [
        care_span(box, [visit.on for visit in fed.get(box.row.id, ())], on)
        for box in held.boxes
    ]
    away = days_away(book, on)
    for gap in gaps([span for span in spans if span is not None], seen):
        why = ", away" if away.issuperset(gap.all_days()) else ""
        yield Doing(gap.last, None, "boxes", f"{gap.words}{why}", None)


def _of_pots(held: Holding) -> Iterator[Doing]:
    for pot in held.pots:
        where = f"pot {pot.row.label}"
        for laying in pot.layings:
            yield Doing(
                laying.evening, None, where, f"{laying.number} eggs", laying.note
            )
        for outcome in pot.outcomes:
            words = f"{outcome.number} {outcome.fate}"
            yield Doing(outcome.on, None, where, words, outcome.note)


def _of_boxes(book: Book, held: Holding, on: dt.date) -> Iterator[Doing]:
    names = {box.row.id: box.row.label for box in held.boxes}
    ids = list(names)
    for visit in book.all(BoxVisitRow, t.BoxVisit.box_id.in_(ids), t.BoxVisit.on <= on):
        leaf = f", {visit.host}" if visit.host else ""
        leaf += f" {visit.grams:g} g" if visit.grams else ""
        where = names[visit.box_id or 0]
        yield Doing(visit.on, visit.at, where, f"{visit.what}{leaf}", visit.note)
    for count in book.all(
        HeadcountRow, t.Headcount.box_id.in_(ids), t.Headcount.on <= on
    ):
        words = f"{count.number} counted"
        yield Doing(count.on, count.at, names[count.box_id], words, count.note)
    for loss in book.all(LossRow, t.Loss.box_id.in_(ids), t.Loss.on <= on):
        words = f"{loss.number} lost: {loss.cause}"
        yield Doing(loss.on, loss.at, names[loss.box_id], words, loss.note)
    for leaving in book.all(ExitRow, t.Exit.box_id.in_(ids), t.Exit.on <= on):
        to = leaving.to_whom or leaving.where
        words = f"{leaving.number} {leaving.kind}{f', {to}' if to else ''}"
        yield Doing(leaving.on, leaving.at, names[leaving.box_id], words, leaving.note)
    for move in book.all(MoveRow, t.Move.to_box_id.in_(ids), t.Move.on <= on):
        source = names.get(move.from_box_id or 0, "the pot")
        words = f"{move.number} in from {source}"
        yield Doing(move.on, move.at, names[move.to_box_id], words, move.note)
    for box in held.boxes:
        for look in box.looks:
            words = stages_words(look.numbers)
            yield Doing(look.on, look.at, box.row.label, words, None)
