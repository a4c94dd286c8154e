"""What the window says of an open book: its last entry, and its corner's lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.almanac import AlmanacLine
from rearing.desk.typed import day_words
from rearing.keeping.outdoors import last_outdoors

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.records.journal import JournalLine


def last_words(lines: Sequence[JournalLine], on: dt.date) -> tuple[str, bool]:
    """Return the day's last entry in words, and whether it was taken back.

    An entry of another day is not called the last: to the keeper it may be to come.
    """
    if not lines or lines[0].on != on:
        return "", False
    latest = lines[0]
    if latest.kind == "entry":
        return latest.sentence, False
    return latest.sentence.partition(": ")[2], latest.kind == "taken back"


def almanac_lines(session: Session) -> tuple[AlmanacLine, ...]:
    """Return the day that is shown and what was last read out of doors."""
    lines = []
    if session.is_as_on:
        lines.append(AlmanacLine("As on", day_words(session.on, year=False)))
    reading = last_outdoors(session.book, session.now())
    if reading is not None:
        at = reading.at.astimezone(session.home.zone)
        day = "" if at.date() == session.on else f"{day_words(at.date(), year=False)} "
        lines.append(AlmanacLine(reading.place, f"{reading.celsius:.1f}°"))
        lines.append(AlmanacLine(f"read {day}{at:%H:%M}"))
    return tuple(lines)
