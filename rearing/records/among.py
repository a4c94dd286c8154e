"""One of many ids, as one bound value however many there are."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy import ColumnElement


def among(column: Any, ids: Iterable[int]) -> ColumnElement[bool]:
    """Return the condition that a column holds one of these ids.

    SQLite takes 32,766 bound values at most, and each costs time: a list of ids is
    handed over as one text, which the database reads as a table.
    """
    listed = func.json_each(json.dumps(list(ids))).table_valued("value")
    condition: ColumnElement[bool] = column.in_(select(listed.c.value))
    return condition
