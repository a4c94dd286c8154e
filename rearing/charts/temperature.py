"""A place's temperature through a span: a line by the hour, or a band by the day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rearing.charts.paper import (
    Room,
    apart,
    bare_axes,
    inches_of,
    label_days,
    label_heights,
    letter_height,
    midnight_s,
)
from rearing.science.weather import How

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from rearing.charts.look import ChartLook
    from rearing.keeping.heat_page import DayHeat, Series
    from rearing.records.rows import ForecastDayRow

HOUR_S = 3600
_DASH = (0, (4, 2.5))
_WORDS_LETTERS = 6.2
"""Width of the words in a hole, in heights of the small text."""
_RINGED_MOST = 60
_LEAST_SPAN_C = 6.0


@dataclass(frozen=True, slots=True)
class TemperatureSpan:
    """What is drawn: the hours read, their days, and whether days are shown as a band.

    `now_s` is the moment that is called today, None when it lies outside; `forecast`
    are days after the last one, drawn in pencil.
    """

    read: Series
    days: tuple[DayHeat, ...]
    by_day: bool = False
    lower_c: float | None = None
    now_s: float | None = None
    forecast: tuple[ForecastDayRow, ...] = ()


def draw_temperature(figure: Figure, result: TemperatureSpan, look: ChartLook) -> None:
    """Draw a span of temperatures into an empty or a used figure."""
    figure.clear()
    axes = bare_axes(figure, look, Room())
    _set_heights(axes, result)
    first = result.days[0].on
    last = max(day.day for day in result.forecast) if result.forecast else None
    last = last or result.days[-1].on
    zone = result.read.start.tzinfo or dt.UTC
    if result.by_day:
        _band(axes, result, look, zone)
    else:
        _line(axes, result.read, look)
    _holes(axes, result.read, look)
    label_days(axes, look, first, last, zone)
    label_heights(axes, look, "°")
    _levels(axes, result, look)
    _odd(axes, result.read, look)
    _forecast(axes, result.forecast, look, zone)
    if result.now_s is not None:
        mark_today(axes, look, result.now_s)


def seconds_of(read: Series) -> NDArray[np.float64]:
    """Return the middle of each hour [s since 1970]."""
    start = read.start.timestamp()
    return np.asarray(start + HOUR_S * (np.arange(len(read.celsius)) + 0.5))


def runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return the stretches of True as (first, one past the last)."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], mask.astype(np.int8), [0]))))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def mark_today(axes: Axes, look: ChartLook, now_s: float) -> None:
    """Draw today's line and its word above it."""
    axes.axvline(now_s, color=look.colours.madder, linewidth=1.4)
    low, high = axes.get_xlim()
    late = now_s > low + 0.9 * (high - low)
    axes.annotate(
        "today",
        (now_s, 1.0),
        xycoords=axes.get_xaxis_transform(),
        xytext=(0, 2),
        textcoords="offset points",
        ha="right" if late else "center",
        va="bottom",
        color=look.colours.madder,
        fontproperties=look.words(),
    )


def _set_heights(axes: Axes, result: TemperatureSpan) -> None:
    known = result.read.celsius[np.isfinite(result.read.celsius)]
    levels = [float(known.min()), float(known.max())] if len(known) else []
    levels += [day.low_c for day in result.forecast]
    levels += [day.high_c for day in result.forecast]
    if result.read.place.set_point_c is not None:
        levels.append(result.read.place.set_point_c)
    low, high = min(levels, default=0.0), max(levels, default=20.0)
    spare = max(_LEAST_SPAN_C - (high - low), 0.0) / 2 + 0.06 * (high - low) + 0.4
    axes.set_ylim(low - spare, high + spare)


def _line(axes: Axes, read: Series, look: ChartLook) -> None:
    at_s = seconds_of(read)
    seen = read.how == How.SEEN
    filled = (read.how == How.FILLED) | (read.how == How.INTERPOLATED)
    # A filled stretch begins and ends at the seen hours beside it.
    joined = filled.copy()
    joined[1:] |= filled[:-1]
    joined[:-1] |= filled[1:]
    joined &= seen | filled
    colours = look.colours
    axes.plot(
        at_s,
        np.where(joined, read.celsius, np.nan),
        color=colours.pencil,
        linewidth=1.1,
        linestyle=_DASH,
        label="filled",
    )
    axes.plot(
        at_s,
        np.where(seen, read.celsius, np.nan),
        color=colours.ink,
        linewidth=1.4,
        label="read",
        solid_joinstyle="round",
    )


