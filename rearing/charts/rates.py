"""Rates against temperature: the durations, the lines and curves through them, T0.

A second drawing on the same line of degrees shows where T0 falls for every range.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.charts.paper import Room, bare_axes, label_heights
from rearing.science.rate_fits import Curve
from rearing.science.rates import Line, linear_rate

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from rearing.charts.look import ChartLook
    from rearing.keeping.fits import Point, Rates
    from rearing.science.rate_fits import CurveFit
    from rearing.science.rate_ranges import RangeFit
    from rearing.science.rates import Estimate, LineFit

CURVE_NAMES = {
    Curve.BRIERE_1: "Brière 1",
    Curve.BRIERE_2: "Brière 2",
    Curve.LACTIN_2: "Lactin 2",
}
LINE_NAMES = {Line.OLS: "line", Line.RMA: "major axis"}
MOST_ROWS = 12
_PERCENT = 100.0
_Dashes = str | tuple[int, tuple[float, ...]]
_CURVE_DASHES: dict[Curve, _Dashes] = {
    Curve.BRIERE_1: "-",
    Curve.BRIERE_2: (0, (5, 2)),
    Curve.LACTIN_2: (0, (1.5, 1.5)),
}
_COLD_REACH_C, _WARM_REACH_C = 16.0, 7.0
_KEY_LETTERS = 10.5


@dataclass(frozen=True, slots=True)
class RateSheet:
    """What is drawn: every point that is known, and the fits to those that are used."""

    points: tuple[Point, ...]
    rates: Rates


def draw_rates(figure: Figure, result: RateSheet, look: ChartLook) -> None:
    """Draw the points and what was laid through them, as a share of the stage a day."""
    figure.clear()
    axes = bare_axes(figure, look, Room(right=_KEY_LETTERS, bottom=2.4))
    low, high = degrees_shown(result)
    axes.set_xlim(low, high)
    axes.set_ylim(0, _highest(result))
    _curves(axes, result.rates.curves, look)
    _lines(axes, result.rates, look)
    _points(axes, result, look)
    label_heights(axes, look, "%", most=4)
    label_degrees(axes, look)
    _range_used(axes, result.rates, look)
    if result.rates.ols is not None:
        _threshold(axes, result.rates.ols.t0_c, look)
    _name_lines(axes, look)


def draw_ranges(figure: Figure, result: RateSheet, look: ChartLook) -> None:
    """Draw each range of temperatures as a bar, and its T0 with its interval."""
    figure.clear()
    axes = bare_axes(figure, look, Room(right=_KEY_LETTERS, bottom=2.0, top=0.8))
    axes.grid(visible=False)
    shown = ranges_shown(result.rates.ranges)
    axes.set_xlim(*degrees_shown(result))
    axes.set_ylim(len(shown) - 0.4, -0.6)
    axes.set_yticks([])
    for row, one in enumerate(shown):
        _range_row(axes, row, one, look)
    label_degrees(axes, look)


def ranges_shown(ranges: tuple[RangeFit, ...]) -> tuple[RangeFit, ...]:
    """Return the ranges there is room for: of many, those that keep one end."""
    if len(ranges) <= MOST_ROWS:
        return ranges
    cold = min(one.coldest_c for one in ranges)
    warm = max(one.warmest_c for one in ranges)
    ended = [one for one in ranges if cold == one.coldest_c or warm == one.warmest_c]
    return tuple(ended[:MOST_ROWS])


def degrees_shown(result: RateSheet) -> tuple[float, float]:
    """Return the coldest and the warmest temperature on the paper [°C]."""
    known = [one.celsius for one in result.points if np.isfinite(one.celsius)]
    known = known or [10.0, 30.0]
    low, high = min(known), max(known)
    coldest, warmest = low, high
    starts = [one.ols.t0_c.value for one in result.rates.ranges if one.ols is not None]
    starts += [one.t0_c.value for one in result.rates.curves if one.t0_c is not None]
    ends = [one.end_c.value for one in result.rates.curves]
    low = max(min([low, *starts]), coldest - _COLD_REACH_C)
    high = min(max([high, *ends]), warmest + _WARM_REACH_C)
    return low - 1.0, high + 0.8


def label_degrees(axes: Axes, look: ChartLook) -> None:
    """Write the temperatures below in round figures."""
    from matplotlib.ticker import MaxNLocator

    low, high = axes.get_xlim()
    ticks = MaxNLocator(9, steps=[1, 2, 5, 10]).tick_values(low, high)
    inside = [float(tick) for tick in ticks if low <= tick <= high]
    words = [f"{tick:g}°".replace("-", "−") for tick in inside]
    axes.set_xticks(inside, words, fontproperties=look.figures())
    axes.tick_params(axis="x", labelcolor=look.colours.ink2)


def _highest(result: RateSheet) -> float:
    known = [_PERCENT / one.days for one in result.points if one.days > 0]
    return max(known, default=10.0) * 1.22


def _curves(axes: Axes, curves: tuple[CurveFit, ...], look: ChartLook) -> None:
    low, high = axes.get_xlim()
    for one in curves:
        # Its ends are put in, for near them it falls too steeply for even steps.
        start = low if one.t0_c is None else max(one.t0_c.value, low)
        end = min(one.end_c.value, high)
        close = end - (end - start) * np.geomspace(1, 1e-6, 120)
        at_c = np.concatenate((np.linspace(start, end, 200), close))
        at_c.sort()
        axes.plot(
            at_c,
            _PERCENT * one.rate(at_c),
            color=look.colours.heat,
            linewidth=1.5,
            linestyle=_CURVE_DASHES[one.curve],
            label=CURVE_NAMES[one.curve],
        )


def _lines(axes: Axes, rates: Rates, look: ChartLook) -> None:
    for fit, colour in ((rates.ols, look.colours.ink), (rates.rma, look.colours.blue)):
        if fit is not None:
            _line(axes, fit, colour)


def _name_lines(axes: Axes, look: ChartLook) -> None:
    """Write at the right which stroke is which."""
    named = {*LINE_NAMES.values(), *CURVE_NAMES.values()}
    strokes = [stroke for stroke in axes.get_lines() if stroke.get_label() in named]
    if not strokes:
        return
    legend = axes.legend(
        handles=strokes,
        loc="upper left",
        bbox_to_anchor=(1.0, 1.04),
        frameon=False,
        prop=look.figures(),
        labelcolor=look.colours.ink2,
        handlelength=1.7,
        handletextpad=0.5,
        borderaxespad=0.2,
        borderpad=0.2,
        labelspacing=0.35,
    )
    legend.set_in_layout(False)


def _line(axes: Axes, fit: LineFit, colour: str) -> None:
    """Draw a line: whole through the range it was fitted to, in dashes beyond."""
    low, high = axes.get_xlim()
    wide = 1.6 if fit.line is Line.OLS else 1.0
    start = max(low, fit.t0_c.value)
    for begin, end, is_whole in (
        (start, fit.coldest_c, False),
        (fit.coldest_c, fit.warmest_c, True),
        (fit.warmest_c, high, False),
    ):
        at_c = np.array([begin, end])
        axes.plot(
            at_c,
            _percent(fit, at_c),
            color=colour,
            linewidth=wide if is_whole else 1.0,
            linestyle="-" if is_whole else (0, (4, 2.5)),
            label=LINE_NAMES[fit.line] if is_whole else "beyond the range",
        )


def _percent(fit: LineFit, at_c: NDArray[np.float64]) -> NDArray[np.float64]:
    return _PERCENT * linear_rate(at_c, t0_c=fit.t0_c.value, k_dd=fit.k_dd.value)


def _points(axes: Axes, result: RateSheet, look: ChartLook) -> None:
    used = {point.key for point in result.rates.used}
    colours = look.colours
    for typed, marker in ((False, "o"), (True, "D")):
        for taken in (True, False):
            some = [
                point
                for point in result.points
                if point.typed is typed and (point.key in used) is taken
            ]
            if not some:
                continue
            axes.plot(
                [point.celsius for point in some],
                [_PERCENT / point.days for point in some],
                linestyle="none",
                marker=marker,
                markersize=6.0 if typed else 7.0,
                markerfacecolor=colours.ink if taken else colours.page,
                markeredgecolor=colours.ink if taken else colours.pencil,
                markeredgewidth=1.2,
                clip_on=False,
                zorder=4,
                label=_point_words(typed=typed, taken=taken),
            )


def _point_words(*, typed: bool, taken: bool) -> str:
    whose = "table" if typed else "own"
    return whose if taken else f"{whose}, left out"


def _range_used(axes: Axes, rates: Rates, look: ChartLook) -> None:
    """Thicken the foot of the paper between the temperatures that were used."""
    fit = rates.ols
    if fit is None:
        return
    axes.plot(
        [fit.coldest_c, fit.warmest_c],
        [0, 0],
        color=look.colours.ink,
        linewidth=3.2,
        solid_capstyle="butt",
        clip_on=False,
        label="range used",
        zorder=3,
    )


def _threshold(axes: Axes, t0_c: Estimate, look: ChartLook) -> None:
    low, high = axes.get_xlim()
    blue = look.colours.blue
    left = low if t0_c.low is None else max(t0_c.low, low)
    right = high if t0_c.high is None else min(t0_c.high, high)
    axes.plot(
        [left, right],
        [0, 0],
        color=blue,
        linewidth=1.6,
        clip_on=False,
        zorder=5,
        label="T0, 95 %",
    )
    if not low <= t0_c.value <= high:
        return
    axes.plot(
        [t0_c.value],
        [0],
        marker="o",
        markersize=6.5,
        color=blue,
        clip_on=False,
        zorder=6,
        linestyle="none",
        label="T0",
    )
    axes.annotate(
        f"T0 {t0_c.value:.1f}°".replace("-", "−"),
        (t0_c.value, 0),
        xytext=(-4, 6),
        textcoords="offset points",
        ha="right",
        va="bottom",
        color=blue,
        zorder=7,
        bbox={"facecolor": look.colours.page, "linewidth": 0, "pad": 1.0},
        fontproperties=look.figures(),
    )


def _range_row(axes: Axes, row: int, one: RangeFit, look: ChartLook) -> None:
    colours = look.colours
    axes.plot(
        [one.coldest_c, one.warmest_c],
        [row, row],
        color=colours.ink,
        linewidth=2.6,
        solid_capstyle="butt",
        label="range",
    )
    words = "no line"
    if one.ols is not None:
        words = f"{one.ols.t0_c.value:.1f}°".replace("-", "−")
        _range_t0(axes, row, one.ols.t0_c, look)
    axes.annotate(
        words,
        (1.0, row),
        xycoords=axes.get_yaxis_transform(),
        xytext=(4, 0),
        textcoords="offset points",
        va="center",
        color=colours.blue if one.ols is not None else colours.pencil,
        fontproperties=look.figures(),
        annotation_clip=False,
    )


def _range_t0(axes: Axes, row: int, t0_c: Estimate, look: ChartLook) -> None:
    low, high = axes.get_xlim()
    blue = look.colours.blue
    left = low if t0_c.low is None else max(t0_c.low, low)
    right = high if t0_c.high is None else min(t0_c.high, high)
    axes.plot([left, right], [row, row], color=blue, linewidth=0.9, label="T0, 95 %")
    if low <= t0_c.value <= high:
        axes.plot(
            [t0_c.value],
            [row],
            marker="o",
            markersize=5.0,
            color=blue,
            linestyle="none",
            label="T0",
        )
