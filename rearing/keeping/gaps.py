"""Days without a visit: shown as gaps, for no entry does not mean that nothing was."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.moments import span_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from rearing.keeping.holding import BoxNow

DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Gap:
    """Days from the first to the last, inclusive, without any entry."""

    first: dt.date
    last: dt.date

    @property
    def days(self) -> int:
        """How many days it lasted."""
        return (self.last - self.first).days + 1

    def all_days(self) -> Iterator[dt.date]:
        """Yield every day of it."""
        for i in range(self.days):
            yield self.first + DAY * i

    @property
    def words(self) -> str:
        """As it stands among what was done."""
        return f"no visit {span_words(self.first, self.last)}"


def gaps(
    cared_for: Iterable[tuple[dt.date, dt.date]], seen: Iterable[dt.date]
) -> tuple[Gap, ...]:
    """Return the days of these spans (both ends inclusive) on which nothing was seen.

    Neighbouring days make one gap.
    """
    wanted: set[dt.date] = set()
    for first, last in cared_for:
        wanted.update(first + DAY * i for i in range((last - first).days + 1))
    found: list[Gap] = []
    for day in sorted(wanted.difference(seen)):
        if found and found[-1].last == day - DAY:
            found[-1] = Gap(found[-1].first, day)
        else:
            found.append(Gap(day, day))
    return tuple(found)


def care_span(
    box: BoxNow, fed: Sequence[dt.date], on: dt.date
) -> tuple[dt.date, dt.date] | None:
    """Return from when to when a box needed looking after, up to yesterday.

    From its first leaf, since hatchlings are left alone before, to its closing or to
    the look that found pupae only. None where nobody was fed in it.
    """
    if not fed or box.row.kind.is_for_pupae:
        return None
    ends = [on - DAY]
    if box.row.closed_on is not None:
        ends.append(box.row.closed_on)
    ends += [look.on for look in box.looks if not any(x.is_larva for x in look.numbers)]
    last = min(ends)
    return (min(fed), last) if min(fed) <= last else None
