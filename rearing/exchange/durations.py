"""Reading durations at temperatures from a small table: a file, or pasted text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.exchange.temperature_numbers import (
    any_number_of,
    split_unit,
    to_celsius,
    unit_in_heading,
)
from rearing.exchange.temperature_split import split_lines
from rearing.exchange.temperature_text import encoding_of, opened
from rearing.exchange.temperatures import Unit
from rearing.problems import UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

_DELIMITERS = (";", "\t", "|", ",", " ")
_MOST_LINES = 10_000
_TEMPERATURE = re.compile(r"^t$|temp|celsius|fahrenheit|[°º]", re.IGNORECASE)
_DURATION = re.compile(r"^d$|day|durat", re.IGNORECASE)


@dataclass(frozen=True, slots=True, eq=False)
class Durations:
    """Days a stage took at each temperature [°C], both shape (n,)."""

    celsius: NDArray[np.float64]
    days: NDArray[np.float64]
    unit: Unit


def durations_in(path: Path) -> Durations:
    """Read a file with a temperature and a duration in days on every line."""
    with opened(path, encoding_of(path)) as (_, stream):
        return _read(path.name, stream)


def durations_of(text: str, name: str = "The table") -> Durations:
    """Read the same from text, as it was typed or pasted."""
    return _read(name, text.splitlines())


def _read(name: str, stream: Iterable[str]) -> Durations:
    lines = _lines(name, stream)
    rows = _parted(name, [text for _, text in lines])
    numbers = [number for number, _ in lines]
    has_heading = not _figures(rows[0])
    titles = [title.strip() for title in rows[0]] if has_heading else []
    at, days = _columns(name, titles)
    body = list(zip(numbers, rows, strict=True))[1 if has_heading else 0 :]
    stated = unit_in_heading(titles[at]) if titles else None
    celsius, durations, units = [], [], {stated} if stated else set()
    for number, row in body:
        if len(row) <= max(at, days):
            raise UnreadableFile(f"Line {number} of {name} is too short.")
        _, unit = split_unit(row[at])
        units.add(unit or stated or Unit.CELSIUS)
        figure = _figure(name, number, row[at])
        celsius.append(to_celsius(figure, unit or stated or Unit.CELSIUS))
        durations.append(_figure(name, number, row[days]))
    return Durations(
        np.array(celsius), np.array(durations), max(units or {Unit.CELSIUS})
    )


def _lines(name: str, stream: Iterable[str]) -> list[tuple[int, str]]:
    """Return the lines that hold something, by their number from 1."""
    found = []
    for number, line in enumerate(stream, start=1):
        if number > _MOST_LINES:
            raise UnreadableFile(
                f"{name} has more than {_MOST_LINES:,} lines; a fit needs one "
                "line for each temperature."
            )
        if line.strip() and not line.startswith("#"):
            found.append((number, line.strip()))
    if not found:
        raise UnreadableFile(f"{name} has no line to read.")
    return found


def _parted(name: str, texts: Sequence[str]) -> list[list[str]]:
    """Part lines by the sign that gives most of them two figures."""
    tried = [split_lines(texts, sign) for sign in _DELIMITERS]
    scores = [sum(_figures(row) for row in rows) for rows in tried]
    best = max(scores)
    if not best:
        raise UnreadableFile(
            f"{name} has no line with two figures, a temperature and a number of days."
        )
    return tried[scores.index(best)]


def _figures(row: Sequence[str]) -> bool:
    return sum(any_number_of(cell) is not None for cell in row) >= 2


def _columns(name: str, titles: Sequence[str]) -> tuple[int, int]:
    """Return where temperatures and days stand, by headings or as first and second."""
    warm = [i for i, title in enumerate(titles) if _TEMPERATURE.search(title)]
    long = [i for i, title in enumerate(titles) if _DURATION.search(title)]
    if warm and long and warm[0] != long[0]:
        return warm[0], long[0]
    if len(titles) > 2:
        raise UnreadableFile(
            f"{name} needs a column “temperature” and a column “days”; its "
            f"headings are {', '.join(titles)}."
        )
    return 0, 1


def _figure(name: str, line: int, text: str) -> float:
    figure = any_number_of(text)
    if figure is None:
        raise UnreadableFile(
            f"Line {line} of {name}: “{text[:40].strip()}” is no number."
        )
    return figure
