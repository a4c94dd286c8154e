"""What is coming as a calendar that any calendar program reads (RFC 5545)."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

from rearing import __version__
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from rearing.keeping.coming import Coming

REARING = UUID("5f0cbb0e-1d0f-4f0e-8a52-3b7f6c1f8f21")
"""Names of events are made within this one; drawn once, by chance."""

NAME = "Rearing"
_BEGIN = b"BEGIN:VCALENDAR"


def calendar_of(events: Iterable[Coming], *, home: str, now: dt.datetime) -> bytes:
    """Return a calendar of whole days, in bytes as they are stored.

    An event's name is a fingerprint of the home and of what it is about: the same
    whenever it is written again, and nobody can read a name or place off it. `now`
    is told as the moment of writing. Neither keeper nor home nor who was given
    anything stands in it.
    """
    # Imported here: only who writes a calendar needs it.
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", f"-//Rearing//{__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", NAME)
    for one in events:
        event = Event()
        event.add("uid", str(uuid5(REARING, "\n".join((home, one.key)))))
        event.add("dtstamp", now.astimezone(dt.UTC).replace(microsecond=0))
        event.add("dtstart", one.first)
        # The day on which it is over, by the standard not one of its own.
        event.add("dtend", one.last + dt.timedelta(days=1))
        event.add("summary", one.title)
        event.add("description", one.words)
        event.add("class", "PRIVATE")
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def write_calendar(path: Path, content: bytes) -> None:
    """Write a calendar file; refuse to write over a file that is something else."""
    if path.is_dir():
        raise Refusal(f"{path} is a folder, not a file.", field="out")
    if path.exists():
        with path.open("rb") as there:
            if there.read(len(_BEGIN)).upper() != _BEGIN:
                raise Refusal(
                    f"{path.name} is there already and is no calendar. Nothing was "
                    "written; choose another name.",
                    field="out",
                )
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        unfinished.write_bytes(content)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
