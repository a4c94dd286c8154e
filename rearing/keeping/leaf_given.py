"""The leaf a brood was given, day by day: what was weighed, and what was not."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.host_history import host_stretches
from rearing.records import tables as t
from rearing.records.rows import BoxVisitRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping

    from rearing.keeping.host_history import HostStretch
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class LeafDay:
    """A day on which leaf was given; `unweighed` feedings have no grams."""

    on: dt.date
    grams: float
    unweighed: int


@dataclass(frozen=True, slots=True)
class LeafGiven:
    """What was given up to a day: by host, and day by day."""

    by_host: Mapping[str, float]
    feedings: int
    weighed: int
    days: tuple[LeafDay, ...]
    stretches: tuple[HostStretch, ...] = ()
    """The hosts one after the other, oldest first."""

    @property
    def grams(self) -> float:
        """All that was weighed [g]; what was not weighed is not in it."""
        return sum(day.grams for day in self.days)


def leaf_given(book: Book, box_ids: Iterable[int], on: dt.date) -> LeafGiven:
    """Return the leaf given to boxes up to and including a day."""
    visits = [
        visit
        for visit in book.all(
            BoxVisitRow,
            t.BoxVisit.box_id.in_(list(box_ids)),
            t.BoxVisit.on <= on,
            order=(t.BoxVisit.on, t.BoxVisit.id),
        )
        if visit.what.feeds
    ]
    by_host: defaultdict[str, float] = defaultdict(float)
    by_day: dict[dt.date, list[BoxVisitRow]] = {}
    for visit in visits:
        by_host[visit.host or "leaf"] += visit.grams or 0.0
        by_day.setdefault(visit.on, []).append(visit)
    return LeafGiven(
        by_host=dict(sorted(by_host.items(), key=lambda one: -one[1])),
        feedings=len(visits),
        weighed=sum(visit.grams is not None for visit in visits),
        days=tuple(_day(day, own) for day, own in by_day.items()),
        stretches=host_stretches(visits),
    )


def _day(day: dt.date, visits: Iterable[BoxVisitRow]) -> LeafDay:
    grams = [visit.grams for visit in visits]
    return LeafDay(
        on=day,
        grams=sum(weight for weight in grams if weight is not None),
        unweighed=sum(weight is None for weight in grams),
    )