def _band(
    axes: Axes, result: TemperatureSpan, look: ChartLook, zone: dt.tzinfo
) -> None:
    """Lowest to highest of each day, in ink where seen and in pencil where filled."""
    colours = look.colours
    low = np.array([day.low_c for day in result.days])
    high = np.array([day.high_c for day in result.days])
    starts = [midnight_s(day.on, zone) for day in result.days]
    middle = np.array(starts) + 12 * HOUR_S
    filled = _filled_days(result, starts)
    for mask, colour, hatch in (
        (~filled, colours.ink, None),
        (filled, colours.pencil, "/////"),
    ):
        for begin, end in runs(mask & np.isfinite(low)):
            stop = min(end + 1, len(low)) if not mask[begin:end].all() else end
            where = slice(begin, max(stop, begin + 1))
            axes.fill_between(
                middle[where],
                low[where],
                high[where],
                facecolor=colour if hatch is None else "none",
                alpha=0.30 if hatch is None else 0.9,
                edgecolor=colour,
                hatch=hatch,
                linewidth=0.6,
                step="mid",
                label="day" if hatch is None else "filled day",
            )
    axes.plot(
        middle,
        (low + high) / 2,
        color=colours.ink,
        linewidth=1.2,
        label="middle of the day",
    )


def _filled_days(result: TemperatureSpan, starts: list[float]) -> NDArray[np.bool_]:
    """Tell which days have more hours filled than seen."""
    read = result.read
    at_s = seconds_of(read)
    day = np.searchsorted(np.array(starts), at_s, side="right") - 1
    filled = np.bincount(
        np.maximum(day, 0), weights=read.how == How.FILLED, minlength=len(starts)
    )
    return np.asarray(filled > 12)


def _holes(axes: Axes, read: Series, look: ChartLook) -> None:
    """Hatch the hours that nobody knows, and say so where there is room."""
    low, high = axes.get_ylim()
    begin = read.start.timestamp()
    whole = HOUR_S * len(read.celsius)
    least = look.points * _WORDS_LETTERS / 72 / inches_of(axes)[0]
    for first, end in runs(~np.isfinite(read.celsius)):
        span = (begin + first * HOUR_S, begin + end * HOUR_S)
        axes.axvspan(
            *span,
            facecolor="none",
            edgecolor=look.colours.rule2,
            hatch="///",
            linewidth=0,
            label="hole",
        )
        if (span[1] - span[0]) / whole > least:
            axes.text(
                sum(span) / 2,
                low + (high - low) / 2,
                "no readings",
                ha="center",
                va="center",
                color=look.colours.pencil,
                fontproperties=look.pencil(),
                bbox={"facecolor": look.colours.page, "linewidth": 0, "pad": 2.5},
            )


def _levels(axes: Axes, result: TemperatureSpan, look: ChartLook) -> None:
    """Draw the set point and the threshold, each named at the right end."""
    colours = look.colours
    named = []
    point = result.read.place.set_point_c
    if point is not None:
        axes.axhline(point, color=colours.blue, linewidth=1.1, linestyle=(0, (6, 2)))
        named.append((point, f"set point {point:g}°", colours.blue))
    low, high = axes.get_ylim()
    if result.lower_c is not None and low < result.lower_c < high:
        axes.axhline(
            result.lower_c, color=colours.heat, linewidth=1.0, linestyle=(0, (1, 2))
        )
        named.append((result.lower_c, f"from {result.lower_c:.3g}°", colours.heat))
    for height, words, colour in apart(named, letter_height(axes, look)):
        axes.annotate(
            words,
            (1.0, height),
            xycoords=axes.get_yaxis_transform(),
            xytext=(4, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontproperties=look.figures(),
        )


def _odd(axes: Axes, read: Series, look: ChartLook) -> None:
    """Ring the doubtful readings; those off the paper stand at its edge."""
    if not read.odd_at:
        return
    low, high = axes.get_ylim()
    pad = (high - low) * 0.03
    few = len(read.odd_at) <= _RINGED_MOST
    axes.plot(
        [at.timestamp() for at in read.odd_at],
        np.clip(read.odd_c, low + pad, high - pad),
        linestyle="none",
        marker="o",
        markersize=6.5 if few else 2.5,
        markerfacecolor="none",
        markeredgecolor=look.colours.madder,
        markeredgewidth=1.3 if few else 0.8,
        clip_on=False,
        label="odd",
    )


def _forecast(
    axes: Axes, days: tuple[ForecastDayRow, ...], look: ChartLook, zone: dt.tzinfo
) -> None:
    """Draw each day of a forecast as a pencilled bar from its lowest to its highest."""
    if not days:
        return
    pencil = look.colours.pencil
    middle = [midnight_s(day.day, zone) + 12 * HOUR_S for day in days]
    axes.bar(
        middle,
        [day.high_c - day.low_c for day in days],
        bottom=[day.low_c for day in days],
        width=14 * HOUR_S,
        facecolor="none",
        edgecolor=pencil,
        linewidth=1.1,
        linestyle=_DASH,
        label="forecast",
    )
    axes.annotate(
        "forecast",
        (sum(middle) / len(middle), max(day.high_c for day in days)),
        xytext=(0, 3),
        textcoords="offset points",
        ha="center",
        va="bottom",
        color=pencil,
        fontproperties=look.pencil(),
    )
