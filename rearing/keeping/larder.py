"""The leaf that lies cut: what is left of each cut, how old, how long it keeps."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rearing.keeping.hosts import alike
from rearing.keeping.moments import counted, short_day
from rearing.records import tables as t
from rearing.records.fed import fed_between
from rearing.records.rows import CutRow, TreeRow

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from rearing.records.book import Book
    from rearing.records.fed import Fed

KEEPS_DAYS = 5
"""Cut leaf in the cold, no more said (Keeping leaves fresh, chiisananegai.com)."""

_KEPT_IN: tuple[tuple[str, int | None], ...] = (
    ("freez", None),
    ("frozen", None),
    ("drawer", 5),
    ("branch", 3),
    ("bucket", 3),
    ("jar", 3),
    ("water", 3),
    ("fridge", 7),
    ("cellar", 5),
)
"""Days by a word of how it is kept. A box in the vegetable drawer 5, a bagged branch
3: Keeping leaves fresh, chiisananegai.com. A bag in the fridge about a week: Food and
water, shamrockgardens.org. In water 2 to 3: bottles after the same. Frozen leaf does
not age, but is a last resort (common practice, no source)."""

SHOWN = dt.timedelta(days=14)
"""Older cuts are taken to be gone, entered or not (common practice, no source)."""

GONE_SHOWN = dt.timedelta(days=3)
"""A cut that is gone, or used up by the book, is still shown for so long."""


@dataclass(frozen=True, slots=True)
class CutNow:
    """A cut as on a day.

    `given_g` was weighed; `unweighed` feedings took nobody knows how much, so that
    `left_g` is then the most it can be. None: the cut itself was not weighed.
    """

    row: CutRow
    tree: str
    on: dt.date
    given_g: float
    unweighed: int
    keeps_to: dt.date | None

    @property
    def left_g(self) -> float | None:
        """What is left at most [g]."""
        if self.row.grams is None:
            return None
        return max(self.row.grams - self.given_g, 0.0)

    @property
    def age_days(self) -> int:
        """How long ago it was cut [d]."""
        return (self.on - self.row.on).days

    @property
    def is_gone(self) -> bool:
        """Whether it was used up or thrown away by the day."""
        return self.row.gone_on is not None and self.row.gone_on <= self.on

    @property
    def is_used_up(self) -> bool:
        """Whether all of it was given, by the book."""
        return self.left_g == 0 and not self.unweighed

    @property
    def is_old(self) -> bool:
        """Whether some of it has lain longer than it keeps."""
        late = self.keeps_to is not None and self.on > self.keeps_to
        return late and not self.is_gone and not self.is_used_up

    @property
    def left_words(self) -> str:
        """What is left, and how that is known."""
        if self.is_gone:
            gone = self.row.gone_on or self.on
            return f"gone {short_day(gone)}"
        if self.left_g is None:
            return "not weighed"
        if self.is_used_up:
            return "used up by the book"
        if self.unweighed:
            times = counted(self.unweighed, "feeding")
            return f"{self.left_g:.0f} g at most, {times} not weighed"
        return f"{self.left_g:.0f} g left by the book"

    @property
    def age_words(self) -> str:
        """How old it is, and until when it keeps."""
        age = "today" if not self.age_days else counted(self.age_days, "day") + " old"
        if self.is_gone or self.is_used_up or self.keeps_to is None:
            return age
        if self.is_old:
            return f"{age}, too long kept"
        return f"{age}, keeps to {short_day(self.keeps_to)}"


def keeps_days(storage: str | None) -> int | None:
    """Return how many days leaf keeps as it is stored; None where it does not age."""
    said = (storage or "").casefold()
    return next((days for word, days in _KEPT_IN if word in said), KEEPS_DAYS)


def keeps_to(cut: CutRow) -> dt.date | None:
    """Return the last day on which a cut is good; None where it does not age."""
    days = keeps_days(cut.storage)
    return None if days is None else cut.on + dt.timedelta(days=days)


def cuts_now(book: Book, on: dt.date) -> tuple[CutNow, ...]:
    """Return the cuts that lie, latest first, and those lately gone."""
    rows = book.all(
        CutRow,
        t.Cut.on <= on,
        t.Cut.on > on - SHOWN,
        t.Cut.gone_on.is_(None) | (t.Cut.gone_on > on - GONE_SHOWN),
        order=(t.Cut.on, t.Cut.id),
    )
    if not rows:
        return ()
    taken = _Taken(rows)
    for fed in fed_between(book, rows[0].on, on):
        taken.give(fed)
    names = {tree.id: tree.name for tree in book.all(TreeRow)}
    found = [
        CutNow(
            row=row,
            tree=names.get(row.tree_id or 0, ""),
            on=on,
            given_g=taken.grams[row.id],
            unweighed=taken.unweighed[row.id],
            keeps_to=keeps_to(row),
        )
        for row in rows
    ]
    return tuple(reversed(found))


@dataclass(slots=True)
class _Taken:
    """Takes each feeding from its cut; one that names none, from the oldest there is.

    Oldest first is how leaf is used (common practice, no source).
    """

    cuts: Iterable[CutRow]
    grams: defaultdict[int, float] = field(default_factory=lambda: defaultdict(float))
    unweighed: defaultdict[int, int] = field(default_factory=lambda: defaultdict(int))

    def give(self, fed: Fed) -> None:
        """Take the feedings of a day with one host."""
        if fed.cut_id is not None:
            self.grams[fed.cut_id] += fed.grams
            self.unweighed[fed.cut_id] += fed.unweighed
            return
        if not fed.host:
            return
        rest, unweighed = fed.grams, fed.unweighed
        for cut in self.cuts:
            if not _may_be(cut, fed):
                continue
            self.unweighed[cut.id] += unweighed
            unweighed = 0
            left = (cut.grams or 0.0) - self.grams[cut.id]
            part = rest if cut.grams is None else min(rest, max(left, 0.0))
            self.grams[cut.id] += part
            rest -= part
            if rest <= 0:
                return


def _may_be(cut: CutRow, fed: Fed) -> bool:
    """Tell whether feedings may have come from a cut."""
    there = cut.on <= fed.on and (cut.gone_on is None or cut.gone_on >= fed.on)
    return there and alike(cut.host, fed.host or "")


def keeps_longest(cuts: Iterable[CutNow], host: str) -> dt.date | None:
    """Return the last day on which any of a host's cuts is good; None without end."""
    days = [
        cut.keeps_to
        for cut in cuts
        if alike(cut.row.host, host) and not cut.is_gone and not cut.is_old
    ]
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None


def lying_g(cuts: Iterable[CutNow], host: str) -> float | None:
    """Return what lies cut of a host and is still good; None where not weighed."""
    good = [
        cut
        for cut in cuts
        if alike(cut.row.host, host) and not cut.is_gone and not cut.is_old
    ]
    if not good or any(cut.left_g is None for cut in good):
        return None
    return sum(cut.left_g or 0.0 for cut in good)


def lying(cuts: Iterable[CutNow]) -> Mapping[str, tuple[float, int]]:
    """Return grams that lie by host, and how many cuts of it were not weighed."""
    grams: defaultdict[str, float] = defaultdict(float)
    unknown: defaultdict[str, int] = defaultdict(int)
    for cut in cuts:
        if not cut.is_gone and not cut.is_old:
            grams[cut.row.host] += cut.left_g or 0.0
            unknown[cut.row.host] += cut.left_g is None or bool(cut.unweighed)
    return {host: (grams[host], unknown[host]) for host in grams}
