from __future__ import annotations

import datetime as dt
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure

from rearing.charts.look import ChartColours, ChartLook
from rearing.charts.paper import (
    Room,
    apart,
    bare_axes,
    label_days,
    label_heights,
    letter_height,
    midnight_s,
    named_days,
)

LJUBLJANA = ZoneInfo("Europe/Ljubljana")
COLOURS = ChartColours(
    page="#ffffff",
    ink="#000000",
    ink2="#222222",
    pencil="#666666",
    rule="#dddddd",
    rule2="#bbbbbb",
    madder="#880022",
    blue="#112288",
    heat="#228811",
)
LOOK = ChartLook(COLOURS)
DAYS = st.dates(dt.date(1990, 1, 1), dt.date(2060, 1, 1))


@given(DAYS, st.integers(1, 4000), st.integers(2, 15))
def test_named_days_lie_in_the_span_and_are_not_too_many(
    first: dt.date, length: int, most: int
) -> None:
    last = first + dt.timedelta(days=length - 1)
    days, words = named_days(first, last, most)
    assert len(days) == len(words)
    assert all(first <= day <= last for day in days)
    assert days == sorted(set(days))
    if length < 12 * 30 * most:
        # A partial week or month at either end may add one.
        assert len(days) <= most + 1


def test_weeks_are_named_by_their_monday() -> None:
    days, words = named_days(dt.date(2021, 5, 14), dt.date(2021, 6, 12), 6)
    # Mondays of a 2021 calendar; the first of them is 17 May (from memory).
    assert words == ["17 May", "24 May", "31 May", "7 June"]
    assert {day.weekday() for day in days} == {0}


def test_a_year_is_named_once() -> None:
    _, words = named_days(dt.date(2020, 6, 13), dt.date(2021, 6, 12), 7)
    assert words == ["July 2020", "Sept", "Nov", "Jan 2021", "March", "May"]


def test_a_day_of_a_clock_change_keeps_its_length() -> None:
    # Summer time began on 28 March and ended on 31 October 2021 (Directive
    # 2000/84/EC: the last Sundays of March and October).
    spring = [midnight_s(dt.date(2021, 3, day), LJUBLJANA) for day in (28, 29)]
    autumn = [midnight_s(dt.date(2021, 10, 31), LJUBLJANA)]
    autumn.append(midnight_s(dt.date(2021, 11, 1), LJUBLJANA))
    assert spring[1] - spring[0] == 23 * 3600
    assert autumn[1] - autumn[0] == 25 * 3600


def test_the_axis_goes_from_midnight_to_midnight() -> None:
    axes = bare_axes(Figure(figsize=(8, 2)), LOOK, Room())
    first, last = dt.date(2021, 3, 27), dt.date(2021, 3, 29)
    label_days(axes, LOOK, first, last, LJUBLJANA)
    low, high = axes.get_xlim()
    assert high - low == (24 + 23 + 24) * 3600
    assert [t.get_text() for t in axes.get_xticklabels()] == [
        "27 March",
        "28 March",
        "29 March",
    ]


@given(st.floats(-40, 45), st.floats(0.5, 60))
def test_heights_are_round_and_inside(low: float, span: float) -> None:
    axes = bare_axes(Figure(figsize=(8, 2)), LOOK, Room())
    axes.set_ylim(low, low + span)
    label_heights(axes, LOOK, "°")
    ticks = axes.get_yticks()
    assert 1 <= len(ticks) <= 7
    assert all(low <= tick <= low + span for tick in ticks)
    assert axes.get_ylim() == (low, low + span)
    assert all("-" not in t.get_text() for t in axes.get_yticklabels())


def test_axes_stand_alike_whatever_is_written_beside_them() -> None:
    boxes = []
    for top in (9.0, 9000.0):
        axes = bare_axes(Figure(figsize=(8, 2)), LOOK, Room())
        axes.set_ylim(0, top)
        label_heights(axes, LOOK, "")
        boxes.append(axes.get_position().bounds)
    assert boxes[0] == boxes[1]


@given(st.lists(st.floats(0, 100), min_size=1, max_size=6), st.floats(0.5, 20))
def test_names_are_moved_apart_in_their_order(
    heights: list[float], least: float
) -> None:
    named = [(height, str(n), "#000000") for n, height in enumerate(heights)]
    moved = apart(named, least)
    assert [words for _, words, _ in moved] == [words for _, words, _ in sorted(named)]
    for (below, _, _), (above, _, _) in pairwise(moved):
        assert above - below >= least * (1 - 1e-9)


def test_names_with_room_stay_where_they_are() -> None:
    named = [(1.0, "one", "#000000"), (9.0, "nine", "#000000")]
    assert apart(named, 2.0) == named


@pytest.mark.parametrize("points", [9.5, 15.2])
def test_a_line_of_text_is_as_high_as_it_is_drawn(points: float) -> None:
    figure = Figure(figsize=(8, 3))
    look = ChartLook(COLOURS, points)
    axes = bare_axes(figure, look, Room())
    axes.set_ylim(0, 50)
    text = axes.text(0.5, 25, "258", fontproperties=look.figures())
    figure.draw_without_rendering()
    box = text.get_window_extent().transformed(axes.transData.inverted())
    assert box.height <= letter_height(axes, look)
