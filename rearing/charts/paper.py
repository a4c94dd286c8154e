"""The ground a chart stands on: bare axes with measured room, and a line of days."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from rearing.charts.look import ChartLook

_POINTS_IN_INCH = 72.0
_LABEL_LETTERS = 10.0
_STEPS_DAYS = (1, 2, 7, 14)
_STEPS_MONTHS = (1, 2, 3, 6, 12)
_MONTH_DAYS = 30.4
_MONTHS = (
    *("Jan", "Feb", "March", "April", "May", "June"),
    *("July", "Aug", "Sept", "Oct", "Nov", "Dec"),
)


@dataclass(frozen=True, slots=True)
class Room:
    """Room left about axes, in letters of the small text, and its share of the height.

    `low` and `high` are the parts of the height between the rooms, counted from below.
    """

    left: float = 4.2
    right: float = 7.2
    bottom: float = 2.0
    top: float = 1.5
    low: float = 0.0
    high: float = 1.0

    def box(self, figure: Figure, look: ChartLook) -> tuple[float, float, float, float]:
        """Return left, foot, width and height in shares of the figure as it is now."""
        letter = look.points / _POINTS_IN_INCH
        wide, tall = figure.get_size_inches()
        x0 = min(self.left * letter / wide, 0.4)
        x1 = max(1 - self.right * letter / wide, x0 + 0.1)
        y0 = min(self.bottom * letter / tall, 0.4)
        y1 = max(1 - self.top * letter / tall, y0 + 0.1)
        span = y1 - y0
        return (x0, y0 + span * self.low, x1 - x0, span * (self.high - self.low))


def bare_axes(figure: Figure, look: ChartLook, room: Room) -> Axes:
    """Return axes without a frame: a line below, rules across, nothing else."""
    colours = look.colours
    figure.set_facecolor(colours.page)
    axes = figure.add_axes(room.box(figure, look))
    axes.set_facecolor(colours.page)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(colours.rule2)
    axes.tick_params(axis="x", length=4, color=colours.rule2)
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=True, axis="y", color=colours.rule, linewidth=0.75)
    axes.set_axisbelow(True)
    return axes


def label_heights(axes: Axes, look: ChartLook, unit: str, *, most: int = 5) -> None:
    """Write the heights at the left in round figures, with their unit."""
    from matplotlib.ticker import MaxNLocator

    low, high = axes.get_ylim()
    ticks = MaxNLocator(most, steps=[1, 2, 2.5, 5, 10]).tick_values(low, high)
    inside = [float(tick) for tick in ticks if low <= tick <= high]
    words = [f"{tick:,g}{unit}".replace("-", "−") for tick in inside]
    axes.set_yticks(inside, words, fontproperties=look.figures())
    axes.tick_params(axis="y", labelcolor=look.colours.ink2)
    axes.set_ylim(low, high)


def label_days(
    axes: Axes, look: ChartLook, first: dt.date, last: dt.date, zone: dt.tzinfo
) -> None:
    """Set the time axis from the first day to the last, and name days on it.

    It counts seconds since 1970, so that a day of a clock change keeps its length.
    """
    start, end = midnight_s(first, zone), midnight_s(last + dt.timedelta(days=1), zone)
    axes.set_xlim(start, end)
    inches = inches_of(axes)[0]
    fit = inches * _POINTS_IN_INCH / (look.points * _LABEL_LETTERS * 0.62)
    days, words = named_days(first, last, max(int(fit), 2))
    axes.set_xticks(
        [midnight_s(day, zone) for day in days], words, fontproperties=look.figures()
    )
    axes.tick_params(axis="x", labelcolor=look.colours.ink2)


def named_days(
    first: dt.date, last: dt.date, most: int
) -> tuple[list[dt.date], list[str]]:
    """Return at most about `most` days of a span and how each is written."""
    length = (last - first).days + 1
    for step in _STEPS_DAYS:
        if length / step <= most:
            days = _every(first, last, step)
            return days, [f"{day.day} {_month(day)}" for day in days]
    for months in _STEPS_MONTHS:
        if length / (months * _MONTH_DAYS) <= most:
            break
    days = _month_starts(first, last, months)
    return days, _month_words(days)


def letter_height(axes: Axes, look: ChartLook) -> float:
    """Return the height of a line of small text, in the units of the axes' heights."""
    low, high = axes.get_ylim()
    share = look.points * 1.2 / _POINTS_IN_INCH / inches_of(axes)[1]
    return share * (high - low)


def inches_of(axes: Axes) -> tuple[float, float]:
    """Return the width and height of axes as they are now [inches]."""
    figure = axes.get_figure(root=True)
    if figure is None:
        raise ValueError("axes without a figure have no size")
    wide, tall = figure.get_size_inches()
    place = axes.get_position()
    return float(place.width * wide), float(place.height * tall)


def apart(
    named: Sequence[tuple[float, str, str]], least: float
) -> list[tuple[float, str, str]]:
    """Move (height, words, colour) apart that would lie on each other, about evenly.

    The order of heights is kept; those that touch are spread about their middle.
    """
    groups: list[list[tuple[float, str, str]]] = []
    for one in sorted(named):
        groups.append([one])
        while len(groups) > 1 and _top(groups[-2], least) > _foot(groups[-1], least):
            groups[-2:] = [groups[-2] + groups[-1]]
    return [
        (_foot(group, least) + (n + 0.5) * least, words, colour)
        for group in groups
        for n, (_, words, colour) in enumerate(group)
    ]


def _foot(group: Sequence[tuple[float, str, str]], least: float) -> float:
    middle = sum(height for height, _, _ in group) / len(group)
    return middle - least * len(group) / 2


def _top(group: Sequence[tuple[float, str, str]], least: float) -> float:
    return _foot(group, least) + least * len(group)


def midnight_s(day: dt.date, zone: dt.tzinfo) -> float:
    """Return the moment a local day begins [s since 1970]."""
    return dt.datetime.combine(day, dt.time(), zone).timestamp()


def _every(first: dt.date, last: dt.date, step: int) -> list[dt.date]:
    # Weeks begin on Monday, so that a later span keeps the same days named.
    ahead = (-first.weekday()) % 7 if step >= 7 else 0
    start = first + dt.timedelta(days=ahead)
    return [
        start + dt.timedelta(days=n)
        for n in range(0, max((last - start).days + 1, 0), step)
    ]


def _month_starts(first: dt.date, last: dt.date, months: int) -> list[dt.date]:
    number = first.year * 12 + first.month - 1
    number += 0 if first.day == 1 else 1
    number += -number % months
    days = []
    while (day := dt.date(number // 12, number % 12 + 1, 1)) <= last:
        days.append(day)
        number += months
    return days


def _month(day: dt.date) -> str:
    """Return a month as the pages shorten it: June and July are short already."""
    return _MONTHS[day.month - 1]


def _month_words(days: Sequence[dt.date]) -> list[str]:
    words = []
    year = None
    for day in days:
        month = _month(day)
        words.append(month if day.year == year else f"{month} {day.year}")
        year = day.year
    return words
