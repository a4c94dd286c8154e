"""Degree-days of a file by day, on paper or as JSON.

JSON: ``days``, a list of ``date`` (ISO) and ``degree_days`` (null where too little of
the day is known), and ``total``, the sum of those that are known. Degree-days are in
the unit of the thresholds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.commands.heat_days import HeatAsked, heat_of_file
from rearing.exchange.temperatures import Unit
from rearing.science.heat import Method

if TYPE_CHECKING:
    from argparse import Namespace
    from pathlib import Path

    from rearing.commands.heat_days import HeatFound
    from rearing.commands.paper import Paper


def heat_asked(asked: Namespace) -> HeatAsked:
    """Return what was typed as what is to be counted."""
    return HeatAsked(
        lower=asked.lower,
        upper=asked.upper,
        method=asked.method,
        cutoff=asked.cutoff,
        unit=asked.unit,
        zone=asked.zone,
        series=asked.series,
        day_first=asked.day_first,
    )


def write_heat(
    path: Path, asked: HeatAsked, paper: Paper, notes: Paper, *, as_json: bool = False
) -> None:
    """Count a file's degree-days and write them; what to know goes to `notes`."""
    told: list[str] = []
    found = heat_of_file(path, asked, told.append)
    if found.unknown:
        told.append(
            f"{found.unknown} of {len(found.days)} days are left out: readings cover "
            "too little of them."
        )
    # Only now: a file that is refused gets its one sentence and no notes.
    for note in told:
        notes.paragraph(note)
    if as_json:
        paper.json(heat_data(found))
    else:
        _write_days(path, asked, found, paper)


def heat_data(found: HeatFound) -> dict[str, object]:
    """Return degree-days as JSON holds them."""
    return {
        "days": [
            {"date": str(day), "degree_days": None if np.isnan(heat) else float(heat)}
            for day, heat in zip(found.days, found.degree_days, strict=True)
        ],
        "total": found.total,
    }


def _write_days(path: Path, asked: HeatAsked, found: HeatFound, paper: Paper) -> None:
    unit = (asked.unit or Unit.CELSIUS).sign
    paper.line(f"Degree-days of {path.name}")
    paper.paragraph(_method_words(asked, unit))
    paper.line()
    summed = np.cumsum(np.nan_to_num(found.degree_days))
    columns = zip(
        found.days, found.low, found.high, found.degree_days, summed, strict=True
    )
    rows = [
        ("day", f"low {unit}", f"high {unit}", "degree-days", "sum"),
        *(
            (str(day), _one(low, 1), _one(high, 1), _one(heat, 2), f"{total:,.1f}")
            for day, low, high, heat, total in columns
        ),
    ]
    paper.table(rows, right="lrrrr")
    paper.line()
    counted = len(found.days) - found.unknown
    paper.line(f"Total {found.total:,.1f} degree-days ({unit}) over {counted:,} days")


def _method_words(asked: HeatAsked, unit: str) -> str:
    if asked.upper is None or asked.method is Method.AVERAGE:
        return f"{asked.method}, above {asked.lower:g} {unit}, no upper threshold"
    return (
        f"{asked.method}, above {asked.lower:g} {unit}, {asked.cutoff} cutoff at "
        f"{asked.upper:g} {unit}"
    )


def _one(value: float, places: int) -> str:
    return "-" if np.isnan(value) else f"{value:.{places}f}"
