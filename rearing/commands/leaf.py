"""Leaf for the days to come on paper or as JSON.

JSON: ``on`` (ISO date), ``days`` from the next on, each with ``day``, ``total`` and
``hosts`` (each a ``host`` and a ``cut``; total and cut have ``low``, ``expected`` and
``high``, the 80 % band, in grams to cut), and ``plans``, most needed first: host,
``eaters`` (eggs and larvae alive that it is for), ``whole`` (all that is still to cut),
``last_on``, ``peak_on``, ``peak``, ``heaviest_g`` (what the hungriest day may ask for),
``open_trees``, ``closed`` (each a tree, until and why), ``lying_g`` (cut and not given
yet, or null), ``lasts_to`` (or null), ``short_on`` and ``short_why`` (null and empty
where a tree is open throughout), ``keep`` and ``keep_surely`` (how many can be fed on
what can be carried, null where that was not said), and ``words`` of the supply.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.leaf_plan import leaf_plan
from rearing.keeping.moments import day_words, short_day

if TYPE_CHECKING:
    import datetime as dt

    from rearing.commands.paper import Paper
    from rearing.keeping.leaf_need import Need
    from rearing.keeping.leaf_plan import HostPlan, LeafPlan
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


def write_leaf(
    book: Book,
    shelf: SheetShelf,
    asked: tuple[dt.date, int, float | None],
    paper: Paper,
    *,
    as_json: bool = False,
) -> None:
    """Write leaf from a day on, for so many days, with what can be carried [kg]."""
    on, days, carry_kg = asked
    carry_g = None if carry_kg is None else carry_kg * 1000
    found = leaf_plan(book, shelf, on, days=days, carry_g=carry_g)
    if as_json:
        paper.json(_data(found))
        return
    paper.line(f"Leaf to cut, as on {full_day(on)}")
    if not found.hosts:
        paper.line("Nobody here will eat.")
        return
    short = found.first_short
    if short is not None and short.short_on is not None:
        paper.paragraph(
            f"Runs short first: {short.host}, {day_words(short.short_on)} "
            f"({short.short_why})."
        )
    for one in found.hosts:
        _write_host(one, carry_kg, paper)
    paper.line()
    _write_days(found, paper)
    paper.paragraph(
        "Grams to cut a day, twigs and waste among them, with 80% bands; nobody is "
        "taken to be lost."
    )


def _write_host(one: HostPlan, carry_kg: float | None, paper: Paper) -> None:
    paper.line()
    paper.paragraph(
        f"{one.host.capitalize()}, for {one.eaters}: {_kg(one.whole)} to "
        f"{short_day(one.last_on)}; fullest {day_words(one.peak_on)} with "
        f"{_grams(one.peak)}, on the hungriest day {one.heaviest_g:.0f} g."
    )
    paper.paragraph(one.supply.words, indent=2, later=2)
    if one.short_on is not None:
        when = day_words(one.short_on)
        paper.paragraph(f"Short from {when}: {one.short_why}.", indent=2, later=2)
    if one.keep is not None:
        surely = one.keep_surely if one.keep_surely is not None else one.keep
        paper.paragraph(
            f"With {carry_kg:g} kg a day {one.keep} of {one.eaters} can be kept, "
            f"{surely} to be sure.",
            indent=2,
            later=2,
        )


def _write_days(found: LeafPlan, paper: Paper) -> None:
    hosts = [one.host for one in found.hosts]
    shown = hosts[:3]
    rows = [["", *shown, *(["others"] if len(hosts) > 3 else []), "in all", "80%"]]
    for day in found.days:
        cells = [day.hosts[h].expected if h in day.hosts else 0.0 for h in hosts]
        rest = [sum(cells[3:])] if len(hosts) > 3 else []
        told = [f"{grams:.0f}" if grams >= 0.5 else "" for grams in (*cells[:3], *rest)]
        total = day.total
        band = f"{total.low:.0f}–{total.high:.0f}"
        name = f"{day.on:%a} {day.on.day} {day.on:%b}"
        rows.append([name, *told, f"{total.expected:.0f}", band])
    paper.table(rows, indent=2, right="." + "r" * len(rows[0]))


def _kg(need: Need) -> str:
    low, middle, high = need.low / 1000, need.expected / 1000, need.high / 1000
    return f"{middle:.1f} kg ({low:.1f}–{high:.1f})"


def _grams(need: Need) -> str:
    return f"{need.expected:.0f} g ({need.low:.0f}–{need.high:.0f})"


def _data(found: LeafPlan) -> dict[str, object]:
    return {
        "on": found.on.isoformat(),
        "days": [
            {
                "day": day.on.isoformat(),
                "total": _need_data(day.total),
                "hosts": [
                    {"host": host, "cut": _need_data(need)}
                    for host, need in day.hosts.items()
                ],
            }
            for day in found.days
        ],
        "plans": [_plan_data(one) for one in found.hosts],
    }


def _plan_data(one: HostPlan) -> dict[str, object]:
    supply = one.supply
    return {
        "host": one.host,
        "eaters": one.eaters,
        "whole": _need_data(one.whole),
        "last_on": one.last_on.isoformat(),
        "peak_on": one.peak_on.isoformat(),
        "peak": _need_data(one.peak),
        "heaviest_g": one.heaviest_g,
        "open_trees": list(supply.open_trees),
        "closed": [
            {"tree": tree, "until": until.isoformat(), "why": why}
            for tree, until, why in supply.closed
        ],
        "lying_g": supply.lying_g,
        "lasts_to": supply.lasts_to.isoformat() if supply.lasts_to else None,
        "short_on": one.short_on.isoformat() if one.short_on else None,
        "short_why": one.short_why,
        "keep": one.keep,
        "keep_surely": one.keep_surely,
        "words": supply.words,
    }


def _need_data(need: Need) -> dict[str, float]:
    return {"low": need.low, "expected": need.expected, "high": need.high}
