"""The sheet an answer is written on: lines, wrapped paragraphs, columns, JSON."""

from __future__ import annotations

import codecs
import json
import textwrap
from typing import TYPE_CHECKING, TextIO

from rearing.commands.signs import shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

NARROWEST, WIDEST = 60, 100
GAP = "  "


class Paper:
    """Writes plain text of a bounded width to a stream, in signs that it has."""

    def __init__(self, stream: TextIO | None, columns: int = 96) -> None:
        self._stream = stream
        self.width = min(max(columns, NARROWEST), WIDEST)
        self._encoding = _known(getattr(stream, "encoding", None))

    def fit(self, text: str) -> str:
        """Return text as this paper can show it, so that columns can be measured."""
        return shown(text, self._encoding)

    def line(self, text: str = "") -> None:
        """Write one line as it is, however long."""
        if self._stream is not None:
            self._stream.write(self.fit(text).rstrip() + "\n")

    def paragraph(self, text: str, *, indent: int = 0, later: int = 0) -> None:
        """Write text in lines of the paper's width; `later` indents those after."""
        wrapped = textwrap.wrap(
            self.fit(text),
            self.width,
            initial_indent=" " * indent,
            subsequent_indent=" " * (indent + later),
            break_long_words=False,
            break_on_hyphens=False,
        )
        for line in wrapped:
            self.line(line)

    def table(
        self, rows: Iterable[Sequence[str]], *, indent: int = 0, right: str = ""
    ) -> None:
        """Write rows in columns; `right` has an r for each column set to the right."""
        fitted = [[self.fit(cell) for cell in row] for row in rows]
        wide = widths(fitted)
        for row in fitted:
            cells = [
                cell.rjust(size) if right[i : i + 1] == "r" else cell.ljust(size)
                for i, (cell, size) in enumerate(zip(row, wide, strict=True))
            ]
            self.line(" " * indent + GAP.join(cells))

    def json(self, data: Mapping[str, object]) -> None:
        """Write one JSON object; names in their own letters where these can be shown.

        Numbers that JSON has no word for (NaN) are an error here, never written.
        """
        if self._stream is None:
            return
        text = json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2)
        try:
            text.encode(self._encoding)
        except UnicodeEncodeError:
            text = json.dumps(data, allow_nan=False, indent=2)
        self._stream.write(text + "\n")

    def csv(self, text: str) -> None:
        """Write a table in UTF-8, its line ends as they are, whatever the stream's."""
        if self._stream is None:
            return
        raw = getattr(self._stream, "buffer", None)
        if raw is None:
            self._stream.write(text)
        else:
            self._stream.flush()
            raw.write(text.encode())
            raw.flush()


def widths(rows: Sequence[Sequence[str]]) -> list[int]:
    """Return the width of each column of rows of equal length."""
    return [max(map(len, column)) for column in zip(*rows, strict=True)]


def _known(encoding: str | None) -> str:
    try:
        return codecs.lookup(encoding or "ascii").name
    except LookupError:
        return "ascii"
