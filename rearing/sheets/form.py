"""Strict reading of a sheet's tables: every complaint names file, key and reason."""

from __future__ import annotations

import tomllib
from difflib import get_close_matches
from math import isfinite
from typing import TYPE_CHECKING, TypeVar

from rearing.problems import BrokenSheet
from rearing.sheets.sheet import Caution, Figure, Saying, Tag

if TYPE_CHECKING:
    from collections.abc import Mapping
    from enum import StrEnum
    from pathlib import Path

E = TypeVar("E", bound="StrEnum")

_KINDS = {
    str: "words in quotes",
    bool: "true or false",
    int: "a number",
    float: "a number",
    list: "a list in [ ]",
    dict: "a section of its own",
}


class Table:
    """One table of a sheet; `finish` refuses keys that nobody asked for."""

    def __init__(self, path: Path, key: str, values: Mapping[str, object]) -> None:
        self.path = path
        self.key = key
        self._values = values
        self._asked: set[str] = set()

    def broken(self, key: str, reason: str) -> BrokenSheet:
        """Make the complaint about `key` of this table."""
        return BrokenSheet(self.path, f"{self.key}.{key}".strip("."), reason)

    def has(self, key: str) -> bool:
        """Tell whether the key is written."""
        return key in self._values

    def keys(self) -> tuple[str, ...]:
        """Every key written here, asked for or not."""
        return tuple(self._values)

    def _take(self, key: str, *kinds: type) -> object:
        self._asked.add(key)
        if key not in self._values:
            raise self.broken(key, "is missing.")
        value = self._values[key]
        if not isinstance(value, kinds) or (
            isinstance(value, bool) and bool not in kinds
        ):
            wanted = _KINDS[kinds[0]]
            raise self.broken(key, f"should be {wanted}, not {value!r}.")
        return value

    def text(self, key: str, default: str | None = None) -> str:
        """Take words; they may be left out only where there is a default."""
        if default is not None and not self.has(key):
            self._asked.add(key)
            return default
        value = str(self._take(key, str)).strip()
        if not value and default is None:
            raise self.broken(key, "is empty.")
        return value

    def yes(self, key: str, *, default: bool | None = None) -> bool:
        """Take true or false."""
        if default is not None and not self.has(key):
            self._asked.add(key)
            return default
        return bool(self._take(key, bool))

    def number(self, key: str, low: float, high: float) -> float:
        """Take a number between two sensible ends."""
        return self._checked(key, self._take(key, int, float), low, high)

    def number_or_none(self, key: str, low: float, high: float) -> float | None:
        """Take a number, or None where it is not written."""
        self._asked.add(key)
        return self.number(key, low, high) if self.has(key) else None

    def whole(self, key: str, low: int, high: int) -> int:
        """Take a whole number between two sensible ends."""
        value = self.number(key, low, high)
        if value != int(value):
            raise self.broken(key, f"should be a whole number, not {value:g}.")
        return int(value)

    def span(self, key: str, low: float, high: float) -> tuple[float, float]:
        """Take ``[lowest, highest]`` or a single number that stands for both."""
        value = self._take(key, list, int, float)
        ends = value if isinstance(value, list) else [value, value]
        if len(ends) != 2:
            raise self.broken(key, f"should be [lowest, highest], not {value!r}.")
        first, last = (self._checked(key, end, low, high) for end in ends)
        if first > last:
            raise self.broken(key, f"has its lowest, {first:g}, above its highest.")
        return first, last

    def _checked(self, key: str, value: object, low: float, high: float) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.broken(key, f"should be a number, not {value!r}.")
        if not isfinite(value) or not low <= value <= high:
            raise self.broken(key, f"{value} is not between {low:g} and {high:g}.")
        return float(value)

    def choice(self, key: str, kind: type[E]) -> E:
        """Take one of the words of an enum."""
        value = str(self._take(key, str))
        try:
            return kind(value)
        except ValueError:
            words = ", ".join(f'"{word.value}"' for word in kind)
            raise self.broken(key, f'"{value}" is not one of {words}.') from None

    def section(self, key: str) -> Table | None:
        """Take a table within this one, or None where it is not written."""
        self._asked.add(key)
        if not self.has(key):
            return None
        value = self._take(key, dict)
        return Table(self.path, f"{self.key}.{key}".strip("."), value)  # type: ignore[arg-type]

    def needed_section(self, key: str) -> Table:
        """Take a table that every sheet must have."""
        section = self.section(key)
        if section is None:
            raise self.broken(key, "this section is missing.")
        return section

    def rows(self, key: str) -> tuple[Table, ...]:
        """Take the tables of a list written with ``[[key]]``."""
        self._asked.add(key)
        if not self.has(key):
            return ()
        value = self._take(key, list)
        rows = []
        for number, row in enumerate(value, start=1):  # type: ignore[arg-type, var-annotated]
            if not isinstance(row, dict):
                raise self.broken(key, f"write it as [[{key}]], once for each entry.")
            rows.append(Table(self.path, f"{self.key}.{key} {number}".strip("."), row))
        return tuple(rows)

    def source(self) -> tuple[str, Tag]:
        """Take the source and tag that every table with values carries."""
        return self.text("source"), self.choice("tag", Tag)

    def finish(self) -> None:
        """Refuse whatever was not asked for: a slip of the pen must not pass."""
        for key in self._values:
            if key not in self._asked:
                near = get_close_matches(key, self._asked, n=1)
                hint = f' Did you mean "{near[0]}"?' if near else ""
                raise self.broken(key, f"is not a key that belongs here.{hint}")


def open_table(path: Path) -> Table:
    """Read a TOML file as its outermost table."""
    try:
        return Table(path, "", tomllib.loads(path.read_text(encoding="utf-8")))
    except OSError as error:
        reason = error.strerror or "unknown trouble"
        raise BrokenSheet(path, "the file", f"cannot be read ({reason}).") from None
    except UnicodeDecodeError:
        raise BrokenSheet(path, "the file", "is not saved as UTF-8 text.") from None
    except tomllib.TOMLDecodeError as error:
        raise BrokenSheet(path, "the file", f"is not well written: {error}.") from None


def figure(table: Table, low: float, high: float) -> Figure:
    """Read ``value`` or ``low`` and ``high`` with source and tag."""
    if table.has("value"):
        first = last = table.number("value", low, high)
    else:
        first = table.number("low", low, high)
        last = table.number("high", low, high)
    if first > last:
        raise table.broken("low", f"{first:g} is above high, {last:g}.")
    source, tag = table.source()
    table.finish()
    return Figure(first, last, source, tag)


def figure_or_none(table: Table | None, low: float, high: float) -> Figure | None:
    """Read a figure where the section is written."""
    return None if table is None else figure(table, low, high)


def saying(table: Table) -> Saying:
    """Read a yes or no with its note, source and tag."""
    yes = table.yes("yes")
    note = table.text("note", "")
    source, tag = table.source()
    table.finish()
    return Saying(yes, note, source, tag)


def caution(table: Table) -> Caution:
    """Read a warning with source and tag."""
    text = table.text("text")
    source, tag = table.source()
    table.finish()
    return Caution(text, source, tag)
