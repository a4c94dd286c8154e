"""Looking at a temperature file: which table it is and how its figures are meant."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from rearing.exchange.temperature_clock import zone_named
from rearing.exchange.temperature_days import NO_DAY
from rearing.exchange.temperature_hours import offset_of
from rearing.exchange.temperature_instants import (
    InstantFields,
    clock_columns,
    date_columns,
)
from rearing.exchange.temperature_numbers import any_number_of, decimal_of, split_unit
from rearing.exchange.temperature_order import Order, settle
from rearing.exchange.temperature_preview import (
    MEASURES,
    Column,
    DateForm,
    DateOrder,
    PreviewRow,
    Role,
    Understanding,
    Unit,
)
from rearing.exchange.temperature_roles import columns_of, has_hour, is_by_day
from rearing.exchange.temperature_rows import cell_texts, chunks
from rearing.exchange.temperature_split import split_lines
from rearing.exchange.temperature_table import Table, table_in, with_late_columns
from rearing.exchange.temperature_text import encoding_of, first_lines, lines_throughout
from rearing.exchange.temperature_words import doubts_of, sentences_of
from rearing.problems import Refusal, UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_SAMPLE_LINES = 400
_SHOWN_ROWS = 8
_HEADING_ORDERS = (
    (DateOrder.DAY_FIRST, re.compile(r"\bdd?\W?mm?m?\W?(yy|jj|aa)", re.IGNORECASE)),
    (DateOrder.MONTH_FIRST, re.compile(r"\bmm?\W?dd?\W?(yy|jj|aa)", re.IGNORECASE)),
)
_HEADING_OFFSET = re.compile(
    r"\b(?:UTC|GMT)\s*([+\-−]\s*\d{1,2}(?::?\d\d)?)?(?![A-Za-z])", re.IGNORECASE
)


def understand(
    path: Path, *, zone: str, unit: str | None = None, day_first: bool | None = None
) -> Understanding:
    """Look at a file and say how it would be read; nothing is kept.

    `zone` is where the logger's clock stood; `unit` is ``c``, ``f`` or ``k`` where the
    keeper knows it; `day_first` settles dates such as 3/4/2021. Raises UnreadableFile
    when the file is no table of temperatures, Refusal for an unknown zone or unit.
    """
    zone_named(zone)
    known_unit = _unit_said(unit)
    encoding = encoding_of(path)
    lines = first_lines(path, encoding, _SAMPLE_LINES)
    table = table_in(lines)
    if table is None:
        raise UnreadableFile(_nothing_found(path, lines))
    throughout = split_lines(lines_throughout(path, encoding), table.delimiter)
    table = with_late_columns(table, throughout)
    columns, form = columns_of(table)
    _refuse_without_parts(path, columns, table)
    _refuse_split_decimals(path, columns, table)
    how = Understanding(
        encoding=encoding,
        delimiter=table.delimiter,
        decimal=_decimal(columns, table),
        first_line=table.lines[0],
        columns=_with_units(columns, table, known_unit, throughout),
        zone=_zone(columns, zone),
        date_form=form,
        daily=_is_daily(columns, table, form),
    )
    order = _order(path, how, day_first=day_first)
    how = replace(
        how,
        date_order=order.order,
        order_because=order.because,
        order_open=order.is_open,
    )
    return _described(how, table)


def look_again(path: Path, understanding: Understanding) -> Understanding:
    """Renew sentences, doubts and first rows after the keeper changed something."""
    zone_named(understanding.zone)
    count = understanding.first_line + _SAMPLE_LINES
    lines = first_lines(path, understanding.encoding, count)
    start = understanding.first_line - 1
    width = max(column.index for column in understanding.columns) + 1
    rows = [
        (n, tuple(row))
        for n, row in enumerate(
            split_lines(lines[start:], understanding.delimiter), start + 1
        )
        if len(row) >= width
    ]
    table = Table(
        understanding.delimiter,
        tuple(row for _, row in rows),
        tuple(n for n, _ in rows),
        (),
    )
    return _described(understanding, table)


def _unit_said(unit: str | None) -> Unit | None:
    if unit is None:
        return None
    try:
        return Unit(unit.lower().strip("° "))
    except ValueError as trouble:
        raise Refusal(
            f"“{unit}” is no unit of temperature here: c, f or k.", field="unit"
        ) from trouble


def _nothing_found(path: Path, lines: list[str]) -> str:
    filled = next((line.strip() for line in lines if line.strip()), "")
    return (
        f"{path.name} could not be read as temperatures: rows with a date and a figure"
        f" were looked for, and none was found. It begins with “{_shown(filled)}”."
    )


def _shown(text: str) -> str:
    return "".join(sign if sign.isprintable() else " " for sign in text[:60])


def _is_daily(columns: tuple[Column, ...], table: Table, form: DateForm) -> bool:
    """Say whether rows are days: a lone reading at eight every morning is not."""
    listed = list(columns)
    if not is_by_day(listed, table, form):
        return False
    has_range = any(column.role is Role.LOW for column in columns)
    return has_range or not has_hour(listed, table, form)


def _refuse_without_parts(
    path: Path, columns: tuple[Column, ...], table: Table
) -> None:
    roles = {column.role for column in columns}
    shown = _shown(table.delimiter.join(table.rows[0]))
    if not roles & {Role.INSTANT, Role.DAY, Role.YEAR}:
        raise UnreadableFile(
            f"{path.name} has figures but no date that can be read. Its rows look like"
            f" “{shown}”."
        )
    if not roles & set(MEASURES):
        raise UnreadableFile(
            f"{path.name} has dates but no column of temperatures was found. Its rows"
            f" look like “{shown}”."
        )


def _refuse_split_decimals(
    path: Path, columns: tuple[Column, ...], table: Table
) -> None:
    """Refuse 12,5 between commas: two columns are seen where one was meant."""
    if table.delimiter != "," or not 0 < table.headed < len(columns):
        return
    for column in columns[table.headed :]:
        texts = table.texts(column.index)
        if texts and all(re.fullmatch(r"\d{1,3}", text) for text in texts):
            raise UnreadableFile(
                f"{path.name} has more fields in its rows than headings: it seems to"
                " use a comma both between columns and in its figures. Save it with"
                " semicolons or tabs between columns and bring it in again."
            )


def _decimal(columns: tuple[Column, ...], table: Table) -> str:
    texts = [
        split_unit(text)[0]
        for column in columns
        if column.role in MEASURES
        for text in table.texts(column.index)
    ]
    return decimal_of(texts)


def _zone(columns: tuple[Column, ...], zone: str) -> str:
    """Return the offset that a heading states, or the zone that was given."""
    for column in columns:
        if column.role in {Role.INSTANT, Role.DAY, Role.TIME, Role.HOUR}:
            found = _HEADING_OFFSET.search(column.title)
            if found is None:
                continue
            text = (found[1] or "+0").replace(" ", "").replace("−", "-")
            if (seconds := offset_of(text)) is not None:
                sign = "-" if seconds < 0 else "+"
                hours, rest = divmod(abs(seconds), 3600)
                return f"UTC{sign}{hours:02d}:{rest // 60:02d}"
    return zone


def _order(path: Path, how: Understanding, *, day_first: bool | None) -> Order:
    if how.date_form is not DateForm.WRITTEN or how.of_role(Role.YEAR):
        return Order(DateOrder.YEAR_FIRST, "")
    dated = how.of_role(Role.INSTANT, Role.DAY)[0]
    for order, words in _HEADING_ORDERS:
        if day_first is None and words.search(dated.title):
            return Order(order, "the heading says so")
    if all(re.match(r"\d{4}[-/. ]", text) for text in dated.samples):
        return Order(DateOrder.YEAR_FIRST, "the year leads")
    return settle(_day_texts(path, how), day_first=day_first)


def _day_texts(path: Path, how: Understanding) -> Iterator[str]:
    """Yield the day part of every row of the whole file."""
    fields = InstantFields(how)
    if (column := how.of_role(Role.INSTANT)) and fields.separator is None:
        for sign in (" ", "T"):
            if all(re.match(rf"[\d./-]+{sign}\d", t) for t in column[0].samples):
                fields.separator = sign
    needed = max(clock_columns(how), default=0)
    for _, rows in chunks(path, how):
        texts = fields.day_texts([row for row in rows if len(row) > needed])
        yield from dict.fromkeys(text.strip() for text in texts)


def _with_units(
    columns: tuple[Column, ...],
    table: Table,
    said: Unit | None,
    throughout: list[list[str]],
) -> tuple[Column, ...]:
    """Fill in units: said by the keeper, by the heading, by the cells, or guessed."""
    known = []
    for column in columns:
        if column.role not in MEASURES:
            known.append(column)
            continue
        cells = {split_unit(text)[1] for text in table.texts(column.index)} - {None}
        unit = said or column.unit or (cells.pop() if len(cells) == 1 else None)
        texts = [row[column.index] for row in throughout if len(row) > column.index]
        guess = unit or _likely_unit([*table.texts(column.index), *texts])
        known.append(replace(column, unit=guess, unit_guessed=unit is None))
    return tuple(known)


def _likely_unit(texts: list[str]) -> Unit:
    """Guess from the figures: a shed is rarely over 35 °C and never over 50 °C."""
    figures = [any_number_of(text) for text in texts]
    known = sorted(figure for figure in figures if figure is not None)
    if not known:
        return Unit.CELSIUS
    middle, high = known[len(known) // 2], known[int(0.98 * (len(known) - 1))]
    if 200 < middle < 330:
        return Unit.KELVIN
    is_hot = 35 < middle < 140 or 50 < high < 140
    return Unit.FAHRENHEIT if is_hot else Unit.CELSIUS


def _described(how: Understanding, table: Table) -> Understanding:
    rows = _preview(how, table)
    return replace(
        how, sentences=sentences_of(how), doubts=doubts_of(how, rows), first_rows=rows
    )


def _preview(how: Understanding, table: Table) -> tuple[PreviewRow, ...]:
    some = table.rows[:_SHOWN_ROWS]
    if not some or not date_columns(how):
        return ()
    local, _ = InstantFields(how).read(some)
    measures = [(column, cell_texts(column, how)) for column in how.of_role(*MEASURES)]
    shown = []
    for line, row, seconds in zip(table.lines, some, local.tolist(), strict=False):
        values = [texts[row[column.index]] for column, texts in measures]
        known = tuple(None if np.isnan(value) else value for value in values)
        shown.append(PreviewRow(line, _when(seconds, daily=how.daily), known))
    return tuple(shown)


def _when(local_s: int, *, daily: bool) -> str:
    if local_s == NO_DAY:
        return "unreadable"
    wall = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=local_s)
    if daily:
        return wall.date().isoformat()
    return wall.strftime("%Y-%m-%d %H:%M:%S" if local_s % 60 else "%Y-%m-%d %H:%M")
