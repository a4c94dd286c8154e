"""The leaf page as the tables that are handed out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.desk.page import Shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.pages.leaf_sheet import LeafSheet
    from rearing.keeping.how_many import HowMany
    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.leaf_view import LeafView
    from rearing.keeping.trees import TreeNow


@dataclass(frozen=True, slots=True)
class LeafTold:
    """All that the page shows."""

    view: LeafView | None
    trees: Sequence[TreeNow]
    cuts: Sequence[CutNow]
    larvae: Sequence[LeafTest]
    kept: Sequence[HowMany]


def shown_leaf(told: LeafTold, sheet: LeafSheet) -> tuple[Shown, ...]:
    """Return what the page shows, each with the part that shows it."""
    from rearing.exchange import reach_tables as within
    from rearing.exchange.leaf_tables import leaf_days_table, leaf_hosts_table

    found = [
        Shown(within.keep_table(told.kept), sheet.keep),
        Shown(within.cuts_table(told.cuts), sheet.cuts),
        Shown(within.trees_table(told.trees), sheet.trees),
        Shown(within.larvae_table(told.larvae), sheet.larvae),
    ]
    if told.view is not None:
        found.insert(0, Shown(leaf_days_table(told.view.plan), sheet.days))
        found.insert(1, Shown(leaf_hosts_table(told.view.plan), sheet.to_come))
    return tuple(one for one in found if one.table.rows)
