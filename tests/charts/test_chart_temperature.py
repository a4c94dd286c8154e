from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from rearing.charts.look import ChartColours, ChartLook
from rearing.charts.temperature import TemperatureSpan, draw_temperature, runs
from rearing.keeping.heat_page import Series, heat_by_day
from rearing.records.rows import PlaceRow
from rearing.science.weather import How, fill

ZONE = ZoneInfo("Europe/Ljubljana")
START = dt.datetime(2021, 6, 1, tzinfo=ZONE)
COLOURS = ChartColours(
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
LOOK = ChartLook(COLOURS)


def read(
    days: int = 30,
    *,
    hole: slice | None = None,
    odd_c: tuple[float, ...] = (),
    set_point_c: float | None = None,
) -> Series:
    """Return a computed series: a sine about 15 °C, with a hole where told."""
    hours = 15 + 6 * np.sin(2 * np.pi * np.arange(24 * days) / 24)
    if hole is not None:
        hours[hole] = np.nan
    filled = fill(hours)
    return Series(
        place=PlaceRow(1, 1, "Porch", 1, set_point_c, None, True, None, None),
        start=START,
        celsius=filled.celsius,
        how=filled.how,
        odd_at=tuple(START + dt.timedelta(hours=h) for h in range(len(odd_c))),
        odd_c=odd_c,
        hole_hours=int(np.isnan(filled.celsius).sum()),
        filled_hours=int((filled.how == How.FILLED).sum()),
    )


def drawn(result: TemperatureSpan, look: ChartLook = LOOK) -> Figure:
    figure = Figure(figsize=(9, 2.2))
    FigureCanvasAgg(figure)
    draw_temperature(figure, result, look)
    figure.canvas.draw()
    return figure


def span(series: Series, **more: object) -> TemperatureSpan:
    days = heat_by_day(series, lower_c=8.0, upper_c=None)
    return TemperatureSpan(series, days, **more)  # type: ignore[arg-type]  # by name


def lines(figure: Figure) -> dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]:
    return {
        str(line.get_label()): np.asarray(line.get_ydata(), dtype=np.float64)
        for line in figure.axes[0].get_lines()
    }


def words(figure: Figure) -> set[str]:
    return {t.get_text() for t in figure.findobj(Text) if t.get_text()}


def test_what_was_read_is_drawn_as_it_was_read() -> None:
    series = read()
    found = lines(drawn(span(series)))
    np.testing.assert_array_equal(found["read"], series.celsius)
    assert np.isnan(found["filled"]).all()


def test_filled_hours_are_pencil_and_join_the_ink() -> None:
    series = read(hole=slice(240, 264))
    figure = drawn(span(series))
    found = lines(figure)
    assert np.isnan(found["read"][240:264]).all()
    np.testing.assert_array_equal(found["filled"][239:265], series.celsius[239:265])
    assert np.isnan(found["filled"][:239]).all()
    by_name = {str(line.get_label()): line for line in figure.axes[0].get_lines()}
    assert by_name["filled"].get_color() == COLOURS.pencil
    assert by_name["filled"].get_linestyle() != by_name["read"].get_linestyle()


def test_hours_nobody_knows_are_hatched_and_worded() -> None:
    series = read(days=60, hole=slice(240, 240 + 24 * 30))
    assert series.hole_hours == 24 * 16
    figure = drawn(span(series))
    (hole,) = [p for p in figure.axes[0].patches if p.get_label() == "hole"]
    assert hole.get_hatch()
    first = START.timestamp() + (240 + 7 * 24) * 3600
    assert hole.get_window_extent().transformed(
        figure.axes[0].transData.inverted()
    ).x0 == pytest.approx(first, abs=60)
    assert "no readings" in words(figure)


def test_a_narrow_hole_is_hatched_without_words() -> None:
    figure = drawn(span(read(days=300, hole=slice(240, 240 + 24 * 16)), by_day=True))
    assert [p for p in figure.axes[0].patches if p.get_label() == "hole"]
    assert "no readings" not in words(figure)


def test_odd_readings_are_ringed_inside_the_paper() -> None:
    figure = drawn(span(read(odd_c=(-39.0, 61.0, 14.0))))
    ringed = lines(figure)["odd"]
    low, high = figure.axes[0].get_ylim()
    assert len(ringed) == 3
    assert ((low < ringed) & (ringed < high)).all()
    assert ringed[2] == 14.0


def test_set_point_threshold_and_today_are_named() -> None:
    now_s = (START + dt.timedelta(days=20)).timestamp()
    figure = drawn(span(read(set_point_c=18.5), lower_c=11.2, now_s=now_s))
    assert {"set point 18.5°", "from 11.2°", "today"} <= words(figure)


def test_a_band_holds_each_days_lowest_and_highest() -> None:
    series = read(days=90)
    result = span(series, by_day=True)
    figure = drawn(result)
    (band,) = [c for c in figure.axes[0].collections if c.get_label() == "day"]
    corners = np.asarray(band.get_paths()[0].vertices)[:, 1]
    assert corners.min() == pytest.approx(min(day.low_c for day in result.days))
    assert corners.max() == pytest.approx(max(day.high_c for day in result.days))
    middle = lines(figure)["middle of the day"]
    np.testing.assert_allclose(middle, 15.0)


def test_nothing_known_is_one_hatched_hole() -> None:
    figure = drawn(span(read(days=5, hole=slice(0, 120))))
    assert "no readings" in words(figure)


def test_words_keep_to_the_size_and_colours_of_the_view() -> None:
    one = "#e41200"
    red = ChartLook(ChartColours("#000000", one, one, one, one, one, one, one, one), 16)
    figure = drawn(span(read(set_point_c=18.0), now_s=START.timestamp()), red)
    for text in figure.findobj(Text):
        if text.get_text():
            assert text.get_fontsize() == 16
            assert text.get_color() == one
    pixels = np.asarray(figure.canvas.buffer_rgba())  # type: ignore[attr-defined]  # Agg's own
    assert pixels[..., 2].max() == 0, "no blue light at the lamp"
    assert pixels[..., 0].max() > 100


def test_a_figure_can_be_drawn_again() -> None:
    figure = drawn(span(read()))
    draw_temperature(figure, span(read(days=3)), LOOK)
    assert len(figure.axes) == 1


def test_runs_are_found_at_both_ends() -> None:
    mask = np.array([True, False, True, True, False, True])
    assert runs(mask) == [(0, 1), (2, 4), (5, 6)]
    assert runs(np.zeros(3, dtype=bool)) == []
