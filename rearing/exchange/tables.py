"""Tables as other programs read them: CSV for a file, tabs for the clipboard.

Values stand as they are known, never as they are rounded for a page: numbers with a
point, days and moments in ISO 8601, yes and no, nothing where nothing is known. CSV is
that of RFC 4180 in UTF-8: a heading line, lines that end in CR LF, quotes around what
needs them. A text that a spreadsheet would take for a formula (it begins with = + - or
@) has an apostrophe put before it.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
from dataclasses import dataclass
from numbers import Real
from typing import TYPE_CHECKING
from unicodedata import category

from rearing.exchange.whole_file import write_whole
from rearing.problems import AskFirst, Refusal

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

Value = str | float | dt.date | Real | None
SUFFIX = ".csv"
_FORMULA = frozenset("=+-@＝＋－＠")
_NOT_IN_NAMES = frozenset('/\\:*?"<>|')
_LONGEST_NAME = 120


@dataclass(frozen=True, slots=True)
class Table:
    """A named table; a heading ends in its unit, as "leaf [g]"."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]

    def __post_init__(self) -> None:
        wide = len(self.headings)
        if any(len(row) != wide for row in self.rows):
            raise ValueError(
                f"{self.name}: a row is not as wide as its {wide} headings"
            )


def table(name: str, headings: Sequence[str], rows: Iterable[Sequence[Value]]) -> Table:
    """Return a table of rows, each as wide as the headings."""
    return Table(name, tuple(headings), tuple(tuple(row) for row in rows))


def stacked(tables: Sequence[Table]) -> Table:
    """Return tables of the same headings as one, under the names of all."""
    headings = {one.headings for one in tables}
    if len(headings) != 1:
        raise ValueError(f"{len(headings)} kinds of headings can't be stacked")
    names = " and ".join(one.name for one in tables)
    rows = [row for one in tables for row in one.rows]
    return Table(names, headings.pop(), tuple(rows))


def csv_text(told: Table) -> str:
    """Return a table as RFC 4180 has it."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_cell(heading) for heading in told.headings])
    writer.writerows([_cell(value) for value in row] for row in told.rows)
    return text.getvalue()


def tab_text(told: Table) -> str:
    """Return a table for the clipboard: a tab between cells, a line a row."""
    lines = [told.headings, *told.rows]
    return "".join(
        "\t".join(" ".join(_cell(value).split("\n")) for value in line) + "\n"
        for line in lines
    )


def file_name(page: str, told: Table, on: dt.date, book: str) -> str:
    """Return how a table's file is called: page, table, day, and book."""
    what = told.name if told.name.startswith(page) else f"{page}, {told.name}"
    name = f"{what[:_LONGEST_NAME]}, {on.isoformat()}, {book[:60]}"
    plain = "".join(" " if sign in _NOT_IN_NAMES else sign for sign in name)
    return f"{' '.join(plain.split())}{SUFFIX}"


def save_table(path: Path, told: Table, *, sure: bool = False) -> None:
    """Write a table to a file; what is there already is asked about."""
    if path.is_dir():
        raise Refusal(f"{path} is a folder; add a name.", field="file")
    if not path.parent.is_dir():
        raise Refusal(f"There is no folder {path.parent}.", field="file")
    if path.suffix.lower() != SUFFIX:
        raise Refusal(f"The name must end in {SUFFIX}.", field="file")
    if path.exists() and not sure:
        raise AskFirst(
            f"{path.name} is there already. Write this table in its place?",
            field="file",
        )
    try:
        write_whole(path, csv_text(told).encode())
    except OSError as trouble:
        raise Refusal(
            f"It could not be written: {trouble.strerror or trouble}.", field="file"
        ) from trouble


def _cell(value: Value) -> str:
    if isinstance(value, str):
        return _guarded(_readable(value))
    if isinstance(value, dt.datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, dt.date):
        return value.isoformat()
    return "" if value is None else _number(value)


def _number(value: Real | float) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    number = float(value)
    return repr(number) if math.isfinite(number) else ""


def _readable(text: str) -> str:
    """Return a text without signs that no reader of UTF-8 text takes."""
    lines = "\n".join(str(text).splitlines())
    return "".join(
        " " if sign != "\n" and category(sign) in {"Cc", "Cs"} else sign
        for sign in lines
    )


def _guarded(text: str) -> str:
    """Return a text that no spreadsheet reckons with."""
    return f"'{text}" if text.lstrip()[:1] in _FORMULA and text.strip() else text
