"""What a box has eaten, host by host, and the question when that changes after L2.

Larvae moved late to a new host grow slower, some refuse it to death though hatchlings
take it; a change to a better plant in the last instar can help (host-switching studies
named in the handbook 4.2). It is asked, never forbidden.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.hosts import same_by_name
from rearing.keeping.moments import short_day, span_words
from rearing.keeping.stage_known import with_stages
from rearing.records import tables as t
from rearing.records.rows import (
    BoxRow,
    BoxVisitRow,
    MoveRow,
    StageCountRow,
    StageLookRow,
)
from rearing.terms import INSTARS, Stage, Visit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from rearing.records.book import Book

FEEDS = tuple(visit for visit in Visit if visit.feeds)
KEPT_TO_L2 = INSTARS[:2]
"""Up to here larvae take a new host readily."""

APART = dt.timedelta(days=7)
"""Feedings of one host in other boxes within so long belong together."""

L2_LASTS = dt.timedelta(days=10)
"""L1 and L2 together at the usual room (Antheraea proylei 8.8 d; cooler half as long
again, common practice, no source): after so long without a look they are taken to be
past it."""


@dataclass(frozen=True, slots=True)
class HostStretch:
    """A time in which one host was given; `unweighed` feedings have no grams."""

    host: str
    since: dt.date
    last: dt.date
    grams: float
    feedings: int
    unweighed: int

    @property
    def words(self) -> str:
        """As words: beech, 3 to 28 June, 1.43 kg at 12 of 14 feedings."""
        said = f"{self.host}, {span_words(self.since, self.last)}"
        weighed = self.feedings - self.unweighed
        if not weighed:
            return f"{said}, not weighed"
        much = f"{self.grams:.0f} g"
        if self.grams >= 1000:
            much = f"{self.grams / 1000:.2f} kg"
        if self.unweighed:
            much += f" at {weighed} of {self.feedings} feedings"
        return f"{said}, {much}"


def host_stretches(visits: Iterable[BoxVisitRow]) -> tuple[HostStretch, ...]:
    """Return the hosts given one after the other, oldest first.

    `visits` are those that fed, by day, of one box or several. Boxes of one brood on
    different hosts at the same time give stretches beside each other.
    """
    runs: list[tuple[str, list[BoxVisitRow]]] = []
    latest: dict[int | None, tuple[str, list[BoxVisitRow]]] = {}
    for visit in visits:
        host = visit.host or "leaf"
        run = latest.get(visit.box_id)
        if run is None or run[0] != host:
            run = latest[visit.box_id] = (host, [])
            runs.append(run)
        run[1].append(visit)
    merged: list[tuple[str, list[BoxVisitRow]]] = []
    for host, own in sorted(runs, key=lambda run: (run[0], run[1][0].on)):
        if merged and merged[-1][0] == host and own[0].on <= _end(merged[-1]) + APART:
            merged[-1][1].extend(own)
        else:
            merged.append((host, list(own)))
    found = [_stretch(host, sorted(own, key=lambda x: x.on)) for host, own in merged]
    return tuple(sorted(found, key=lambda one: (one.since, one.host)))


def _end(run: tuple[str, list[BoxVisitRow]]) -> dt.date:
    return max(visit.on for visit in run[1])


def _stretch(host: str, visits: Sequence[BoxVisitRow]) -> HostStretch:
    return HostStretch(
        host=host,
        since=visits[0].on,
        last=visits[-1].on,
        grams=sum(visit.grams or 0.0 for visit in visits),
        feedings=len(visits),
        unweighed=sum(visit.grams is None for visit in visits),
    )


def change_question(
    book: Book,
    box: BoxRow,
    host: str,
    on: dt.date,
    same: Callable[[str, str], bool] = same_by_name,
) -> str:
    """Return what is asked before a box is given another host; empty if nothing is.

    Nothing is of the same genus, of the first host, nor up to L2.
    """
    before = _last_fed(book, box.id, on)
    usual = before.host if before is not None else box.host
    if usual is None or usual == host or same(usual, host):
        return ""
    past = past_l2(book, box.id, on)
    if not past:
        return ""
    since = _since(book, box, usual, on)
    return (
        f"These have eaten {usual} since {short_day(since)} and are {past}. Some "
        f"refuse a new plant to death, others grow slower; a change to a better plant "
        f"in the last instar can help. Give {host} all the same?"
    )


def move_question(
    book: Book,
    origin: BoxRow,
    into: BoxRow | str | None,
    on: dt.date,
    *,
    stage: Stage | None = None,
) -> str:
    """Return what is asked before animals go to another host; empty if nothing is.

    `into` is a box that stands, which eats what it was given last, or the host of a
    new one.
    """
    if isinstance(into, BoxRow):
        if into.kind.is_for_pupae:
            return ""
        before = _last_fed(book, into.id, on)
        into = before.host if before is not None else into.host
    if not into or (stage is not None and not _minds(stage)):
        return ""
    return change_question(book, origin, into, on)


def _minds(stage: Stage) -> bool:
    return stage.is_larva and stage not in KEPT_TO_L2


def _last_fed(book: Book, box_id: int, on: dt.date) -> BoxVisitRow | None:
    return next(iter(_fed(book, box_id, on)), None)


def _fed(book: Book, box_id: int, on: dt.date) -> tuple[BoxVisitRow, ...]:
    """Return the feedings of a box that name a host, latest first."""
    return book.all(
        BoxVisitRow,
        t.BoxVisit.box_id == box_id,
        t.BoxVisit.on <= on,
        t.BoxVisit.what.in_(FEEDS),
        t.BoxVisit.host.is_not(None),
        order=(t.BoxVisit.on.desc(), t.BoxVisit.id.desc()),
    )


def _since(book: Book, box: BoxRow, host: str, on: dt.date) -> dt.date:
    """Return since when a box has been on its present host."""
    since = box.opened_on
    for visit in _fed(book, box.id, on):
        if visit.host != host:
            return since
        since = visit.on
    return min(since, box.opened_on) if box.host == host else since


def past_l2(book: Book, box_id: int, on: dt.date) -> str:
    """Return how it is known that the oldest of a box are past L2; empty if not."""
    stage, seen = _oldest(book, box_id, on)
    if seen is None:
        return ""
    if stage is None or stage in KEPT_TO_L2:
        late = on - seen >= L2_LASTS
        return f"probably past L2, {(on - seen).days} days on" if late else ""
    return f"{stage} already" if stage.is_larva else ""


def _oldest(
    book: Book, box_id: int, on: dt.date
) -> tuple[Stage | None, dt.date | None]:
    """Return the furthest stage known of a box, and when; no stage fresh from eggs."""
    looks = book.all(
        StageLookRow,
        t.StageLook.box_id == box_id,
        t.StageLook.on <= on,
        order=(t.StageLook.on.desc(), t.StageLook.id.desc()),
    )
    moves = with_stages(
        book,
        book.all(
            MoveRow, t.Move.to_box_id == box_id, t.Move.on <= on, order=(t.Move.on,)
        ),
    )
    known = [(move.stage, move.on) for move in moves if move.stage is not None]
    if looks:
        counts = book.all(StageCountRow, t.StageCount.look_id == looks[0].id)
        known += [(count.stage, looks[0].on) for count in counts]
    if known:
        order = tuple(Stage)
        return max(known, key=lambda one: (order.index(one[0]), one[1]))
    return (None, moves[0].on) if moves else (None, None)
