"""The shape of a temperature file: delimiter, headings, where the readings begin."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import lru_cache
from typing import TYPE_CHECKING

from rearing.exchange.temperature_days import day_number, is_figures, orders_of
from rearing.exchange.temperature_hours import halves_of, offset_of, time_of
from rearing.exchange.temperature_numbers import any_number_of
from rearing.exchange.temperature_preview import DateOrder
from rearing.exchange.temperature_split import SPACES, split_lines

if TYPE_CHECKING:
    from collections.abc import Sequence

# In order of trust: a tab is never part of a figure or a date, a space often is.
DELIMITERS = ("\t", ";", "|", ",", SPACES)
_HALF = re.compile(r"[ap]\.?\s?m\.?", re.IGNORECASE)
_COMPACT_DAY = re.compile(r"(19|20)\d{6}(\d{4}|\d{6})?|20\d{8}", re.ASCII)


_COLUMN_WORD = re.compile(r"temp|[°º˚]|date|time|datum|zeit", re.IGNORECASE)


class Kind(Enum):
    """What a field looks like by itself."""

    BLANK = "blank"
    INSTANT = "instant"
    DAY = "day"
    TIME = "time"
    AFTER_TIME = "after time"
    NUMBER = "number"
    TEXT = "text"


DATED = (Kind.INSTANT, Kind.DAY)


@lru_cache(maxsize=4096)
def kind_of(text: str) -> Kind:
    """Return what a field looks like, whichever order its date has."""
    plain = text.strip()
    if not plain:
        return Kind.BLANK
    if _COMPACT_DAY.fullmatch(plain) and is_day(plain[:8]):
        return Kind.DAY if len(plain) == 8 else Kind.INSTANT
    if any_number_of(plain) is not None:
        return Kind.NUMBER
    return Kind.DAY if is_day(plain) else _kind_of_words(plain)


def _kind_of_words(plain: str) -> Kind:
    if _HALF.fullmatch(plain) or (len(plain) < 7 and offset_of(plain) is not None):
        return Kind.AFTER_TIME
    if ":" in plain and time_of(plain) is not None:
        return Kind.TIME
    return Kind.INSTANT if _is_instant(plain) else Kind.TEXT


def is_day(text: str) -> bool:
    """Say whether a text is a day in at least one order."""
    if is_figures(text):
        return bool(orders_of(text))
    return day_number(text, DateOrder.YEAR_FIRST) > -(2**39)


def _is_instant(text: str) -> bool:
    cuts = [halves_of(text), text.partition(" ")[::2], text.partition("T")[::2]]
    return any(rest and is_day(day) and time_of(rest) is not None for day, rest in cuts)


@dataclass(frozen=True, slots=True)
class Table:
    """The first rows of a file under one delimiter.

    `rows` are those with readings, beside the numbers of their lines (from 1);
    `titles` has one heading a column; `kinds` says what most fields of a column are.
    """

    delimiter: str
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    kinds: tuple[Kind, ...]
    titles: tuple[str, ...] = ()
    headed: int = 0
    score: int = field(default=0, compare=False)

    def texts(self, index: int) -> list[str]:
        """Return the filled fields of a column."""
        return [row[index].strip() for row in self.rows if row[index].strip()]


def table_in(lines: Sequence[str]) -> Table | None:
    """Return the best reading of a file's first lines as a table, if there is one."""
    tables = [found for sign in DELIMITERS if (found := _table_by(lines, sign))]
    # max() keeps the first of equals, which is the delimiter of more trust.
    return max(tables, key=lambda table: table.score, default=None)


def _table_by(lines: Sequence[str], delimiter: str) -> Table | None:
    split = split_lines(lines, delimiter)
    widths = Counter(len(row) for row in split if len(row) > 1 and any(row))
    best: Table | None = None
    for width, _ in widths.most_common(4):
        numbered = [(n, row) for n, row in enumerate(split, 1) if len(row) == width]
        table = _table_of(numbered, delimiter, width)
        if table and (best is None or table.score > best.score):
            best = table
    return best and _with_titles(best, split)


def _table_of(
    numbered: list[tuple[int, list[str]]], delimiter: str, width: int
) -> Table | None:
    kinds = tuple(_main_kind([row[c] for _, row in numbered]) for c in range(width))
    dated = [c for c in range(width) if kinds[c] in DATED]
    figures = [c for c in range(width) if kinds[c] is Kind.NUMBER]
    # A row whose probe failed is a row of readings too, so its date is enough.
    body = (
        [
            (n, row)
            for n, row in numbered
            if kind_of(row[(dated or figures)[0]])
            in (DATED if dated else (Kind.NUMBER,))
        ]
        if dated or figures
        else []
    )
    read = sum(any(kind_of(row[c]) is Kind.NUMBER for c in figures) for _, row in body)
    if not read:
        return None
    # Without a date only figures are left, epochs or year, month, day perhaps: such
    # a table counts only where no delimiter shows dates.
    score = read + (1_000_000 if dated else 0)
    return Table(
        delimiter,
        tuple(tuple(row) for _, row in body),
        tuple(n for n, _ in body),
        tuple(_main_kind([row[c] for _, row in body]) for c in range(width)),
        score=score,
    )


def _main_kind(texts: Sequence[str]) -> Kind:
    counts = Counter(kind_of(text) for text in texts)
    counts.pop(Kind.BLANK, None)
    if not counts:
        return Kind.BLANK
    # Spreadsheets drop the time at midnight, so a few bare days are instants too.
    if counts[Kind.INSTANT]:
        counts[Kind.INSTANT] += counts.pop(Kind.DAY, 0)
    # A third is enough: a failing probe writes words for hours on end.
    for kind in (Kind.INSTANT, Kind.DAY, Kind.TIME, Kind.NUMBER, Kind.AFTER_TIME):
        if counts[kind] * 3 >= counts.total():
            return kind
    return Kind.TEXT


def with_late_columns(table: Table, rows: Sequence[Sequence[str]]) -> Table:
    """Tell from rows further down what a column is whose first fields are empty."""
    width = len(table.kinds)
    more = [row for row in rows if len(row) == width]
    kinds = tuple(
        _main_kind([row[c] for row in more]) if kind is Kind.BLANK else kind
        for c, kind in enumerate(table.kinds)
    )
    return replace(table, kinds=kinds)


def _with_titles(table: Table, split: list[list[str]]) -> Table:
    """Find the headings right above the readings, a row of units below them too."""
    width = len(table.kinds)
    above = [row for row in split[: table.lines[0] - 1] if any(map(str.strip, row))]
    heads: list[list[str]] = []
    for row in reversed(above[-2:]):
        if not _is_heading(row, width, full=bool(heads)):
            break
        heads.insert(0, row)
    titles = [""] * width
    for row in heads:
        for c, text in enumerate(row[:width]):
            titles[c] = f"{titles[c]} {text}".strip().lstrip("#").strip()
    headed = max((len(row) for row in heads), default=0)
    return replace(table, titles=tuple(titles), headed=headed)


def _is_heading(row: list[str], width: int, *, full: bool) -> bool:
    filled = [text for text in row if text.strip()]
    if len(row) != width and (full or not any(map(_COLUMN_WORD.search, filled))):
        return False
    if full and len(filled) < 2:
        return False
    words = [text for text in filled if kind_of(text) in {Kind.TEXT, Kind.AFTER_TIME}]
    # Places may be numbered, so a heading needs words in half of its cells only.
    return len(row) >= 2 and 2 * len(words) >= len(filled) and bool(words)
