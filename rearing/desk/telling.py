"""What the window says of an open book: its last entry, and its corner's lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.almanac import AlmanacLine
from rearing.desk.typed import day_words
from rearing.keeping.outdoors import last_outdoors

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.records.journal import JournalLine


def last_words(line: JournalLine) -> tuple[str, bool]:
    """Return the sentence of the latest journal line, and whether it was taken back."""
    if line.kind == "entry":
        return line.sentence, False
    return line.sentence.partition(": ")[2], line.kind == "taken back"


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
