"""A tree's year: the signs seen, and the day on which a host usually has one."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from statistics import median_low
from typing import TYPE_CHECKING

from rearing.records import tables as t
from rearing.records.rows import TreeDayRow
from rearing.terms import TreeSign

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from rearing.records.book import Book
    from rearing.records.rows import TreeRow

Signs = tuple[TreeDayRow, ...]

BARE_LASTS = dt.timedelta(days=165)
"""After so long a tree is in leaf, its bud burst entered or not: from early November
to late April (common practice, no source)."""

_PLAIN_YEAR = 2001  # not a leap year: days of any year are told in it


@dataclass(frozen=True, slots=True)
class YearOfHost:
    """One sign of a host: when it was seen this year, else when it usually comes.

    `seen_on` is the earliest of its trees this year; `usual` month and day, the middle
    of earlier years and trees, `years` how many of them.
    """

    host: str
    seen_on: dt.date | None
    usual: tuple[int, int] | None
    years: int

    def day(self, year: int) -> dt.date | None:
        """Return the day it was seen, or is usually seen, in a year."""
        if self.seen_on is not None or self.usual is None:
            return self.seen_on
        return dt.date(year, *self.usual)


def signs(book: Book, on: dt.date) -> Signs:
    """Return every sign of every tree up to a day, oldest first."""
    return book.all(TreeDayRow, t.TreeDay.on <= on, order=(t.TreeDay.on, t.TreeDay.id))


def of_this_year(seen: Iterable[TreeDayRow], tree_id: int, year: int) -> Signs:
    """Return a tree's signs of a year."""
    return tuple(x for x in seen if x.tree_id == tree_id and x.on.year == year)


def year_of_hosts(
    trees: Iterable[TreeRow], seen: Iterable[TreeDayRow], sign: TreeSign, year: int
) -> dict[str, YearOfHost]:
    """Return a sign by host, this year's and the usual one, for hosts that have any."""
    host_of = {tree.id: tree.host.casefold() for tree in trees}
    now: dict[str, dt.date] = {}
    before: defaultdict[str, list[dt.date]] = defaultdict(list)
    for one in seen:
        host = host_of.get(one.tree_id)
        if host is None or one.sign is not sign:
            continue
        if one.on.year == year:
            now[host] = min(now.get(host, one.on), one.on)
        elif one.on.year < year:
            before[host].append(one.on)
    return {
        host: YearOfHost(
            host=host,
            seen_on=now.get(host),
            usual=_middle(before[host]) if host in before else None,
            years=len({day.year for day in before.get(host, ())}),
        )
        for host in {*now, *before}
    }


def _middle(days: Iterable[dt.date]) -> tuple[int, int]:
    plain = [_plain(day) for day in days]
    middle = median_low(plain)
    return middle.month, middle.day


def _plain(day: dt.date) -> dt.date:
    """Return a day in a year without a 29 February."""
    return dt.date(_PLAIN_YEAR, day.month, min(day.day, 28 if day.month == 2 else 31))


def bare_hosts(
    trees: Iterable[TreeRow], seen: Iterable[TreeDayRow], on: dt.date
) -> Mapping[str, dt.date]:
    """Return the hosts all of whose trees stand bare, and since when the last does.

    Bare is a tree that dropped its leaf and has not burst since; one without a sign
    may be in leaf.
    """
    since: dict[int, dt.date | None] = {}
    for one in seen:
        if one.sign is TreeSign.LEAF_DROP and on - one.on <= BARE_LASTS:
            since[one.tree_id] = one.on
        elif one.sign in {TreeSign.BUD_BURST, TreeSign.FULL_LEAF}:
            since[one.tree_id] = None
    days: defaultdict[str, list[dt.date | None]] = defaultdict(list)
    for tree in trees:
        days[tree.host.casefold()].append(since.get(tree.id))
    found = {}
    for host, own in days.items():
        told = [day for day in own if day is not None]
        if told and len(told) == len(own):
            found[host] = max(told)
    return found
