"""What was measured of the animals of a box: heads, lengths, masses."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from dataclasses import dataclass
from statistics import mean
from typing import TYPE_CHECKING

from rearing.keeping.boxes import box_name, refuse_shut
from rearing.keeping.moments import counted, refuse_future
from rearing.problems import AskFirst, Refusal
from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.rows import BoxRow, MeasurementRow
from rearing.terms import Measured, Stage

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from rearing.records.book import Book
    from rearing.records.journal import Entry, Touched

USUAL = {
    Measured.HEAD_WIDTH: (0.1, 12.0),
    Measured.LENGTH: (0.5, 200.0),
    Measured.MASS: (0.0001, 60.0),
}
"""Beyond these a figure is asked about: mostly a slipped point (from memory)."""

_BETWEEN = re.compile(r"[\s;]+")
_FIGURE = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures of one kind and stage: how many, their mean and how far they reach."""

    what: Measured
    stage: Stage | None
    number: int
    mean: float
    low: float
    high: float
    first_on: dt.date
    last_on: dt.date


def measure(
    book: Book,
    entry: Entry,
    *,
    box_id: int,
    what: Measured,
    values: Sequence[float],
    on: dt.date,
    stage: Stage | None = None,
    note: str | None = None,
    sure: bool = False,
) -> Touched:
    """Record figures of so many animals of a box, one each; a cast head is one too."""
    refuse_future(on, entry.on, sure=sure, field="on")
    box = book.one(BoxRow, box_id)
    refuse_shut(box, on)
    if not values:
        raise Refusal("Which figures were measured?", field="values")
    for value in values:
        _check(what, value, sure=sure, field="values")
    with book.change(entry) as pen:
        for value in values:
            pen.new_id = pen.add(
                t.Measurement,
                box_id=box_id,
                on=on,
                what=what,
                value=value,
                stage=stage,
                note=note,
            )
        pen.subjects.add(("box", box_id))
        said = figures_words(what, min(values), max(values))
        many = counted(len(values), str(what))
        of = f" of {stage}" if stage else ""
        pen.say(f"Measured {many}{of} in {box_name(book, box)}: {said}")
    return pen.touched


def correct_measurement(
    book: Book,
    entry: Entry,
    *,
    measurement_id: int,
    value: float,
    stage: Stage | None = None,
    sure: bool = False,
) -> Touched:
    """Correct one figure, and the stage it is of."""
    row = book.one(MeasurementRow, measurement_id)
    _check(row.what, value, sure=sure, field="value")
    if value == row.value and stage == row.stage:
        raise Refusal("That is what the book has already.", field="value")
    box = book.one(BoxRow, row.box_id)
    with book.change(entry) as pen:
        pen.change(t.Measurement, measurement_id, value=value, stage=stage)
        pen.subjects.add(("box", row.box_id))
        was, now = _with_stage(row.value, row.stage), _with_stage(value, stage)
        pen.say(
            f"{str(row.what).capitalize()} in {box_name(book, box)} corrected from "
            f"{was} to {now} {row.what.unit}"
        )
    return pen.touched


def _with_stage(value: float, stage: Stage | None) -> str:
    return f"{value:g}{f' ({stage})' if stage else ''}"


def _check(what: Measured, value: float, *, sure: bool, field: str) -> None:
    if not math.isfinite(value) or value <= 0:
        raise Refusal(f"A {what} must be above nought.", field=field)
    low, high = USUAL[what]
    if not low <= value <= high and not sure:
        raise AskFirst(
            f"A {what} of {value:g} {what.unit}? Usual are {low:g} to {high:g} "
            f"{what.unit}. Is it meant?",
            field=field,
        )


def values_from(text: str, *, field: str = "values") -> tuple[float, ...]:
    """Read figures typed in a line, as 0.62 0.64 0.66 or 0,62; 0,64.

    A comma is a point where blanks or semicolons part the figures.
    """
    values: list[float] = []
    for word in _BETWEEN.split(text.strip()):
        bare = word.rstrip(",") if word.count(",") else word
        parts = bare.split(",") if "." in bare else [bare]
        for part in parts:
            if not part:
                continue
            if _FIGURE.fullmatch(part) is None:
                raise Refusal(
                    f"“{word}” is not one figure. Part them by blanks: 0.62 0.64.",
                    field=field,
                )
            values.append(float(part.replace(",", ".")))
    return tuple(values)


def figures_words(what: Measured, low: float, high: float) -> str:
    """Return a range with its unit: 0.62 to 0.68 mm."""
    span = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return f"{span} {what.unit}"


def measured(
    book: Book, box_ids: Iterable[int], on: dt.date
) -> tuple[MeasurementRow, ...]:
    """Return what was measured in some boxes up to a day, oldest first."""
    return book.all(
        MeasurementRow,
        among(t.Measurement.box_id, list(box_ids)),
        t.Measurement.on <= on,
        order=(t.Measurement.on, t.Measurement.id),
    )


def summed_up(rows: Iterable[MeasurementRow]) -> tuple[Figures, ...]:
    """Return mean and range by kind and stage, those of no noted stage last."""
    parts: defaultdict[tuple[Measured, Stage | None], list[MeasurementRow]]
    parts = defaultdict(list)
    for row in rows:
        parts[row.what, row.stage].append(row)
    kinds, stages = list(Measured), list(Stage)
    order = sorted(
        parts,
        key=lambda x: (kinds.index(x[0]), len(stages) if x[1] is None else _at(x[1])),
    )
    return tuple(_figures(key, parts[key]) for key in order)


def _at(stage: Stage) -> int:
    return list(Stage).index(stage)


def _figures(
    key: tuple[Measured, Stage | None], rows: Sequence[MeasurementRow]
) -> Figures:
    values = [row.value for row in rows]
    return Figures(
        what=key[0],
        stage=key[1],
        number=len(values),
        mean=mean(values),
        low=min(values),
        high=max(values),
        first_on=min(row.on for row in rows),
        last_on=max(row.on for row in rows),
    )
