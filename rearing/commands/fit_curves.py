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
    """Return every curve by its name: its fit, or why there is none."""
    told: dict[str, object] = {one.curve.value: _curve_data(one) for one in curves}
    told |= {curve.value: {"refused": words} for curve, words in refused.items()}
    return {curve.value: told[curve.value] for curve in Curve}


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


def _curve_data(one: CurveFit) -> dict[str, object]:
    marks = {"t0": one.t0_c, "optimum": one.optimum_c, "end": one.end_c}
    told: dict[str, object] = {}
    for name, mark in marks.items():
        told |= _bounds(name, mark)
    parameters: dict[str, object] = {}
    for name, mark in one.parameters.items():
        parameters |= _bounds(name, mark)
    return {**told, "r2": one.r2, "scatter": one.noise, "parameters": parameters}


def _bounds(name: str, mark: Estimate | None) -> dict[str, float | None]:
    if mark is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    return {name: mark.value, f"{name}_low": mark.low, f"{name}_high": mark.high}


def _pair(line: LineFit | None) -> dict[str, float | None]:
    if line is None:
        return {"t0": None, "k": None}
    return {"t0": line.t0_c.value, "k": line.k_dd.value}
