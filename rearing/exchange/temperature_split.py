"""Lines into fields, one row a line whatever the line holds."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

SPACES = " "


def split_lines(lines: Sequence[str], delimiter: str) -> list[list[str]]:
    """Return one row of fields for every line.

    A stray quotation mark must not swallow the lines behind it, so lines are only
    read together when that gives as many rows as there are lines.
    """
    if delimiter == SPACES:
        return [_unquoted(line.split()) for line in lines]
    try:
        rows = list(csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        rows = []
    if len(rows) == len(lines):
        return rows
    return [_split_one(line, delimiter) for line in lines]


def _split_one(line: str, delimiter: str) -> list[str]:
    try:
        rows = list(csv.reader([line], delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        rows = []
    return rows[0] if len(rows) == 1 else line.split(delimiter)


def _unquoted(fields: list[str]) -> list[str]:
    return [field.strip('"') for field in fields]
