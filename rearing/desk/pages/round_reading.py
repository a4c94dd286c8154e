"""What the round reads out at its side: who shared, who is apart, what is too full."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.typed import day_words
from rearing.keeping.box_room import SIZES
from rearing.keeping.moments import short_day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.apart import ApartNow
    from rearing.keeping.round_lines import RoundLine
    from rearing.keeping.tracing import Trace

Paragraphs = tuple[tuple[str, str], ...]

MOST = 60
"""Boxes named in a trace, the gravest first; more are counted."""


def apart_reading(apart: Sequence[ApartNow]) -> Paragraphs:
    """Return who is kept apart, why, and until when."""
    if not apart:
        return (
            ("", "No box is kept apart."),
            ("", "K at a box keeps it apart; a catching death does so by itself."),
        )
    return tuple((one.code, one.words) for one in apart)


def room_reading(crowded: Sequence[RoundLine]) -> Paragraphs:
    """Return which boxes are too full now, which soon, and which one day."""
    if not crowded:
        return (("", "Every box has room enough, at the next moult too."),)
    told = [("", SIZES)]
    for line in crowded:
        room = line.room
        assert room is not None
        later = not room.is_now and not room.is_near
        told.append((line.code, f"{room.words}{' Not yet near.' if later else ''}"))
    return tuple(told)


def trace_reading(found: Trace, tools: str | None = None) -> Paragraphs:
    """Return who shared what with a box, the gravest first."""
    told = [("", f"Since {day_words(found.since)}, to {day_words(found.on)}.")]
    handled = (
        f"Its own: {tools}."
        if tools
        else "The round's own, as they go from box to box."
    )
    told.append(("Tools", handled))
    if found.apart is not None:
        one = found.apart
        told.append(
            (
                "Kept apart",
                f"Last {one.cause} death {short_day(one.died_on)}; until "
                f"{short_day(one.until)}.",
            )
        )
    if not found.neighbours:
        told.append(("", "No other box shared anything with it."))
    for neighbour in found.neighbours[:MOST]:
        ties = "; ".join(tie.words for tie in neighbour.ties)
        shut = "" if neighbour.is_open else ", closed"
        told.append((f"{neighbour.code}{shut}", f"{ties[:1].upper()}{ties[1:]}."))
    more = len(found.neighbours) - MOST
    if more > 0:
        told.append(("", f"And {more} more: rearing trace names them all."))
    return tuple(told)
