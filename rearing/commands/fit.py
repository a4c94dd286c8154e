"""T0 and K fitted to durations at constant temperatures, on paper or as JSON.

JSON: ``ols`` (1/D on T by least squares) and ``rma`` (D·T on D by reduced major axis),
each with ``t0`` [°C] and ``k`` [degree-days, °C] and the bounds of their 95 % intervals
``t0_low``, ``t0_high``, ``k_low``, ``k_high`` (null where the data set none); ``ols``
also has ``r2``. Beside them ``n``, the number of points, and ``range_c``, the coldest
and the warmest temperature used.

``curves``: ``briere_1``, ``briere_2`` and ``lactin_2``, each with ``t0``, ``optimum``
and ``end`` [°C], their bounds ``t0_low``, ``t0_high``, ``optimum_low``,
``optimum_high``, ``end_low``, ``end_high``, ``r2``, ``scatter`` [1/d] and
``parameters``: ``a``, ``t0_c``, ``limit_c`` and ``m``, or ``rho``, ``limit_c``,
``delta_c`` and ``shift``, each a ``value`` with ``low`` and ``high``. All are null
where ``refused`` says why the curve found no hold. ``ranges``: the lines through every
unbroken range of three temperatures or more, the widest first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.fit_curves import (
    curves_data,
    estimate_words,
    ranges_data,
    write_curves,
    write_ranges,
)
from rearing.exchange.durations import durations_in
from rearing.exchange.temperatures import Unit
from rearing.problems import Refusal
from rearing.science.rate_fits import fit_curves
from rearing.science.rate_ranges import fits_by_range
from rearing.science.rates import fit_ols, fit_rma

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.commands.paper import Paper
    from rearing.science.rates import LineFit


def write_fit(path: Path, paper: Paper, *, as_json: bool = False) -> None:
    """Fit both lines to a file's durations and write them."""
    found = durations_in(path)
    try:
        ols = fit_ols(found.celsius, found.days)
        rma = fit_rma(found.celsius, found.days)
    except ValueError as wrong:
        raise Refusal(f"{path.name}: {wrong}") from wrong
    curves, refused = fit_curves(found.celsius, found.days)
    ranges = fits_by_range(found.celsius, found.days)
    if as_json:
        data = fit_data(ols, rma)
        data["curves"] = curves_data(curves, refused)
        data["ranges"] = ranges_data(ranges)
        paper.json(data)
    else:
        _write_fits(path, ols, rma, paper)
        write_ranges(ranges, paper)
        write_curves(curves, refused, paper)
        if found.unit is not Unit.CELSIUS:
            paper.paragraph(f"Read in {found.unit.sign}, fitted in °C.")


def fit_data(ols: LineFit, rma: LineFit) -> dict[str, object]:
    """Return two fits as JSON holds them."""
    return {
        "ols": {**_line_data(ols), "r2": ols.r2},
        "rma": _line_data(rma),
        "n": ols.n,
        "range_c": [ols.coldest_c, ols.warmest_c],
    }


def _line_data(fit: LineFit) -> dict[str, float | None]:
    return {
        "t0": fit.t0_c.value,
        "t0_low": fit.t0_c.low,
        "t0_high": fit.t0_c.high,
        "k": fit.k_dd.value,
        "k_low": fit.k_dd.low,
        "k_high": fit.k_dd.high,
    }


def _write_fits(path: Path, ols: LineFit, rma: LineFit, paper: Paper) -> None:
    paper.line(
        f"{path.name}: {ols.n} durations between {ols.coldest_c:g} and "
        f"{ols.warmest_c:g} °C"
    )
    paper.line()
    rows = [
        ("", "T0 °C", "K degree-days", "r²"),
        ("1/D on T, least squares", *_estimates(ols), f"{ols.r2:.3f}"),
        ("D·T on D, reduced major axis", *_estimates(rma), ""),
    ]
    paper.table(rows)
    paper.line()
    paper.paragraph(
        "95% intervals in brackets. Only temperatures on the straight part of the rate "
        "belong in a fit: T0 moves with the range used."
    )


def _estimates(fit: LineFit) -> tuple[str, str]:
    return estimate_words(fit.t0_c, 2), estimate_words(fit.k_dd, 1)
