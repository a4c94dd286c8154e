"""What heat a species' stage needs, fitted to the keeper's own durations and others'.

Nothing of it changes a forecast: it is offered beside the sheet's values.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from rearing.keeping.lived import lived
from rearing.keeping.moments import counted
from rearing.records import tables as t
from rearing.records.rows import BroodRow
from rearing.science.rate_fits import Curve, CurveFit, fit_curves
from rearing.science.rate_ranges import (
    LEAST_TEMPERATURES,
    RangeFit,
    fits_by_range,
    temperature_steps,
)
from rearing.science.rates import LineFit, fit_ols, fit_rma
from rearing.sheets.sheet import StageSheet

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from rearing.keeping.lived import Lived
    from rearing.records.book import Book
    from rearing.sheets.sheet import Thermal
    from rearing.sheets.shelf import SheetShelf
    from rearing.terms import Stage


@dataclass(frozen=True, slots=True)
class Point:
    """A duration [d] at a temperature [°C]: the keeper's own, or from a table.

    `low_c` and `high_c` are None where it was constant or nobody says. `trouble` is
    why it is left out unless the keeper takes it in.
    """

    key: str
    code: str
    celsius: float
    days: float
    low_c: float | None = None
    high_c: float | None = None
    number: int | None = None
    words: str = ""
    trouble: str = ""
    typed: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """Everything known of a stage before anything is fitted."""

    taxon: str
    stage: Stage
    points: tuple[Point, ...]
    sheet: tuple[Thermal, ...]
    """What the sheet has of the stage from others, to stand beside."""

    def usual(self) -> frozenset[str]:
        """Return the keys of the points that are used unless the keeper says else."""
        return frozenset(point.key for point in self.points if not point.trouble)


@dataclass(frozen=True, slots=True)
class Rates:
    """The fits to the points that were used, or in words why there is none."""

    used: tuple[Point, ...]
    ols: LineFit | None
    rma: LineFit | None
    curves: tuple[CurveFit, ...]
    ranges: tuple[RangeFit, ...]
    no_line: str
    no_curve: Mapping[Curve, str]

    @property
    def sentence(self) -> str:
        """What the line says, and between which temperatures."""
        if self.ols is None:
            return self.no_line
        t0, k = self.ols.t0_c, self.ols.k_dd
        return (
            f"T0 {_signed(t0.value)} °C and K {k.value:.0f} degree-days, from "
            f"{counted(self.ols.n, 'duration')} between {self.ols.coldest_c:.3g} and "
            f"{self.ols.warmest_c:.3g} °C."
        )

    @property
    def moving(self) -> str:
        """How far T0 moves with the range, in words; empty with a single range.

        A range that sets T0 no bounds on both sides says nothing of it.
        """
        found = [
            one.ols.t0_c.value
            for one in self.ranges
            if one.ols is not None and None not in (one.ols.t0_c.low, one.ols.t0_c.high)
        ]
        if len(self.ranges) < 2 or not found:
            return ""
        told = f"{len(found)} of {counted(len(self.ranges), 'range')}"
        low, high = _signed(min(found)), _signed(max(found))
        return (
            f"T0 lies between {low} and {high} °C, as the range is chosen; {told} set "
            "it bounds."
        )


def question(
    book: Book,
    shelf: SheetShelf,
    taxon: str,
    stage: Stage,
    on: dt.date,
    *,
    typed: Iterable[tuple[float, float]] = (),
) -> Question:
    """Return what is known of a stage: own broods by a day, and a typed table.

    `typed` holds (temperature [°C], days) pairs.
    """
    own = [_own(one) for one in lived(book, shelf, taxon, stage, on)]
    return Question(
        taxon=taxon,
        stage=stage,
        points=(*own, *typed_points(typed)),
        sheet=_of_sheet(shelf, taxon, stage),
    )


def likely_taxon(book: Book, shelf: SheetShelf, on: dt.date) -> str:
    """Return the species there were most broods of, the latest of equals."""
    broods = book.all(BroodRow, t.Brood.opened_on <= on, order=(t.Brood.opened_on,))
    if not broods:
        return shelf.names[0]
    number = Counter(brood.taxon for brood in broods)
    return max(broods, key=lambda brood: (number[brood.taxon], brood.opened_on)).taxon


def typed_points(typed: Iterable[tuple[float, float]]) -> tuple[Point, ...]:
    """Return the rows of a table as points."""
    return tuple(
        Point(f"typed:{n}", f"Row {n}", celsius, days, words="typed", typed=True)
        for n, (celsius, days) in enumerate(typed, start=1)
    )


def with_typed(asked: Question, typed: Iterable[tuple[float, float]]) -> Question:
    """Return the question with another table in place of its typed points."""
    own = tuple(point for point in asked.points if not point.typed)
    return replace(asked, points=(*own, *typed_points(typed)))


def fit(points: Sequence[Point]) -> Rates:
    """Fit both lines, every curve and every range to some points.

    Takes some tenths of a second: the window asks it away from its own thread.
    """
    celsius = np.array([point.celsius for point in points], dtype=np.float64)
    days = np.array([point.days for point in points], dtype=np.float64)
    ols, rma, no_line = _lines(celsius, days)
    curves, no_curve = fit_curves(celsius, days)
    return Rates(
        used=tuple(points),
        ols=ols,
        rma=rma,
        curves=curves,
        ranges=() if ols is None else fits_by_range(celsius, days),
        no_line=no_line,
        no_curve=no_curve,
    )


def _lines(
    celsius: NDArray[np.float64], days: NDArray[np.float64]
) -> tuple[LineFit | None, LineFit | None, str]:
    many = len(temperature_steps(celsius))
    if many < LEAST_TEMPERATURES:
        told = counted(many, "temperature") if many else "no temperature"
        return (
            None,
            None,
            f"A threshold needs durations at {LEAST_TEMPERATURES} temperatures or "
            f"more, well apart; these are of {told}.",
        )
    try:
        return fit_ols(celsius, days), fit_rma(celsius, days), ""
    except ValueError as wrong:
        return None, None, str(wrong)


def _own(one: Lived) -> Point:
    return Point(
        key=one.key,
        code=one.code,
        celsius=one.celsius,
        days=one.days,
        low_c=one.low_c,
        high_c=one.high_c,
        number=one.number,
        words=one.words,
        trouble=one.trouble,
    )


def _of_sheet(shelf: SheetShelf, taxon: str, stage: Stage) -> tuple[Thermal, ...]:
    sheet = shelf.sheet_for(taxon)
    rows = sheet.larva if stage.is_larva else sheet.stages.get(stage, StageSheet())
    return rows.thermal


def _signed(value: float) -> str:
    return f"{value:.1f}".replace("-", "−")
