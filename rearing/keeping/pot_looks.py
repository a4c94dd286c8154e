"""When pots of eggs were last looked at and nothing had hatched."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.rows import BoxVisitRow
from rearing.terms import EggFate

if TYPE_CHECKING:
    from rearing.keeping.holding import Holding
    from rearing.records.book import Book

NOON = dt.time(12)
"""A look without its hour; larvae hatch mostly in the morning (Oehlke, egg care)."""


def pots_looked_at(book: Book, held: Holding) -> dict[int, float]:
    """Return the last look at each pot that was not seen to hatch [epoch seconds]."""
    waiting = [
        pot.row.id
        for pot in held.pots
        if pot.waiting > 0 and not pot.of(EggFate.HATCHED)
    ]
    if not waiting:
        return {}
    looks = book.all(
        BoxVisitRow,
        among(t.BoxVisit.pot_id, waiting),
        t.BoxVisit.on <= held.on,
        order=(t.BoxVisit.on, t.BoxVisit.id),
    )
    zone = held.home.zone
    found: dict[int, float] = {}
    for look in looks:
        at = look.at or dt.datetime.combine(look.on, NOON, zone)
        if look.pot_id is not None:
            found[look.pot_id] = max(at.timestamp(), found.get(look.pot_id, 0.0))
    return found
