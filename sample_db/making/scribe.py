"""The hand that writes the sample book: names to ids, and acts in order of time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.moments import on_day, zone_of
from rearing.records.journal import Entry

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterable, Mapping

    from rearing.records.book import Book


class Scribe:
    """A book being written, and what its things are called in the sources."""

    def __init__(self, book: Book, *, zone_name: str, who: str) -> None:
        self.book = book
        self.zone = zone_of(zone_name)
        self.who = who
        self._ids: dict[tuple[str, str], int] = {}

    def name(self, kind: str, name: str, row_id: int) -> None:
        """Remember what a thing is called."""
        self._ids[kind, name] = row_id

    def id_of(self, kind: str, name: str) -> int:
        """Return the id of a thing by its name; a wrong name is said plainly."""
        if (kind, name) not in self._ids:
            raise KeyError(f"the sources name no {kind} {name!r} before this")
        return self._ids[kind, name]

    def knows(self, kind: str, name: str) -> bool:
        """Return True when something of this kind and name was written already."""
        return (kind, name) in self._ids

    def moment(self, day: dt.date, clock: dt.time) -> dt.datetime:
        """Return a moment of a day at home."""
        return on_day(day, clock, self.zone)

    def local(self, moment: dt.datetime) -> dt.datetime:
        """Return a moment written without a zone as one at home."""
        return moment.replace(tzinfo=self.zone)


@dataclass(frozen=True, slots=True)
class Act:
    """Something that was entered at a moment; `rank` orders what is equally late."""

    at: dt.datetime
    rank: int
    do: Callable[[Entry], object]


def enter_all(scribe: Scribe, acts: Iterable[Act]) -> int:
    """Enter everything in the order in which it happened; return how much it was."""
    number = 0
    for act in sorted(acts, key=lambda act: (act.at, act.rank)):
        act.do(Entry(act.at, scribe.who))
        number += 1
    return number


def only(told: Mapping[str, object], *allowed: str) -> None:
    """Refuse a word in a source that nobody would read."""
    unknown = set(told) - set(allowed)
    if unknown:
        raise KeyError(f"not understood: {', '.join(sorted(unknown))} in {dict(told)}")
