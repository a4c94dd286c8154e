"""Larvae placed in instars by their head capsules, on paper or as JSON.

JSON: ``n`` (widths), ``ratio`` (growth a moult), ``first_mm`` (width the series gives
the first placed), ``r2``, ``spread`` (of the logarithm of a width within an instar),
``unsure`` (how many have less than nine tenths in one instar), ``tried`` (numbers of
instars with their ``bic``: ``instars``), ``groups`` (each ``instar``, ``number``,
``mean_mm``, ``fitted_mm``, ``low_mm``, ``high_mm``, ``step`` on the one before or
null, ``is_uneven``) and ``widths`` in their order (each ``mm``, instar and
``surely``, the share of its instar).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from rearing.exchange.widths import widths_in
from rearing.problems import Refusal
from rearing.science.instars import MOST_INSTARS, place
from rearing.terms import INSTARS, Measured

if TYPE_CHECKING:
    from argparse import Namespace
    from pathlib import Path

    from rearing.commands.paper import Paper
    from rearing.keeping.heads import Heads
    from rearing.science.instars import Placed

_SURE = 0.9


@dataclass(frozen=True, slots=True)
class WidthsAsked:
    """Which heads are placed: those of a file, or of a book's brood or box."""

    file: Path
    brood: str | None = None
    box: str | None = None
    first: int | None = None
    instars: int | None = None

    @property
    def name(self) -> str:
        """What the answer is called."""
        own = [part for part in (self.brood, self.box) if part]
        return " ".join(own) or self.file.name


def widths_asked(asked: Namespace) -> WidthsAsked:
    """Return what was typed; refuse what can't go together."""
    if asked.first is not None and not 1 <= asked.first <= len(INSTARS):
        raise Refusal(f"The first may be 1 to {len(INSTARS)}.", field="first")
    if asked.instars is not None and not 2 <= asked.instars <= MOST_INSTARS:
        raise Refusal(f"A series has 2 to {MOST_INSTARS} instars.", field="instars")
    if asked.box is not None and asked.brood is None:
        raise Refusal("--box goes with --brood: which brood's box?", field="box")
    return WidthsAsked(asked.file, asked.brood, asked.box, asked.first, asked.instars)


def write_widths(asked: WidthsAsked, paper: Paper, *, as_json: bool = False) -> None:
    """Place the widths of a file, or of a book's brood, in instars and write them."""
    mm, placed = placed_in(asked)
    if as_json:
        paper.json(_data(mm, placed))
    else:
        _write(asked.name, placed, paper)


def placed_in(asked: WidthsAsked) -> tuple[tuple[float, ...], Placed]:
    """Return widths [mm] of a file, or of a book's brood or box, and their instars.

    In a book the instars that were noted say which the first is, unless it is given.
    """
    if asked.brood is not None:
        heads = _heads_in_book(asked, asked.brood)
        return heads.widths, heads.placed
    found = widths_in(asked.file)
    try:
        return found.mm, place(found.mm, first=asked.first or 1, instars=asked.instars)
    except ValueError as wrong:
        raise Refusal(f"{asked.file.name}: {wrong}") from wrong


def _heads_in_book(asked: WidthsAsked, code: str) -> Heads:
    from rearing.commands.forecast_text import brood_named
    from rearing.keeping.heads import heads_of
    from rearing.keeping.measurements import measured
    from rearing.records import tables as t
    from rearing.records.book import Book
    from rearing.records.rows import BoxRow

    label = asked.box
    with Book.open(asked.file) as book:
        brood = brood_named(book, code, dt.date.max)
        boxes = [
            box.id
            for box in book.all(BoxRow, t.Box.brood_id == brood.id)
            if label is None or box.label.casefold() == label.casefold()
        ]
        if not boxes and label is not None:
            raise Refusal(f"{brood.code} has no box “{label}”.", field="box")
        rows = [
            row
            for row in measured(book, boxes, dt.date.max)
            if row.what is Measured.HEAD_WIDTH
        ]
    if not rows:
        of = f"{brood.code} {label}" if label else brood.code
        raise Refusal(f"No head of {of} was measured by the book.")
    return heads_of(rows, first=asked.first, instars=asked.instars)


def _write(name: str, placed: Placed, paper: Paper) -> None:
    series = placed.series
    paper.line(f"{name}: {len(placed.instar)} widths, {len(placed.groups)} instars")
    paper.paragraph(
        f"From one to the next {series.ratio:.3f} times as wide; the first "
        f"{series.first_mm:.3f} mm by the series, r² {series.r2:.4f}."
    )
    paper.line()
    rows = [("", "number", "mean mm", "by the series", "from", "to", "step")]
    for one in placed.groups:
        step = "" if one.step is None else f"{one.step:.3f}{' !' * one.is_uneven}"
        rows.append(
            (
                *(f"L{one.instar}", str(one.number), f"{one.mean_mm:.3f}"),
                *(f"{one.fitted_mm:.3f}", f"{one.low_mm:.3f}", f"{one.high_mm:.3f}"),
                step,
            )
        )
    paper.table(rows, indent=2, right=".rrrrrr")
    paper.line()
    if any(one.is_uneven for one in placed.groups):
        paper.paragraph(
            "! A step more than a tenth off the series: perhaps an instar was missed, "
            "or two were taken as one."
        )
    unsure = _unsure(placed)
    if unsure:
        paper.paragraph(
            f"{unsure} lie between two instars and are placed in the likelier one."
        )


def _unsure(placed: Placed) -> int:
    return int((placed.surely < _SURE).sum())


def _data(widths: tuple[float, ...], placed: Placed) -> dict[str, object]:
    series = placed.series
    lines = zip(widths, placed.instar.tolist(), placed.surely.tolist(), strict=True)
    return {
        "n": len(widths),
        "ratio": series.ratio,
        "first_mm": series.first_mm,
        "r2": series.r2,
        "spread": placed.spread,
        "unsure": _unsure(placed),
        "tried": [{"instars": count, "bic": bic} for count, bic in placed.tried],
        "groups": [asdict(one) for one in placed.groups],
        "widths": [
            {"mm": mm, "instar": instar, "surely": surely}
            for mm, instar, surely in lines
        ],
    }
