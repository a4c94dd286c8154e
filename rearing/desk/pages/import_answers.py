"""What a keeper's answer changes in the understanding of a temperature file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.exchange.temperatures import Column, DateOrder, Role, Understanding, Unit

if TYPE_CHECKING:
    from rearing.exchange.temperatures import Doubt

MEASURES = frozenset({Role.TEMPERATURE, Role.LOW, Role.HIGH})
SAID = "you said so"
_UNIT_WORDS = {unit.value: unit.sign for unit in Unit}


def choices(doubt: Doubt) -> tuple[str, ...]:
    """Return what may be answered, what was taken first."""
    return (doubt.taken, *doubt.others)


def choice_words(doubt: Doubt, choice: str) -> str:
    """Return an answer as it is written on its key."""
    if doubt.about == "unit":
        return _UNIT_WORDS.get(choice, "they are right")
    if doubt.about == "column" and choice == doubt.taken:
        return "yes" if doubt.others else "yes; else change the columns below"
    return choice


def answered(how: Understanding, doubt: Doubt, choice: str) -> Understanding:
    """Return the understanding as the answer leaves it, the question settled."""
    if doubt.about == "date order":
        order = DateOrder(choice)
        return replace(how, date_order=order, order_open=False, order_because=SAID)
    if doubt.about == "unit" and choice in _UNIT_WORDS:
        return _with_unit(how, doubt, Unit(choice))
    if doubt.about == "column" and choice != doubt.taken:
        return _with_column(how, choice)
    return how


def with_role(how: Understanding, index: int, role: Role) -> Understanding:
    """Give a column another role; a column that is a measure has a unit."""
    columns = tuple(
        _in_role(column, role) if column.index == index else column
        for column in how.columns
    )
    roles = {column.role for column in columns}
    daily = how.daily or {Role.LOW, Role.HIGH} <= roles
    return replace(how, columns=columns, daily=daily)


def with_unit(how: Understanding, index: int, unit: Unit) -> Understanding:
    """Read a column in another unit, as the keeper says."""
    columns = tuple(
        replace(column, unit=unit, unit_guessed=False)
        if column.index == index
        else column
        for column in how.columns
    )
    return replace(how, columns=columns)


def reads_alike(one: Understanding, other: Understanding) -> bool:
    """Tell whether two understandings read every row in the same way."""
    return _reading(one) == _reading(other)


def _reading(how: Understanding) -> tuple[object, ...]:
    # Whether something was guessed, and the sentences about it, change no figure.
    columns = tuple((c.index, c.role, c.name, c.unit) for c in how.columns)
    plain = replace(
        how,
        columns=(),
        order_because="",
        order_open=False,
        sentences=(),
        doubts=(),
        first_rows=(),
    )
    return (plain, columns)


def _in_role(column: Column, role: Role) -> Column:
    if role not in MEASURES:
        return replace(column, role=role, unit_guessed=False)
    guessed = column.unit is None or column.unit_guessed
    return replace(
        column, role=role, unit=column.unit or Unit.CELSIUS, unit_guessed=guessed
    )


def _with_unit(how: Understanding, doubt: Doubt, unit: Unit) -> Understanding:
    for column in how.columns:
        # The question begins with the column it is about.
        if column.unit_guessed and doubt.question.startswith(f"{column.label} does"):
            return with_unit(how, column.index, unit)
    return how


def _with_column(how: Understanding, label: str) -> Understanding:
    changed = how
    for column in how.columns:
        if column.label == label:
            changed = with_role(changed, column.index, Role.TEMPERATURE)
        elif column.role in MEASURES:
            changed = with_role(changed, column.index, Role.UNUSED)
    return changed
