"""The leaf of the weeks to come as it was last worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.last_good import LastGood
from rearing.keeping.leaf_need import Need
from rearing.keeping.leaf_plan import HostPlan, LeafDay, LeafPlan
from rearing.keeping.leaf_view import Eaters, HostView, LeafView, Reached
from rearing.keeping.reach import Supply

if TYPE_CHECKING:
    from pathlib import Path

_PARTS = (LeafView, HostView, Eaters, Reached)
_PLANNED = (LeafPlan, HostPlan, LeafDay, Need, Supply)


def kept_leaf(folder: Path) -> LastGood:
    """Return where the leaf to come is kept in a folder of the keeper's."""
    return LastGood(folder, "leaf", (*_PARTS, *_PLANNED))
