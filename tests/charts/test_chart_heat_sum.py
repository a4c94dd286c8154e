from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from rearing.charts.heat_sum import HeatSpan, OtherYear, draw_heat
from rearing.charts.look import ChartColours, ChartLook
from rearing.keeping.heat_page import DayHeat

ZONE = ZoneInfo("Europe/Ljubljana")
FIRST = dt.date(2021, 5, 1)
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


def days(heats: list[float]) -> tuple[DayHeat, ...]:
    total, made = 0.0, []
    for n, heat in enumerate(heats):
        total += heat if np.isfinite(heat) else 0.0
        on = FIRST + dt.timedelta(days=n)
        made.append(DayHeat(on, 10.0, 20.0, heat, total))
    return tuple(made)


def drawn(result: HeatSpan) -> Figure:
    figure = Figure(figsize=(9, 2.4))
    FigureCanvasAgg(figure)
    draw_heat(figure, result, LOOK)
    figure.canvas.draw()
    return figure


def span(heats: list[float], **more: object) -> HeatSpan:
    filled = more.pop("filled", (False,) * len(heats))
    return HeatSpan(days(heats), filled, ZONE, **more)  # type: ignore[arg-type]  # by name


def bars_of(figure: Figure) -> list[Rectangle]:
    return [p for p in figure.axes[1].patches if isinstance(p, Rectangle)]


def words(figure: Figure) -> set[str]:
    return {t.get_text() for t in figure.findobj(Text) if t.get_text()}


def test_the_bars_are_the_days_heat() -> None:
    heats = [4.0, 0.0, 7.5, 3.25]
    bars = bars_of(drawn(span(heats)))
    assert [bar.get_height() for bar in bars] == heats


def test_the_sum_starts_at_nothing_and_ends_at_the_total() -> None:
    heats = [4.0, 0.0, 7.5, 3.25]
    sums, _ = (figure := drawn(span(heats))).axes
    (line,) = [one for one in sums.get_lines() if one.get_label() == "sum"]
    drawn_sums = np.asarray(line.get_ydata(), dtype=float)
    np.testing.assert_allclose(drawn_sums, [0, *np.cumsum(heats)])
    assert "15" in words(figure)
    assert np.diff(np.asarray(line.get_xdata(), dtype=float)) == pytest.approx(86_400)


def test_days_that_lean_on_filled_hours_are_hatched_outlines() -> None:
    figure = drawn(span([4.0, 5.0, 6.0], filled=(False, True, False)))
    hatched = {bar.get_height(): bool(bar.get_hatch()) for bar in bars_of(figure)}
    assert hatched == {4.0: False, 5.0: True, 6.0: False}


def test_an_unknown_day_is_no_bar_and_makes_the_sum_a_least() -> None:
    figure = drawn(span([4.0, float("nan"), 6.0]))
    named = [p.get_label() for p in figure.axes[1].patches]
    assert named.count("not known") == 1
    assert "≥ 10" in words(figure)


def test_other_years_are_named_with_their_sums() -> None:
    heats = [5.0] * 30
    others = (
        OtherYear("2020", tuple(np.arange(1, 31) * 4.9)),
        OtherYear("2019", tuple(np.arange(1, 31) * 2.0), is_whole=False),
    )
    figure = drawn(span(heats, others=others))
    assert {"150", "2020   147", "2019   ≥ 60"} <= words(figure)
    ends = [
        text.get_window_extent()
        for text in figure.findobj(Text)
        if text.get_text() in {"150", "2020   147"}
    ]
    assert not ends[0].overlaps(ends[1])


def test_hundreds_of_days_are_one_outline() -> None:
    figure = drawn(span([3.0] * 365))
    assert len(figure.axes[1].patches) == 0
    (outline,) = figure.axes[1].collections
    assert np.asarray(outline.get_paths()[0].vertices)[:, 1].max() == 3.0


def test_both_parts_share_one_line_of_days() -> None:
    sums, bars = drawn(span([3.0] * 40)).axes
    assert sums.get_xlim() == bars.get_xlim()
    assert sums.get_position().x0 == bars.get_position().x0
    assert sums.get_position().x1 == bars.get_position().x1
