"""The round as a table: a row a box or pot, in walking order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.keeping.round_lines import Round

HEADINGS = (
    "day",
    "place",
    "kind",
    "code",
    "brood",
    "species",
    "task",
    "due",
    "answer",
    "until",
    "reason",
    "number",
    "known",
    "by the book",
    "kept apart",
    "leaf",
)


def round_table(found: Round, broods: Mapping[int, str]) -> Table:
    """Return a round's lines; `broods` has the code of each brood by its id."""
    rows = (
        (
            found.on,
            place.name,
            line.kind,
            line.code,
            broods.get(line.brood_id),
            line.taxon,
            line.task.value,
            line.task.is_due and not line.done,
            line.done,
            line.until,
            line.reason,
            line.number,
            line.known,
            line.by_book,
            line.quarantine,
            line.host,
        )
        for place in found.places
        for line in place.lines
    )
    return table("Round", HEADINGS, rows)
