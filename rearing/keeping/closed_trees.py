"""Whether a tree may be cut on a day."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.rows import TreeRow


def is_closed(tree: TreeRow, on: dt.date) -> bool:
    """Tell whether a tree may not be cut on a day."""
    since, until = tree.closed_from, tree.closed_until
    return until is not None and (since is None or since <= on) and on < until
