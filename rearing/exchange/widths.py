"""Reading head-capsule widths from a small table, with the instar where it is known."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.exchange.temperature_numbers import any_number_of
from rearing.exchange.temperature_split import split_lines
from rearing.exchange.temperature_text import encoding_of, opened
from rearing.problems import UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

_DELIMITERS = (";", "\t", "|", ",", " ")
_MOST_LINES = 100_000
_WIDTH = re.compile(r"width|head|capsule|mm", re.IGNORECASE)
_NUMBER = re.compile(r"^n$|number|count", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Widths:
    """Widths as they stand in a file [mm], each as often as it was counted."""

    mm: tuple[float, ...]


def widths_in(path: Path) -> Widths:
    """Read a file with a width on every line, and how many had it where it tells."""
    with opened(path, encoding_of(path)) as (_, stream):
        lines = [
            (number, line.strip())
            for number, line in enumerate(stream, start=1)
            if line.strip() and not line.startswith("#")
        ]
    if not lines:
        raise UnreadableFile(f"{path.name} has no line to read.")
    if len(lines) > _MOST_LINES:
        raise UnreadableFile(f"{path.name} has more than {_MOST_LINES:,} lines.")
    rows = _parted([text for _, text in lines])
    has_heading = any_number_of(rows[0][0]) is None and not any(
        any_number_of(cell) is not None for cell in rows[0]
    )
    at, many = _columns(path.name, rows[0] if has_heading else [])
    found: list[float] = []
    for (number, _), row in list(zip(lines, rows, strict=True))[has_heading:]:
        width = any_number_of(row[at]) if len(row) > at else None
        if width is None or not 0 < width < 100:
            raise UnreadableFile(f"Line {number} of {path.name} has no width in mm.")
        often = 1.0
        if many is not None:
            told = any_number_of(row[many]) if len(row) > many else None
            if told is None or told < 0 or told != int(told):
                raise UnreadableFile(f"Line {number} of {path.name} has no number.")
            often = told
        found += [width] * int(often)
        if len(found) > _MOST_LINES:
            raise UnreadableFile(f"{path.name} has more than {_MOST_LINES:,} widths.")
    return Widths(tuple(found))


def _parted(texts: Sequence[str]) -> list[list[str]]:
    """Part lines by the sign that gives most numbers; lines of one number by none."""
    # A comma in 0,68 parts nothing: every line but a heading is a number as it is.
    if sum(any_number_of(text) is not None for text in texts) >= len(texts) - 1:
        return [[text] for text in texts]
    tried = [split_lines(texts, sign) for sign in _DELIMITERS]
    return max(tried, key=_numbers)


def _numbers(rows: Sequence[Sequence[str]]) -> int:
    return sum(any_number_of(cell) is not None for row in rows for cell in row)


def _columns(name: str, titles: Sequence[str]) -> tuple[int, int | None]:
    if not titles:
        return 0, None
    wide = [i for i, title in enumerate(titles) if _WIDTH.search(title)]
    many = [i for i, title in enumerate(titles) if _NUMBER.search(title.strip())]
    if not wide and len(titles) > 1:
        raise UnreadableFile(
            f"{name} needs a column “width”; its headings are {', '.join(titles)}."
        )
    return (wide[0] if wide else 0), (many[0] if many else None)
