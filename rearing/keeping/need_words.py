"""What windows rest on, in words: the need of heat, and the winter's cold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.season import Window
    from rearing.sheets.belief import Belief


def need_words(believed: Sequence[Belief], shown: Sequence[Window]) -> str:
    """Say what the next event's windows rest on; one stage's words are enough."""
    if not shown:
        return ""
    stage = {
        "hatch": Stage.EGG,
        "wander": believed[-3].stage,
        "pupate": Stage.WANDERING,
        "emerge": Stage.PUPA,
    }
    event = shown[0].event
    wanted = stage.get(event) or Stage(f"L{int(event[1:]) - 1}")
    return next((one.words for one in believed if one.stage is wanted), "")


def winter_words(believed: Sequence[Belief], shown: Sequence[Window]) -> str:
    """Say where moths lie beyond the windows because they wait for the cold."""
    pupa = believed[-1]
    emerging = [w for w in shown if w.event == "emerge"]
    if pupa.chill_hours and emerging and emerging[0].half is None:
        return "Moths come after the winter's cold, beyond these windows"
    return ""
