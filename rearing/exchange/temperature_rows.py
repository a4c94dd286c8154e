"""The pass through a file: rows in, arrays and set-aside lines out."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from rearing.exchange.temperature_days import NO_DAY
from rearing.exchange.temperature_instants import (
    InstantFields,
    clock_columns,
    date_columns,
)
from rearing.exchange.temperature_numbers import TemperatureTexts
from rearing.exchange.temperature_preview import MEASURES, Role, Unit
from rearing.exchange.temperature_series import Cancelled, SetAside
from rearing.exchange.temperature_split import split_lines
from rearing.exchange.temperature_text import opened, texts_of_lines

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

    from rearing.exchange.temperature_preview import Column, Understanding

CHUNK_LINES = 20_000
_SHOWN_OF_EACH_REASON = 200

TOO_SHORT = "the row ends before its date"
NO_DATE = "no date or time that can be read"
HEADING_AGAIN = "the headings again"


class AsideLog:
    """Counts set-aside lines by reason and remembers the first of each."""

    def __init__(self) -> None:
        self.counts: Counter[str] = Counter()
        self._lines: list[tuple[int, str]] = []

    def add(self, reason: str, lines: Iterable[int]) -> None:
        """Set lines aside for one reason."""
        for line in lines:
            if self.counts[reason] < _SHOWN_OF_EACH_REASON:
                self._lines.append((int(line), reason))
            self.counts[reason] += 1

    def told(self, path: Path, encoding: str) -> tuple[SetAside, ...]:
        """Return the remembered lines with their texts, in file order."""
        texts = texts_of_lines(path, encoding, {line for line, _ in self._lines})
        return tuple(
            SetAside(line, texts.get(line, ""), reason)
            for line, reason in sorted(self._lines)
        )


@dataclass(slots=True)
class Gathered:
    """The readable rows of a file, column by column, in file order."""

    local_s: NDArray[np.int64]
    offset_s: NDArray[np.int64]
    line: NDArray[np.int64]
    logger: NDArray[np.int64]
    celsius: list[NDArray[np.float64]]
    logger_names: tuple[str, ...]
    rows_read: int
    blanks: int


@dataclass(slots=True)
class _Pieces:
    local_s: list[NDArray[np.int64]] = field(default_factory=list)
    offset_s: list[NDArray[np.int64]] = field(default_factory=list)
    line: list[NDArray[np.int64]] = field(default_factory=list)
    logger: list[NDArray[np.int64]] = field(default_factory=list)


def chunks(
    path: Path,
    how: Understanding,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Iterator[tuple[int, list[list[str]]]]:
    """Yield the number of a first line and the rows from it on, until the end."""
    size = max(path.stat().st_size, 1)
    with opened(path, how.encoding) as (raw, stream):
        first = how.first_line
        # What stands above the readings is passed over.
        for _ in islice(stream, first - 1):
            pass
        while True:
            if cancelled is not None and cancelled():
                raise Cancelled
            lines = list(islice(stream, CHUNK_LINES))
            if not lines:
                return
            yield first, split_lines(lines, how.delimiter)
            first += len(lines)
            if progress is not None:
                progress(min(raw.tell() / size, 1.0) * 0.9)


class RowPass:
    """One reading of a file from its first row of temperatures to its end."""

    def __init__(self, how: Understanding, aside: AsideLog) -> None:
        self.how = how
        self.aside = aside
        self.instants = InstantFields(how)
        self.measures = how.of_role(*MEASURES)
        self.texts = [cell_texts(column, how) for column in self.measures]
        self.values: list[list[NDArray[np.float64]]] = [[] for _ in self.measures]
        self.pieces = _Pieces()
        self.loggers: dict[str, int] = {}
        self.rows_read = 0
        self.blanks = 0
        named = how.of_role(Role.LOGGER)
        self.logger_column = named[0].index if named else None
        used = [*clock_columns(how), *(c.index for c in self.measures)]
        self.width = max([*used, self.logger_column or 0]) + 1

    def take(self, first: int, rows: Sequence[Sequence[str]]) -> None:
        """Read one chunk of rows, the first of which stands on line `first`."""
        line = np.arange(first, first + len(rows), dtype=np.int64)
        if min(map(len, rows)) < self.width:
            rows, line = self._mended(rows, line)
        if not rows:
            return
        self.rows_read += len(rows)
        local, offset = self.instants.read(rows)
        good = local != NO_DAY
        if not good.all():
            self._set_dateless_aside(rows, line, np.flatnonzero(~good).tolist())
            kept = np.flatnonzero(good)
            rows = [rows[at] for at in kept.tolist()]
            local, offset, line = local[kept], offset[kept], line[kept]
        self.pieces.local_s.append(local)
        self.pieces.offset_s.append(offset)
        self.pieces.line.append(line)
        self.pieces.logger.append(self._logger_codes(rows))
        self._take_measures(rows, line)

    def _mended(
        self, rows: Sequence[Sequence[str]], line: NDArray[np.int64]
    ) -> tuple[list[Sequence[str]], NDArray[np.int64]]:
        """Drop empty rows, fill short ones, set aside those without a date."""
        needed = max(date_columns(self.how), default=0) + 1
        kept: list[Sequence[str]] = []
        places: list[int] = []
        for at, row in enumerate(rows):
            if not any(text.strip() for text in row):
                continue
            if len(row) < needed:
                self.rows_read += 1
                self.aside.add(TOO_SHORT, [int(line[at])])
                continue
            places.append(at)
            missing = self.width - len(row)
            kept.append([*row, *[""] * missing] if missing > 0 else row)
        return kept, line[places]

    def _set_dateless_aside(
        self, rows: Sequence[Sequence[str]], line: NDArray[np.int64], bad: list[int]
    ) -> None:
        dated = [self.how.columns[c] for c in date_columns(self.how)]
        for at in bad:
            texts = [(rows[at][column.index].strip(), column.title) for column in dated]
            again = all(text and title.startswith(text) for text, title in texts)
            self.aside.add(HEADING_AGAIN if again else NO_DATE, [int(line[at])])

    def _logger_codes(self, rows: Sequence[Sequence[str]]) -> NDArray[np.int64]:
        if self.logger_column is None:
            return np.zeros(len(rows), dtype=np.int64)
        known, where = self.loggers, self.logger_column
        codes = [known.setdefault(row[where].strip(), len(known)) for row in rows]
        return np.array(codes, dtype=np.int64)

    def _take_measures(
        self, rows: Sequence[Sequence[str]], line: NDArray[np.int64]
    ) -> None:
        for column, texts, values in zip(
            self.measures, self.texts, self.values, strict=True
        ):
            where = column.index
            cells = [row[where] for row in rows]
            celsius = np.fromiter(map(texts.__getitem__, cells), np.float64, len(cells))
            for at in np.flatnonzero(np.isnan(celsius)).tolist():
                if reason := texts.reasons.get(cells[at]):
                    self.aside.add(reason, [int(line[at])])
                else:
                    self.blanks += 1
            values.append(celsius)
            texts.trim()

    def gathered(self) -> Gathered:
        """Return everything read so far as whole arrays."""
        return Gathered(
            _joined(self.pieces.local_s),
            _joined(self.pieces.offset_s),
            _joined(self.pieces.line),
            _joined(self.pieces.logger),
            [np.concatenate(v) if v else np.empty(0) for v in self.values],
            tuple(self.loggers),
            self.rows_read,
            self.blanks,
        )


def _joined(parts: list[NDArray[np.int64]]) -> NDArray[np.int64]:
    return np.concatenate(parts) if parts else np.empty(0, dtype=np.int64)


def cell_texts(column: Column, how: Understanding) -> TemperatureTexts:
    """Return the reader of one column's cells; °C where no unit is known."""
    return TemperatureTexts(decimal=how.decimal, unit=column.unit or Unit.CELSIUS)
