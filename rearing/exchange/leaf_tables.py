"""Leaf to cut, by day and by host, and the leaf of the season's weeks, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from rearing.exchange.tables import Value
    from rearing.keeping.leaf_need import LeafWeek
    from rearing.keeping.leaf_plan import LeafPlan

_DAYS = ("day", "host", "to cut, low [g]", "to cut [g]", "to cut, high [g]")
_HOSTS = (
    *("host", "eaters", "to cut, low [g]", "to cut [g]", "to cut, high [g]"),
    *("last day", "fullest day", "fullest day, low [g]", "fullest day [g]"),
    *("fullest day, high [g]", "hungriest day may ask [g]", "lying cut [g]"),
    *("cut lasts to", "short on", "why short", "can be kept", "surely kept"),
)
_WEEKS = (
    *("week from", "host", "given [g]", "some not weighed"),
    *("to cut, low [g]", "to cut [g]", "to cut, high [g]"),
)


def leaf_days_table(plan: LeafPlan) -> Table:
    """Return grams to cut by day and host, with the 80 % band."""
    rows = (
        (day.on, host, need.low, need.expected, need.high)
        for day in plan.days
        for host, need in day.hosts.items()
    )
    return table("Leaf by day", _DAYS, rows)


def leaf_hosts_table(plan: LeafPlan) -> Table:
    """Return what each host is asked for and has, most needed first."""
    rows = (
        (
            *(x.host, x.eaters, x.whole.low, x.whole.expected, x.whole.high),
            *(x.last_on, x.peak_on, x.peak.low, x.peak.expected, x.peak.high),
            *(x.heaviest_g, x.supply.lying_g, x.supply.lasts_to, x.short_on),
            *(x.short_why, x.keep, x.keep_surely),
        )
        for x in plan.hosts
    )
    return table("Leaf by host", _HOSTS, rows)


def leaf_weeks_table(weeks: Iterable[LeafWeek]) -> Table:
    """Return leaf given and to come by week and host."""
    return table("Leaf by week", _WEEKS, _weeks(weeks))


def _weeks(weeks: Iterable[LeafWeek]) -> Iterator[tuple[Value, ...]]:
    for week in weeks:
        for host in dict.fromkeys((*week.given, *week.hosts)):
            need = week.hosts.get(host)
            band = (None,) * 3 if need is None else (need.low, need.expected, need.high)
            yield (week.monday, host, week.given.get(host), week.has_unweighed, *band)
