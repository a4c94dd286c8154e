"""A temperature file's understanding in sentences, and what should be asked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.temperature_clock import fixed_offset
from rearing.exchange.temperature_preview import (
    MEASURES,
    DateForm,
    DateOrder,
    Doubt,
    PreviewRow,
    Role,
    Unit,
)
from rearing.exchange.temperature_roles import says_temperature

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.exchange.temperature_preview import Column, Understanding

_DELIMITERS = {
    ";": "Semicolons",
    ",": "Commas",
    "\t": "Tabs",
    "|": "Upright bars",
    " ": "Spaces",
}


def sentences_of(how: Understanding) -> tuple[str, ...]:
    """Say how the file will be read, one sentence a matter."""
    said = [_shape(how), _dates(how), _clock(how)]
    said += [_measure(column, how) for column in how.of_role(*MEASURES)]
    said += [
        f"{column.label} names the logger; each becomes its own series."
        for column in how.of_role(Role.LOGGER)
    ]
    if how.first_line > 1:
        many = how.first_line - 1
        lines = "1 line" if many == 1 else f"{many} lines"
        said.append(f"The readings begin on line {how.first_line}, after {lines}.")
    if unused := how.of_role(Role.UNUSED):
        named = ", ".join(c.title or f"column {c.index + 1}" for c in unused)
        said.append(f"Not used: {named}.")
    return tuple(sentence for sentence in said if sentence)


def _shape(how: Understanding) -> str:
    sign = _DELIMITERS.get(how.delimiter, f"“{how.delimiter}”")
    mark = "comma" if how.decimal == "," else "point"
    return f"{sign} between columns, decimal {mark}, encoded as {how.encoding}."


def _dates(how: Understanding) -> str:
    where = how.of_role(
        Role.INSTANT, Role.DAY, Role.YEAR, Role.MONTH, Role.DAY_OF_MONTH
    )
    if not where:
        return "No column says when."
    told = where[0].label + (" and those after it say" if len(where) > 1 else " says")
    times = how.of_role(Role.TIME, Role.HOUR)
    also = (
        f", {times[0].label[:1].lower()}{times[0].label[1:]} the time" if times else ""
    )
    if how.date_form is not DateForm.WRITTEN:
        return f"{told} when, as {how.date_form}."
    why = f" ({how.order_because})" if how.order_because else ""
    order = f", {how.date_order}{why}" if why or not _leads_with_year(how) else ""
    return f"{told} when{order}{also}."


def _leads_with_year(how: Understanding) -> bool:
    return how.date_order is DateOrder.YEAR_FIRST


def _clock(how: Understanding) -> str:
    if how.daily:
        return "One row a day; days are those of the local calendar."
    if how.date_form in {DateForm.EPOCH_S, DateForm.EPOCH_MS}:
        return "Times count from 1970 in UTC, so no time zone is needed."
    if fixed_offset(how.zone) is not None:
        return f"Times without an offset of their own are {how.zone} all the year."
    return (
        f"Times without an offset of their own are the clock of {how.zone}, summer time"
        " included."
    )


def _measure(column: Column, how: Understanding) -> str:
    unit = (column.unit or Unit.CELSIUS).sign
    if how.daily and column.role is Role.TEMPERATURE:
        return (
            f"{column.label} is read as the day's mean in {unit}; with no lowest and"
            " highest, both are taken to be it."
        )
    return f"{column.label} is read as {column.role} in {unit}."


def doubts_of(how: Understanding, rows: Sequence[PreviewRow]) -> tuple[Doubt, ...]:
    """Return what the file leaves open and the keeper should be asked."""
    found = []
    if how.order_open:
        others = tuple(
            str(order)
            for order in (DateOrder.DAY_FIRST, DateOrder.MONTH_FIRST)
            if order is not how.date_order
        )
        found.append(
            Doubt(
                "date order",
                f"Are the dates {how.date_order}? The file alone cannot prove it.",
                str(how.date_order),
                others,
            )
        )
    found += [_unit_doubt(c) for c in how.of_role(*MEASURES) if c.unit_guessed]
    if _is_column_open(how):
        found.append(_column_doubt(how))
    if rows and all(value is None for row in rows for value in row.celsius):
        found.append(
            Doubt(
                "unit",
                "None of the first rows gives a possible temperature. Is the unit"
                " right, or are these tenths of a degree?",
                "as written",
            )
        )
    return tuple(found)


def _is_column_open(how: Understanding) -> bool:
    """Say whether headings leave open which figures are temperatures."""
    measures = how.of_role(*MEASURES)
    if any(says_temperature(column) for column in measures):
        return False
    named = any(column.title for column in measures)
    return len(measures) > 1 if named else bool(how.of_role(Role.UNUSED))


def _column_doubt(how: Understanding) -> Doubt:
    taken = ", ".join(column.label for column in how.of_role(*MEASURES))
    others = tuple(column.label for column in how.of_role(Role.UNUSED))
    question = f"No heading says where the temperatures are. Are they {taken}?"
    return Doubt("column", question, taken, others)


def _unit_doubt(column: Column) -> Doubt:
    taken = column.unit or Unit.CELSIUS
    return Doubt(
        "unit",
        f"{column.label} does not say its unit. Is it {taken.sign}?",
        taken.value,
        tuple(unit.value for unit in Unit if unit is not taken),
    )
