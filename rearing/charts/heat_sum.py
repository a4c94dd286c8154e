"""Degree-days of a span: their sum growing, other years in pencil, and day by day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.charts.paper import (
    Room,
    apart,
    bare_axes,
    label_days,
    label_heights,
    letter_height,
    midnight_s,
)
from rearing.charts.temperature import mark_today, runs

if TYPE_CHECKING:
    import datetime as dt

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from rearing.charts.look import ChartLook
    from rearing.keeping.heat_page import DayHeat

HOUR_S = 3600
_BARS_SHARE = 0.34
_BETWEEN = 0.06
_BARS_MOST = 100


@dataclass(frozen=True, slots=True)
class OtherYear:
    """The same days of another year: name, the days' sums, and if all are known."""

    name: str
    totals: tuple[float, ...]
    is_whole: bool = True


@dataclass(frozen=True, slots=True)
class HeatSpan:
    """What is drawn: the days, which of them lean on filled hours, and other years."""

    days: tuple[DayHeat, ...]
    filled: tuple[bool, ...]
    zone: dt.tzinfo
    others: tuple[OtherYear, ...] = ()
    now_s: float | None = None


def draw_heat(figure: Figure, result: HeatSpan, look: ChartLook) -> None:
    """Draw the sum above and the days below, on one line of days."""
    figure.clear()
    sums = bare_axes(figure, look, Room(low=_BARS_SHARE + _BETWEEN))
    bars = bare_axes(figure, look, Room(high=_BARS_SHARE))
    first, last = result.days[0].on, result.days[-1].on
    at_s = np.array([midnight_s(day.on, result.zone) for day in result.days])
    _others(sums, result, at_s, look)
    _sum(sums, result, at_s, look)
    _days(bars, result, at_s, look)
    for axes in (sums, bars):
        label_days(axes, look, first, last, result.zone)
        label_heights(axes, look, "", most=4 if axes is sums else 2)
        if result.now_s is not None:
            axes.axvline(result.now_s, color=look.colours.madder, linewidth=1.4)
    sums.tick_params(axis="x", length=0, labelbottom=False)
    sums.spines["bottom"].set_visible(False)
    if result.now_s is not None:
        mark_today(sums, look, result.now_s)
    _name(bars, "by day", look)


def _sum(
    axes: Axes, result: HeatSpan, at_s: NDArray[np.float64], look: ChartLook
) -> None:
    total = np.array([day.total for day in result.days])
    known = np.isfinite([day.degree_days for day in result.days])
    ends = at_s + 24 * HOUR_S
    x = np.concatenate((at_s[:1], ends))
    y = np.concatenate(([0.0], total))
    axes.plot(x, y, color=look.colours.ink, linewidth=1.8, label="sum")
    # Over days nobody knows the sum stands still, which is not the same as no heat.
    for begin, end in runs(~known):
        axes.plot(
            x[begin : end + 1],
            y[begin : end + 1],
            color=look.colours.page,
            linewidth=2.6,
        )
        axes.plot(
            x[begin : end + 1],
            y[begin : end + 1],
            color=look.colours.pencil,
            linewidth=1.2,
            linestyle=(0, (3, 2)),
            label="not known",
        )
    highest = max([float(y.max()), *(other.totals[-1] for other in result.others)])
    axes.set_ylim(0, max(highest * 1.08, 1.0))
    _ends(axes, result, float(x[-1]), look)


def _others(
    axes: Axes, result: HeatSpan, at_s: NDArray[np.float64], look: ChartLook
) -> None:
    styles = ((0, (5, 2)), (0, (2, 2)), (0, (1, 2)))
    for other, style in zip(result.others, styles, strict=False):
        n = min(len(other.totals), len(at_s))
        axes.plot(
            at_s[:n] + 24 * HOUR_S,
            other.totals[:n],
            color=look.colours.pencil,
            linewidth=1.1,
            linestyle=style,
            label=other.name,
        )


def _ends(axes: Axes, result: HeatSpan, right_s: float, look: ChartLook) -> None:
    """Name each line at its right end, moved apart where they would touch."""
    own = result.days[-1].total
    colours = look.colours
    whole = all(np.isfinite(day.degree_days) for day in result.days)
    named = [(own, f"{_least(whole=whole)}{own:,.0f}", colours.ink)]
    named += [
        (
            other.totals[-1],
            f"{other.name}   {_least(whole=other.is_whole)}{other.totals[-1]:,.0f}",
            colours.pencil,
        )
        for other in result.others
    ]
    for height, words, colour in apart(named, letter_height(axes, look)):
        axes.annotate(
            words,
            (right_s, height),
            xytext=(4, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontproperties=look.figures(),
            annotation_clip=False,
        )


def _least(*, whole: bool) -> str:
    """Days that nobody knows add nothing, so the sum is the least it can be."""
    return "" if whole else "≥ "


def _days(
    axes: Axes, result: HeatSpan, at_s: NDArray[np.float64], look: ChartLook
) -> None:
    heat = np.array([day.degree_days for day in result.days])
    filled = np.array(result.filled)
    known = np.isfinite(heat)
    top = float(heat[known].max()) if known.any() else 1.0
    axes.set_ylim(0, max(top * 1.12, 1.0))
    middle = at_s + 12 * HOUR_S
    if len(heat) > _BARS_MOST:
        _steps(axes, result, middle, look)
    else:
        _bars(axes, middle[known & ~filled], heat[known & ~filled], look, seen=True)
        _bars(axes, middle[known & filled], heat[known & filled], look, seen=False)
    for begin, end in runs(~known):
        axes.axvspan(
            at_s[begin],
            at_s[end - 1] + 24 * HOUR_S,
            facecolor="none",
            edgecolor=look.colours.rule2,
            hatch="///",
            linewidth=0,
            label="not known",
        )


def _bars(
    axes: Axes,
    middle: NDArray[np.float64],
    heat: NDArray[np.float64],
    look: ChartLook,
    *,
    seen: bool,
) -> None:
    if not len(heat):
        return
    axes.bar(
        middle,
        heat,
        width=0.74 * 24 * HOUR_S,
        facecolor=look.colours.heat if seen else "none",
        edgecolor=look.colours.heat,
        linewidth=0 if seen else 0.75,
        hatch=None if seen else "////",
        label="seen" if seen else "partly filled",
    )


def _steps(
    axes: Axes, result: HeatSpan, middle: NDArray[np.float64], look: ChartLook
) -> None:
    """Draw many days as one outline: hundreds of bars take too long to draw."""
    heat = np.array([day.degree_days for day in result.days])
    axes.fill_between(
        middle,
        0,
        heat,
        step="mid",
        facecolor=look.colours.heat,
        linewidth=0,
        label="seen",
    )


def _name(axes: Axes, words: str, look: ChartLook) -> None:
    axes.annotate(
        words,
        (1.0, 0.5),
        xycoords="axes fraction",
        xytext=(4, 0),
        textcoords="offset points",
        va="center",
        color=look.colours.pencil,
        fontproperties=look.pencil(),
    )
