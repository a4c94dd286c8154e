"""Leaf as plain data, as the command's JSON tells it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.keeping.how_many import HowMany
    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_need import Need
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.leaf_view import HostView, LeafView
    from rearing.keeping.trees import TreeNow

    Reach = tuple[Sequence[TreeNow], Sequence[CutNow], Sequence[LeafTest]]


def leaf_data(
    view: LeafView, kept: Sequence[HowMany], within: Reach, *, days: int
) -> dict[str, object]:
    """Return everything the leaf command tells, for so many days."""
    trees, cuts, tests = within
    of_host = {one.host: one for one in kept}
    return {
        "on": view.on.isoformat(),
        "days": [
            {
                "day": day.on.isoformat(),
                "total": _need(day.total),
                "hosts": [
                    {"host": host, "cut": _need(need)}
                    for host, need in day.hosts.items()
                ],
            }
            for day in view.plan.days[:days]
        ],
        "plans": [_plan(one, of_host.get(one.host)) for one in view.hosts],
        "can_keep": [_can_keep(one) for one in kept],
        "beware": list(view.warnings),
        "cuts": [_cut(one) for one in cuts if not one.is_gone],
        "trees": [_tree(one) for one in trees],
        "tests": [_test(one) for one in tests],
    }


def _plan(one: HostView, kept: HowMany | None) -> dict[str, object]:
    plan, supply = one.plan, one.plan.supply
    by_leaf = kept.by_leaf if kept is not None else None
    return {
        "host": one.host,
        "eaters": plan.eaters,
        "broods": [
            {
                "brood": eaters.code,
                "taxon": eaters.taxon,
                "number": eaters.number,
                "last_g": eaters.last_g,
                "last_into": _day(eaters.last_into),
                "give_by": _day(eaters.give_by),
            }
            for eaters in one.eaters
        ],
        "whole": _need(plan.whole),
        "eaten_g": one.eaten_g,
        "until": one.until.isoformat(),
        "last_on": plan.last_on.isoformat(),
        "week": {
            "first": one.week[0].isoformat(),
            "last": one.week[1].isoformat(),
            "a_day_g": one.week_g,
        },
        "peak_on": plan.peak_on.isoformat(),
        "peak": _need(plan.peak),
        "heaviest_g": plan.heaviest_g,
        "open_trees": list(supply.open_trees),
        "closed": [
            {"tree": tree, "until": until.isoformat(), "why": why}
            for tree, until, why in supply.closed
        ],
        "lying_g": supply.lying_g,
        "lasts_to": _day(supply.lasts_to),
        "short_on": _day(plan.short_on),
        "short_why": plan.short_why,
        "reached": [
            {
                "first": span.first.isoformat(),
                "last": span.last.isoformat(),
                "lies_cut": span.lies_cut,
                "why": span.why,
            }
            for span in one.reached
        ],
        "keep": None if by_leaf is None else by_leaf[1],
        "keep_surely": None if by_leaf is None else by_leaf[0],
        "words": one.words,
    }


def _can_keep(one: HowMany) -> dict[str, object]:
    return {
        "host": one.host,
        "eaters": one.eaters,
        "by_leaf": _pair(one.by_leaf),
        "by_room": _pair(one.by_room),
        "room": _room(one),
        "binds": one.binds,
        "keep": one.keep,
        "give_away": one.too_many,
        "give_by": _day(one.give_by),
        "words": one.words,
    }


def _room(one: HowMany) -> list[dict[str, object]] | None:
    if one.part is None:
        return None
    return [{"kind": str(k), "number": n} for k, n in one.part.boxes.items()]


def _pair(bound: tuple[int, int] | None) -> dict[str, int] | None:
    return None if bound is None else {"sure": bound[0], "most": bound[1]}


def _cut(one: CutNow) -> dict[str, object]:
    return {
        "host": one.row.host,
        "tree": one.tree,
        "cut_on": one.row.on.isoformat(),
        "grams": one.row.grams,
        "left_g": one.left_g,
        "unweighed": one.unweighed,
        "storage": one.row.storage,
        "keeps_to": _day(one.keeps_to),
        "is_old": one.is_old,
    }


def _tree(one: TreeNow) -> dict[str, object]:
    row = one.row
    return {
        "name": row.name,
        "host": row.host,
        "where": row.where,
        "owner": row.owner,
        "is_closed": one.is_closed,
        "until": _day(row.closed_until) if one.is_closed else None,
        "why": row.closed_why if one.is_closed else None,
        "signs": [
            {"sign": str(sign.sign), "day": sign.on.isoformat()} for sign in one.signs
        ],
        "last_cut": None if one.last_cut is None else _day(one.last_cut.on),
        "feeds": list(one.fed),
    }


def _test(one: LeafTest) -> dict[str, object]:
    row, over = one.row, not one.is_running
    return {
        "tree": one.tree.name,
        "box": one.box,
        "number": row.number,
        "begun_on": row.begun_on.isoformat(),
        "due_on": one.due_on.isoformat(),
        "judged_on": _day(row.judged_on) if over else None,
        "alive": row.alive if over else None,
    }


def _need(need: Need) -> dict[str, float]:
    return {"low": need.low, "expected": need.expected, "high": need.high}


def _day(day: dt.date | None) -> str | None:
    return None if day is None else day.isoformat()
