"""The leaf in reach: trees open or closed, leaf that lies cut, when a host is bare."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rearing.keeping.closed_trees import is_closed
from rearing.keeping.hosts import alike
from rearing.keeping.larder import KEEPS_DAYS, cuts_now, keeps_longest, lying_g
from rearing.keeping.moments import short_day
from rearing.keeping.tree_year import YearOfHost, bare_hosts, signs, year_of_hosts
from rearing.keeping.weights import kg
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.earlier import trees_on
from rearing.records.rows import FactRow, SiteRow
from rearing.terms import TreeSign

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_need import LeafWeek
    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched
    from rearing.records.rows import TreeRow

KEEPS = dt.timedelta(days=KEEPS_DAYS)
"""Cut leaf keeps so long in the cold (Keeping leaves fresh, chiisananegai.com)."""

_BARE = "bare "
_ISO = "--%m-%d"  # ISO 8601: a day of any year
_LEAP = 2000


@dataclass(frozen=True, slots=True)
class Reach:
    """What the keeper can cut, has cut, and where the sky is read."""

    on: dt.date
    trees: tuple[TreeRow, ...]
    cuts: tuple[CutNow, ...]
    bare: Mapping[str, tuple[int, int]]
    """Month and day on which a host is usually bare, by its name in small letters."""
    sky: tuple[float, float] | None
    """Latitude and longitude of the keeper's first site [°]."""
    bare_now: frozenset[str] = frozenset()
    """Hosts all of whose trees dropped their leaf and have not burst since."""
    burst: Mapping[str, YearOfHost] = field(default_factory=dict)
    """Bud burst by host: this year's where seen, and the usual one."""

    def bare_on(self, host: str, on: dt.date) -> dt.date | None:
        """Return the next day on which a host is bare, from a day on."""
        if any(alike(name, host) for name in self.bare_now):
            return on
        found = next((d for name, d in self.bare.items() if alike(name, host)), None)
        if found is None:
            return None
        month, day = found
        for year in range(on.year, on.year + 9):  # 29 February comes within eight
            try:
                bare = dt.date(year, month, day)
            except ValueError:
                continue
            if bare >= on:
                return bare
        return None


@dataclass(frozen=True, slots=True)
class Supply:
    """The supply of one host as on a day.

    `lying_g` is leaf cut in the last days and not given yet, None where it was not
    weighed; `lasts_to` the last day for which that is enough by what is expected.
    """

    host: str
    open_trees: tuple[str, ...]
    closed: tuple[tuple[str, dt.date, str], ...]
    lying_g: float | None
    lasts_to: dt.date | None

    @property
    def words(self) -> str:
        """As sentences: Oak: 2 trees open (Lane oak, Gate oak)."""
        name = f"{self.host[:1].upper()}{self.host[1:]}"
        said = []
        if self.open_trees:
            said.append(f"open {', '.join(self.open_trees)}")
        for tree, until, why in self.closed:
            because = f" ({why})" if why else ""
            said.append(f"{tree} closed until {short_day(until)}{because}")
        if not said:
            said.append("no tree of it is entered")
        elif not self.open_trees:
            said.insert(0, "no tree is open")
        if self.lying_g is not None:
            lasts = "" if self.lasts_to is None else f", to {short_day(self.lasts_to)}"
            said.append(f"{kg(self.lying_g)} lies cut{lasts}")
        return f"{name}: {'; '.join(said)}."


def reach(book: Book, on: dt.date) -> Reach:
    """Read what leaf is in reach on a day."""
    sites, trees = book.all(SiteRow), trees_on(book, on)
    seen = signs(book, on)
    dropped = year_of_hosts(trees, seen, TreeSign.LEAF_DROP, on.year)
    # what was seen in earlier years stands before what was once said
    bare = {host: one.usual for host, one in dropped.items() if one.usual is not None}
    for fact in book.all(FactRow):
        if fact.name.startswith(_BARE) and fact.value:
            day = dt.datetime.strptime(  # noqa: DTZ007 - a day of any year
                f"{_LEAP}{fact.value}", f"%Y{_ISO}"
            )
            bare.setdefault(fact.name.removeprefix(_BARE), (day.month, day.day))
    return Reach(
        on=on,
        trees=trees,
        cuts=cuts_now(book, on),
        bare=bare,
        sky=(sites[0].latitude, sites[0].longitude) if sites else None,
        bare_now=frozenset(bare_hosts(trees, seen, on)),
        burst=year_of_hosts(trees, seen, TreeSign.BUD_BURST, on.year),
    )


def set_bare(book: Book, entry: Entry, *, host: str, day: dt.date) -> Touched:
    """Set the day of the year on which a host is usually bare."""
    name = host.strip().casefold()
    if not name:
        raise Refusal("Which leaf is it?", field="host")
    key, value = f"{_BARE}{name}", day.strftime(_ISO)
    standing = book.find(FactRow, t.Fact.name == key)
    with book.change(entry) as pen:
        if standing is None:
            pen.add(t.Fact, name=key, value=value)
        else:
            pen.change(t.Fact, standing.id, value=value)
        pen.say(f"{host.strip().capitalize()} is bare by {short_day(day)}")
    return pen.touched


def supplies(
    within: Reach,
    weeks: Iterable[LeafWeek],
    on: dt.date,
) -> tuple[Supply, ...]:
    """Return the supply of every host that is needed, most needed first."""
    need: dict[str, float] = defaultdict(float)
    coming = [week for week in weeks if week.total is not None]
    for week in coming:
        for host, grams in week.hosts.items():
            need[host] += grams.expected
    found = []
    for host in sorted(need, key=lambda name: (-need[name], name)):
        trees = [tree for tree in within.trees if alike(tree.host, host)]
        lying = lying_g(within.cuts, host)
        found.append(
            Supply(
                host=host,
                open_trees=tuple(x.name for x in trees if not is_closed(x, on)),
                closed=tuple(
                    (x.name, x.closed_until, x.closed_why or "")
                    for x in trees
                    if is_closed(x, on) and x.closed_until is not None
                ),
                lying_g=lying,
                lasts_to=None
                if lying is None
                else _lasts(lying, host, within, coming, on),
            )
        )
    return tuple(found)


def _lasts(
    grams: float, host: str, within: Reach, coming: Iterable[LeafWeek], on: dt.date
) -> dt.date | None:
    """Return the last day the leaf is enough for, at most as long as it keeps."""
    a_day = {
        week.monday + dt.timedelta(days=at): week.hosts[host].expected
        for week in coming
        if host in week.hosts
        for at in range(7)
    }
    end = keeps_longest(within.cuts, host) or on + KEEPS
    day = on
    while day < end:
        grams -= a_day.get(day + dt.timedelta(days=1), 0.0)
        if grams < 0:
            break
        day += dt.timedelta(days=1)
    return day
