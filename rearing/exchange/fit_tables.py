"""Durations at temperatures and what was fitted to them, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from rearing.exchange.tables import Value
    from rearing.keeping.fits import Question, Rates
    from rearing.science.rate_fits import Curve, CurveFit
    from rearing.science.rate_ranges import RangeFit
    from rearing.science.rates import Estimate, LineFit
    from rearing.sheets.sheet import Thermal

    Row = tuple[Value, ...]

_POINTS = (
    *("species", "stage", "whose", "temperature [°C]", "low [°C]", "high [°C]"),
    *("duration [d]", "animals", "used", "why not usual", "words"),
)
_FITS = (
    *("fit", "durations", "coldest [°C]", "warmest [°C]"),
    *("what", "unit", "value", "low at 95 %", "high at 95 %", "from"),
)
_OLS, _RMA = "1/D on T, least squares", "D·T on D, reduced major axis"


def points_table(known: Question, used: Iterable[str]) -> Table:
    """Return the durations of a stage, and which of them the fits use."""
    taken = set(used)
    rows = (
        (
            *(known.taxon, known.stage, x.code, x.celsius, x.low_c, x.high_c),
            *(x.days, x.number, x.key in taken, x.trouble, x.words),
        )
        for x in known.points
    )
    return table(f"Durations of {known.stage}, {known.taxon}", _POINTS, rows)


def rates_table(known: Question, rates: Rates) -> Table:
    """Return every fit to a stage's durations, and what the sheet has beside them."""
    name = f"{known.stage}, {known.taxon}"
    rows = [*_lines(rates.ols, rates.rma), *_ranges(rates.ranges)]
    rows += [*_curves(rates.curves, rates.no_curve), *_sheet(known.sheet)]
    return table(f"Fits of {name}", _FITS, rows)


def fits_table(
    name: str,
    lines: tuple[LineFit, LineFit],
    ranges: Iterable[RangeFit],
    curves: tuple[Iterable[CurveFit], Mapping[Curve, str]],
) -> Table:
    """Return lines, lines by range and curves fitted to a file's durations."""
    rows = [*_lines(*lines), *_ranges(ranges), *_curves(*curves)]
    return table(f"Fits of {name}", _FITS, rows)


def _lines(ols: LineFit | None, rma: LineFit | None) -> Iterator[Row]:
    if ols is not None:
        yield from _line(_OLS, ols)
        yield (_OLS, ols.n, ols.coldest_c, ols.warmest_c, "r²", None, ols.r2) + (
            (None,) * 3
        )
    if rma is not None:
        yield from _line(_RMA, rma)


def _ranges(ranges: Iterable[RangeFit]) -> Iterator[Row]:
    for one in ranges:
        if one.ols is not None:
            yield from _line(f"{_OLS}, of a range", one.ols)


def _line(name: str, fit: LineFit) -> Iterator[Row]:
    own = (name, fit.n, fit.coldest_c, fit.warmest_c)
    yield (*own, *_estimate("T0", "°C", fit.t0_c), None)
    yield (*own, *_estimate("K", "°C d", fit.k_dd), None)


def _curves(curves: Iterable[CurveFit], refused: Mapping[Curve, str]) -> Iterator[Row]:
    for one in curves:
        own = (one.curve.value, one.n, one.coldest_c, one.warmest_c)
        if one.t0_c is not None:
            yield (*own, *_estimate("T0", "°C", one.t0_c), None)
        yield (*own, *_estimate("optimum", "°C", one.optimum_c), None)
        yield (*own, *_estimate("end", "°C", one.end_c), None)
        yield (*own, "r²", None, one.r2, None, None, None)
        yield (*own, "scatter", "1/d", one.noise, None, None, None)
        for key, found in one.parameters.items():
            yield (*own, *_estimate(key, "", found), None)
    for curve, why in refused.items():
        yield (curve.value, *(None,) * 3, "no hold", *(None,) * 4, why)


def _sheet(known: Iterable[Thermal]) -> Iterator[Row]:
    for one in known:
        source = f"{one.tag}: {one.source}"
        for what, unit, value in (("T0", "°C", one.t0_c), ("K", "°C d", one.k_dd)):
            yield ("the sheet", *(None,) * 3, what, unit, value, None, None, source)


def _estimate(what: str, unit: str, one: Estimate) -> Row:
    return (what, unit, one.value, one.low, one.high)
