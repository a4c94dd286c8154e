"""Who shared something with a box, who is kept apart, and days away, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.away import Away
    from rearing.keeping.tracing import Apart, Trace

_TIES = ("box", "with", "species", "open", "shared", "words", "last")
_FAILING = (
    *("box or pot", "species", "place", "animals", "why", "fails by", "likely"),
    *("words", "saved by"),
)


def ties_table(found: Trace) -> Table:
    """Return every tie of a box to another, the gravest first."""
    rows = (
        (found.code, x.code, x.taxon, x.is_open, tie.shared.words, tie.words, tie.last)
        for x in found.neighbours
        for tie in x.ties
    )
    return table(f"Who shared with {found.code}", _TIES, rows)


def apart_table(apart: Iterable[Apart]) -> Table:
    """Return boxes kept apart after deaths, and to when."""
    rows = ((x.code, x.cause, x.died_on, x.until) for x in apart)
    return table("Kept apart", ("box", "cause", "last death", "until"), rows)


def failing_table(found: Away) -> Table:
    """Return what would fail on days away, soonest first."""
    rows = (
        (
            *(x.code, x.taxon, x.place, x.number, x.why.value, x.at_worst),
            *(x.is_likely, x.words, "; ".join(save.words for save in x.saves)),
        )
        for x in found.failing
    )
    return table("Would fail", _FAILING, rows)


def helper_table(found: Away) -> Table:
    """Return the evenings on which a helper has to give leaf."""
    return table("Leaf by a helper", ("day", "boxes"), found.helper)
