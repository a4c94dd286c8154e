"""What is drawn of durations, lines, curves and thresholds.

Data set A: *Spodoptera frugiperda* egg to adult, Moon et al. 2022, Korean J. Appl.
Entomol. 61(2):349–356 (published durations); the fits are *computed*.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from numpy.testing import assert_allclose

from rearing.charts.look import ChartColours, ChartLook
from rearing.charts.rates import (
    MOST_ROWS,
    RateSheet,
    degrees_shown,
    draw_ranges,
    draw_rates,
    ranges_shown,
)
from rearing.keeping.fits import Point, fit, typed_points

if TYPE_CHECKING:
    from matplotlib.lines import Line2D
    from numpy.typing import NDArray

LOOK = ChartLook(
    ChartColours(
        page="#f2f3e6",
        ink="#1b2930",
        ink2="#3f4e55",
        pencil="#55625f",
        rule="#c6d0c1",
        rule2="#98a69c",
        madder="#8f1d48",
        blue="#1f4e70",
        heat="#567537",
    )
)
A = ((18, 79.8), (21, 54.2), (24, 34.3), (27, 28.4), (30, 24.6), (32, 24.0))
UNEVEN = Point("pot:1", "B21-01 pot 1", 25.0, 40.0, 12.0, 31.0, trouble="uneven")


@pytest.fixture(scope="module")
def sheet() -> RateSheet:
    points = typed_points(A)
    return RateSheet((*points, UNEVEN), fit(points))


def drawn(result: RateSheet, *, ranges: bool = False) -> Figure:
    figure = Figure(figsize=(9, 2.6))
    FigureCanvasAgg(figure)
    (draw_ranges if ranges else draw_rates)(figure, result, LOOK)
    figure.canvas.draw()
    return figure


def strokes(figure: Figure, label: str) -> list[Line2D]:
    return [one for one in figure.axes[0].get_lines() if one.get_label() == label]


def across(stroke: Line2D) -> NDArray[np.float64]:
    return np.asarray(stroke.get_xdata(), dtype=np.float64)


def up(stroke: Line2D) -> NDArray[np.float64]:
    return np.asarray(stroke.get_ydata(), dtype=np.float64)


def words(figure: Figure) -> set[str]:
    return {text.get_text() for text in figure.findobj(Text) if text.get_text()}


def test_points_stand_at_their_share_of_the_stage_a_day(sheet: RateSheet) -> None:
    figure = drawn(sheet)
    (table,) = strokes(figure, "table")
    assert_allclose(across(table), [one[0] for one in A])
    assert_allclose(up(table), [100 / one[1] for one in A])
    (left_out,) = strokes(figure, "own, left out")
    assert_allclose(up(left_out), [2.5])
    # hollow, not only another colour
    assert left_out.get_markerfacecolor() == LOOK.colours.page
    assert left_out.get_marker() != table.get_marker()


def test_lines_are_whole_in_their_range_and_dashed_beyond(sheet: RateSheet) -> None:
    figure = drawn(sheet)
    (line,) = strokes(figure, "line")
    assert_allclose(across(line), [18.0, 32.0])
    beyond = strokes(figure, "beyond the range")
    assert len(beyond) == 4  # two lines, before and after
    assert all(one.is_dashed() for one in beyond)
    starts = [float(np.min(up(one))) for one in beyond]
    assert sum(abs(start) < 1e-9 for start in starts) == 2  # down to T0


def test_curves_come_down_to_zero_at_their_ends(sheet: RateSheet) -> None:
    figure = drawn(sheet)
    for name in ("Brière 1", "Brière 2", "Lactin 2"):
        (curve,) = strokes(figure, name)
        height = up(curve)
        assert height[0] < 0.02
        assert height[-1] < 0.2
        assert height.max() > 3.9
    assert {"Brière 1", "Lactin 2", "line", "major axis"} <= words(figure)
    # told apart without colour
    dashed = [strokes(figure, name)[0].is_dashed() for name in ("Brière 1", "Brière 2")]
    assert dashed == [False, True]


def test_the_range_used_and_t0_are_marked(sheet: RateSheet) -> None:
    figure = drawn(sheet)
    (used,) = strokes(figure, "range used")
    assert_allclose(across(used), [18.0, 32.0])
    (t0,) = strokes(figure, "T0")
    assert_allclose(across(t0), [11.879], atol=6e-4)
    assert "T0 11.9°" in words(figure)


def test_every_range_has_a_bar_and_its_t0(sheet: RateSheet) -> None:
    figure = drawn(sheet, ranges=True)
    bars = strokes(figure, "range")
    assert len(bars) == len(strokes(figure, "T0, 95 %")) == 10
    assert_allclose(across(bars[0]), [18.0, 32.0])
    assert {"11.9°", "12.8°", "13.4°"} <= words(figure)
    # both drawings stand on the same degrees
    assert figure.axes[0].get_xlim() == drawn(sheet).axes[0].get_xlim()


def test_many_ranges_are_thinned_to_those_that_keep_an_end() -> None:
    celsius = np.arange(14.0, 32.0, 2.0)
    pairs = zip(celsius.tolist(), (300 / (celsius - 9)).tolist(), strict=True)
    found = fit(typed_points(pairs))
    assert len(found.ranges) == 28
    shown = ranges_shown(found.ranges)
    assert len(shown) <= MOST_ROWS
    assert all(one.coldest_c == 14.0 or one.warmest_c == 30.0 for one in shown)


def test_points_without_a_line_are_drawn_alone() -> None:
    points = typed_points(((18.0, 15.6), (20.2, 13.4)))
    sheet = RateSheet(points, fit(points))
    figure = drawn(sheet)
    assert strokes(figure, "line") == []
    assert len(strokes(figure, "table")) == 1
    low, high = degrees_shown(sheet)
    assert low < 18.0
    assert high > 20.2


def test_an_empty_sheet_and_unknown_temperatures_are_drawn() -> None:
    nothing = RateSheet((), fit(()))
    assert strokes(drawn(nothing), "table") == []
    unknown = replace(UNEVEN, celsius=float("nan"))
    assert degrees_shown(RateSheet((unknown,), fit(()))) == degrees_shown(nothing)
    drawn(RateSheet((unknown,), fit(())))
