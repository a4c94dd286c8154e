"""What a form asks for, as plain descriptions, and the answers it gives back."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time
from typing import TYPE_CHECKING

from rearing.terms import Quality

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Field:
    """One thing asked for: its key (the verb's argument), its label with &mnemonic."""

    key: str
    label: str
    hint: str = field(default="", kw_only=True)
    required: bool = field(default=False, kw_only=True)


@dataclass(frozen=True, slots=True)
class TextField(Field):
    """A line of words; a str, empty when nothing was written.

    `letters` makes it as wide as so many; `ghost` is shown faintly while it is empty.
    """

    value: str = ""
    letters: int = field(default=0, kw_only=True)
    ghost: str = field(default="", kw_only=True)


@dataclass(frozen=True, slots=True)
class NoteField(Field):
    """Words over several lines; Ctrl+Enter accepts the form from here."""

    value: str = ""


@dataclass(frozen=True, slots=True)
class CountField(Field):
    """A whole number; with `ask_quality` also exact, about or at least."""

    value: int | None = None
    most: int = 100_000
    ask_quality: bool = False
    quality: Quality = Quality.EXACT


@dataclass(frozen=True, slots=True)
class AmountField(Field):
    """A number with decimals, its unit beside it; a float or None."""

    value: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ChoiceField(Field):
    """One of a few; `options` are (value, words)."""

    options: tuple[tuple[object, str], ...] = ()
    value: object = None


@dataclass(frozen=True, slots=True)
class SearchField(Field):
    """One of many, found by typing any part of it; `free` takes other words too."""

    options: tuple[tuple[object, str], ...] = ()
    value: object = None
    free: bool = False


@dataclass(frozen=True, slots=True)
class DayField(Field):
    """A day; a date, or None when left empty."""

    value: date | None = None


@dataclass(frozen=True, slots=True)
class MomentField(Field):
    """A day and a time of day; the time may be left empty."""

    day: date | None = None
    at: time | None = None


@dataclass(frozen=True, slots=True)
class YesNoField(Field):
    """A box to tick."""

    value: bool = False


@dataclass(frozen=True, slots=True)
class Answers:
    """What was filled in, by key; `sure` after a yes to a question."""

    values: Mapping[str, object]
    sure: bool = False

    def text(self, key: str) -> str:
        """Return the words of a field."""
        value = self.values[key]
        return "" if value is None else str(value)

    def count(self, key: str) -> int | None:
        """Return a whole number, None when left empty."""
        value = self.values[key]
        counted = value[0] if isinstance(value, tuple) else value
        return counted if isinstance(counted, int) else None

    def quality(self, key: str) -> Quality:
        """Return how exact the number of a count field is."""
        value = self.values[key]
        return Quality(value[1]) if isinstance(value, tuple) else Quality.EXACT

    def amount(self, key: str) -> float | None:
        """Return a number with decimals, None when left empty."""
        value = self.values[key]
        return value if isinstance(value, float) else None

    def choice(self, key: str) -> object:
        """Return the value of the option chosen, None when none was."""
        return self.values[key]

    def day(self, key: str) -> date | None:
        """Return the day of a day or moment field, None when left empty."""
        value = self.values[key]
        day = value[0] if isinstance(value, tuple) else value
        return day if isinstance(day, date) else None

    def time_of_day(self, key: str) -> time | None:
        """Return the time of a moment field, None when left empty."""
        value = self.values[key]
        at = value[1] if isinstance(value, tuple) else None
        return at if isinstance(at, time) else None

    def yes(self, key: str) -> bool:
        """Return whether a box was ticked."""
        return self.values[key] is True
