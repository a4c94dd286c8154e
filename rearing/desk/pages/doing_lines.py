"""What was done and seen, as ruled lines: the day, where, what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.typed import near_words, time_words
from rearing.desk.widgets.lines import Column, Ink, Line

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.keeping.doings import Doing

DOING_COLUMNS = (
    Column("Day", Ink.KNOWN),
    Column("Time", Ink.KNOWN),
    Column("Where", Ink.CODE),
    Column("What", Ink.TEXT, stretch=True),
)
FEW = 12


def doing_lines(
    doings: Sequence[Doing],
    zone: dt.tzinfo,
    on: dt.date,
    *,
    everything: bool = False,
) -> tuple[Line, ...]:
    """Return the latest doings as lines, all of them with `everything`."""
    lines = []
    before: dt.date | None = None
    for at, doing in enumerate(doings if everything else doings[:FEW]):
        day = near_words(doing.on, on)
        clock = time_words(doing.at.astimezone(zone).time()) if doing.at else ""
        note = f" ({doing.note})" if doing.note else ""
        what = f"{doing.words}{note}"
        shown = day if doing.on != before else ""
        before = doing.on
        lines.append(
            Line(
                key=at,
                cells=(shown, clock, doing.where, what),
                sentence=f"{day} {clock}, {doing.where}: {what}",
            )
        )
    return tuple(lines)
