"""What `rearing fit` tells beside the lines: bent curves, and T0 by range."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.science.rate_fits import Curve

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from rearing.commands.paper import Paper
    from rearing.science.rate_fits import CurveFit
    from rearing.science.rate_ranges import RangeFit
    from rearing.science.rates import Estimate, LineFit

CURVE_WORDS = {
    Curve.BRIERE_1: "Brière 1",
    Curve.BRIERE_2: "Brière 2",
    Curve.LACTIN_2: "Lactin 2",
}


def curves_data(
    curves: Sequence[CurveFit], refused: Mapping[Curve, str]
) -> dict[str, object]:
    """Return every curve by its name, with nulls and the reason where it is none."""
    fitted = {one.curve: one for one in curves}
    return {
        curve.value: {
            **_curve_data(fitted.get(curve)),
            "refused": refused.get(curve),
        }
        for curve in Curve
    }


def ranges_data(ranges: Sequence[RangeFit]) -> list[dict[str, object]]:
    """Return T0 and K by both lines for every range of temperatures."""
    return [
        {
            "range_c": [one.coldest_c, one.warmest_c],
            "n": one.n,
            "ols": _pair(one.ols),
            "rma": _pair(one.rma),
        }
        for one in ranges
    ]


def write_curves(
    curves: Sequence[CurveFit], refused: Mapping[Curve, str], paper: Paper
) -> None:
    """Write a row for each curve that could be fitted, and why others could not."""
    if curves:
        titles = ("", "T0 °C", "optimum °C", "end °C", "r²", "scatter 1/d")
        paper.line()
        paper.table([titles, *(_row(one) for one in curves)])
    paper.line()
    for curve, words in refused.items():
        paper.paragraph(f"{CURVE_WORDS[curve]}: {words}", later=2)


def write_ranges(ranges: Sequence[RangeFit], paper: Paper) -> None:
    """Write how T0 moves with the temperature range."""
    if len(ranges) < 2:
        return
    rows = [("range °C", "n", "T0 °C", "K degree-days")]
    rows += [
        (
            f"{one.coldest_c:.3g} to {one.warmest_c:.3g}",
            str(one.n),
            "none" if one.ols is None else f"{one.ols.t0_c.value:.2f}",
            "" if one.ols is None else f"{one.ols.k_dd.value:.1f}",
        )
        for one in ranges
    ]
    paper.line()
    paper.line("1/D on T by range:")
    paper.table(rows, right=" rrr")


def estimate_words(one: Estimate | None, places: int) -> str:
    """Return a value with its bounds, or that it has none."""
    if one is None:
        return "none"
    if one.low is None and one.high is None:
        return f"{one.value:.{places}f} (no bounds)"
    low = "no bound" if one.low is None else f"{one.low:.{places}f}"
    high = "no bound" if one.high is None else f"{one.high:.{places}f}"
    return f"{one.value:.{places}f} ({low} to {high})"


def _row(one: CurveFit) -> tuple[str, ...]:
    return (
        CURVE_WORDS[one.curve],
        estimate_words(one.t0_c, 1),
        estimate_words(one.optimum_c, 1),
        estimate_words(one.end_c, 1),
        f"{one.r2:.3f}",
        f"{one.noise:.2g}",
    )


def _curve_data(one: CurveFit | None) -> dict[str, object]:
    if one is None:
        marks = _bounds("t0", None) | _bounds("optimum", None) | _bounds("end", None)
        return {**marks, "r2": None, "scatter": None, "parameters": None}
    return {
        **_bounds("t0", one.t0_c),
        **_bounds("optimum", one.optimum_c),
        **_bounds("end", one.end_c),
        "r2": one.r2,
        "scatter": one.noise,
        "parameters": {
            name: {"value": mark.value, "low": mark.low, "high": mark.high}
            for name, mark in one.parameters.items()
        },
    }


def _bounds(name: str, mark: Estimate | None) -> dict[str, float | None]:
    if mark is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    return {name: mark.value, f"{name}_low": mark.low, f"{name}_high": mark.high}


def _pair(line: LineFit | None) -> dict[str, float | None]:
    if line is None:
        return {"t0": None, "k": None}
    return {"t0": line.t0_c.value, "k": line.k_dd.value}
