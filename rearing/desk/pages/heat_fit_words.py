"""How durations, lines and curves are written on the sheet of rates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, Pencil
from rearing.keeping.moments import counted
from rearing.science.rate_fits import Curve
from rearing.science.rates import Line as FitLine
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from rearing.keeping.fits import Point, Question, Rates
    from rearing.science.rate_fits import CurveFit
    from rearing.science.rates import Estimate, LineFit
    from rearing.sheets.sheet import Thermal

POINT_COLUMNS = (
    Column("Whose", Ink.CODE),
    Column("Temperature", Ink.NUMBER),
    Column("Days", Ink.NUMBER),
    Column("What is known of it", Ink.TEXT, stretch=True),
    Column("In the fit", Ink.KNOWN),
)
FIT_COLUMNS = (
    Column("Fit", Ink.CODE),
    Column("T0", Ink.TEXT),
    Column("K, or optimum and end", Ink.TEXT, stretch=True),
    Column("How well", Ink.KNOWN),
)
STAGE_WORDS = {Stage.EGG: "egg", Stage.L1: "larva", Stage.PUPA: "pupa"}
CURVE_WORDS = {
    Curve.BRIERE_1: "Brière's first curve",
    Curve.BRIERE_2: "Brière's second curve",
    Curve.LACTIN_2: "Lactin's curve",
}
CAPS = (
    KeyOffer("X", "leave out, take in"),
    KeyOffer("S", "species"),
    KeyOffer("T", "table"),
    KeyOffer("U", "as usual", quiet=True),
)
BESIDE = (
    "Offered beside the sheet, never put in its place: forecasts go on with the "
    "sheet's values."
)


def point_line(point: Point, *, used: bool) -> Line:
    """Return a duration as a ruled line, in pencil when it is left out."""
    warmth = _degrees(point.celsius, 1)
    days = f"{point.days:.1f} d"
    spread = ""
    if point.low_c is not None and point.high_c is not None and not point.trouble:
        spread = f"{_degrees(point.low_c, 0)} to {_degrees(point.high_c, 0)}"
    words = ", ".join(part for part in (point.words, spread, point.trouble) if part)
    state = "used" if used else "left out"
    cells = (point.code, warmth, days, words, state)
    return Line(
        key=point.key,
        cells=cells if used else (point.code, *(Pencil(cell) for cell in cells[1:])),
        sentence=f"{point.code}: {warmth}, {days}. {words}. {state}.",
        keys=CAPS,
    )


def fit_lines(rates: Rates, sheet: Collection[Thermal]) -> list[Line]:
    """Return the fits that were made, the sheet's values, and what found no hold."""
    lines = []
    if rates.ols is not None:
        lines.append(_of_line("ols", "1/D on T, least squares", rates.ols))
    if rates.rma is not None:
        lines.append(_of_line("rma", "D·T on D, major axis", rates.rma))
    lines += [_of_curve(one) for one in rates.curves]
    lines += _refused(rates.no_curve)
    for n, one in enumerate(sheet):
        k = f"K {one.k_dd:.0f} degree-days"
        t0 = _degrees(one.t0_c, 1)
        told = f"{k}. {one.source}"
        lines.append(
            Line(
                f"sheet:{n}",
                ("The sheet", t0, told, str(one.tag)),
                f"The sheet: {t0}, {told}",
            )
        )
    return lines


def head_words(asked: Question) -> str:
    """Return whose rates they are."""
    return f"{STAGE_WORDS[asked.stage]} of {asked.taxon}"


def points_sentence(asked: Question, used: Collection[str]) -> str:
    """Say how many durations there are, or what to do without any."""
    stage = STAGE_WORDS[asked.stage]
    if not asked.points:
        return (
            f"No finished brood of {asked.taxon} tells how long its {stage} took. T "
            "takes in a table of temperatures and days, typed or pasted."
        )
    told = f"{counted(len(used), 'duration')} in the fit"
    out = len(asked.points) - len(used)
    return f"{told}, {out} left out." if out else f"{told}."


def estimate_words(one: Estimate | None, places: int, unit: str = "°") -> str:
    """Return a value with its 95 % interval in brackets."""
    if one is None:
        return "none"
    value = _figure(one.value, places, unit)
    if one.low is None and one.high is None:
        return f"{value} (no bounds)"
    low = "no bound" if one.low is None else _figure(one.low, places, "")
    high = "no bound" if one.high is None else _figure(one.high, places, "")
    return f"{value} ({low} to {high})"


def _of_line(key: str, name: str, fit: LineFit) -> Line:
    t0 = estimate_words(fit.t0_c, 1)
    k = f"K {estimate_words(fit.k_dd, 0, '')}"
    # The two lines run through different quantities: their r² can't be compared.
    well = f"r² {fit.r2:.3f}" if fit.line is FitLine.OLS else ""
    return Line(key, (name, t0, k, well), f"{name}: T0 {t0}, {k} {well}".rstrip())


def _of_curve(one: CurveFit) -> Line:
    name = CURVE_WORDS[one.curve]
    t0 = estimate_words(one.t0_c, 1)
    best = (
        f"optimum {estimate_words(one.optimum_c, 1)}, "
        f"end {estimate_words(one.end_c, 1)}"
    )
    well = f"r² {one.r2:.3f}"
    return Line(
        one.curve.value, (name, t0, best, well), f"{name}: T0 {t0}, {best}, {well}"
    )


def _refused(refused: Mapping[Curve, str]) -> list[Line]:
    return [
        Line(
            curve.value,
            (CURVE_WORDS[curve], "", Pencil(words), "no hold"),
            f"{CURVE_WORDS[curve]}: {words}",
        )
        for curve, words in refused.items()
    ]


def _degrees(celsius: float, places: int) -> str:
    return _figure(celsius, places, "°")


def _figure(value: float, places: int, unit: str) -> str:
    return f"{value:.{places}f}{unit}".replace("-", "−")
