"""Asking for times and choices at the lamp."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.desk.entries import asking
from rearing.desk.lamp.lamp_ask import Option, Said, Step
from rearing.desk.widgets.fields import Answers
from rearing.terms import Known

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from rearing.desk.lamp.lamp_ask import LampAsk
    from rearing.desk.lamp.lamp_hand import Hand

_ABOUT = re.compile(r"^(?:~|c\.? ?|about )\s*", re.IGNORECASE)
TIME_HINT = "As 2240; after midnight is still this night. ~2240 is about then."
_CAPS = "123456789abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class Clock:
    """A time that was typed, and how it is known."""

    at: dt.datetime | None
    known: Known


def options(told: list[tuple[str, object]]) -> tuple[Option, ...]:
    """Return answers with a key each: 1 to 9, then letters."""
    return tuple(
        Option(cap, word, value)
        for cap, (word, value) in zip(_CAPS, told, strict=False)
    )


def read_clock(text: str, evening: dt.date, zone: dt.tzinfo) -> Clock:
    """Understand a time of a night; what the clocks skip or repeat is asked about."""
    bare = _ABOUT.sub("", text.strip())
    at = asking.night_time(Answers({"at": bare}, sure=False), "at", evening, zone)
    return Clock(at, Known.ABOUT if bare != text.strip() else Known.SEEN)


def clock_of(said: Said, key: str) -> Clock:
    """Return a time that was answered: about then, where it was asked about twice."""
    told = said.get(key)
    clock = told if isinstance(told, Clock) else Clock(None, Known.SEEN)
    if key in said.doubtful and clock.at is not None:
        return Clock(clock.at, Known.ABOUT)
    return clock


def celsius(said: Said, key: str) -> float | None:
    """Return a temperature that was answered."""
    told = said.get(key)
    return told if isinstance(told, float) else None


class Asks:
    """Asks on the board's line and writes through the hand."""

    def __init__(self, hand: Hand, line: LampAsk, told: Callable[[], object]) -> None:
        self._hand = hand
        self._ask = line
        self._told = told

    def clock_step(
        self, key: str, prompt: str, evening: dt.date, zone: dt.tzinfo, value: str
    ) -> Step:
        """Return the question for a time of a night."""

        def read(text: str) -> Clock:
            return read_clock(text, evening, zone)

        return Step(key, prompt, read, value, TIME_HINT)
