"""Where everything of the season is drawn: one scale of days, rows, leaf, the foot."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF

from rearing.desk.page import INSET
from rearing.desk.widgets.date_scale import DateScale

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Look
    from rearing.keeping.season_rows import Ribbon

DAY_WIDTHS = (1.5, 2.2, 3.0, 4.2, 6.0, 9.0, 14.0)
USUAL_WIDTH = 2
_ROW, _WHISKER, _MONTHS, _LEAF, _LEAST_LEAF = 46, 8, 26, 204, 92
_TODAY_AT = 0.36
_TALL = 480
MOST_WHISKERS = 4
_LEFT_SHARE, _NARROW_SHARE, _NARROW = 0.24, 0.36, 560


@dataclass(frozen=True, slots=True)
class Plan:
    """The parts of the sheet at one size, in pixels of the viewport."""

    look: Look
    width: float
    height: float
    left: float
    foot_lines: int
    row_heights: tuple[float, ...]

    @property
    def right(self) -> float:
        """Where the days end."""
        return self.width - self.look.px(INSET)

    @property
    def months(self) -> QRectF:
        """The strip of month names."""
        wide = self.right - self.left
        return QRectF(self.left, 0, wide, self.look.px(_MONTHS))

    @property
    def foot(self) -> QRectF:
        """The reading line at the foot."""
        look = self.look
        line = QFontMetricsF(look.faces.body).height()
        high = self.foot_lines * line + look.px(12)
        inset = look.px(INSET)
        return QRectF(inset, self.height - high, self.width - 2 * inset, high)

    @property
    def leaf(self) -> QRectF:
        """The leaf bars with their axis; the days' part of it."""
        look, bottom = self.look, self.foot.top()
        room = bottom - look.px(_MONTHS)
        high = min(float(look.px(_LEAF)), max(room * 0.36, look.px(_LEAST_LEAF)))
        if room < look.px(_ROW + _LEAST_LEAF):
            high = 0.0  # so low a window shows the broods alone
        wide = self.right - self.left
        return QRectF(self.left, bottom - high, wide, high)

    @property
    def rows(self) -> QRectF:
        """What the broods scroll in."""
        top = self.look.px(_MONTHS)
        return QRectF(0, top, self.width, max(self.leaf.top() - top, 0.0))

    @property
    def content(self) -> float:
        """The height of all rows together."""
        return sum(self.row_heights)

    def scale(self, first: dt.date, width_at: int) -> DateScale:
        """Return the days from a first one on."""
        days = days_in(self, width_at)
        last = first + dt.timedelta(days=days - 1)
        return DateScale(first, last, self.left, self.right)

    def top_of(self, row: int) -> float:
        """Return where a row begins, before scrolling."""
        return sum(self.row_heights[:row])


def days_in(plan: Plan, width_at: int) -> int:
    """Return how many days there is room for at one of the widths of a day."""
    one = DAY_WIDTHS[width_at] * plan.look.unit / 4
    return max(int((plan.right - plan.left) / one), 14)


def first_day(plan: Plan, on: dt.date, width_at: int) -> dt.date:
    """Return the first day shown when today stands where it usually does."""
    return on - dt.timedelta(days=int(days_in(plan, width_at) * _TODAY_AT))


def make_plan(
    look: Look, width: float, height: float, ribbons: Sequence[Ribbon]
) -> Plan:
    """Lay the sheet out for its size and what it shows."""
    code = QFontMetricsF(look.faces.code_line)
    species = QFontMetricsF(look.faces.species)
    small = QFontMetricsF(look.faces.small)
    gap = look.px(14)
    names = [
        max(
            code.horizontalAdvance(one.code)
            + gap
            + species.horizontalAdvance(one.short),
            small.horizontalAdvance(number_words(one)),
        )
        for one in ribbons
    ]
    share = _LEFT_SHARE if width >= look.px(_NARROW) else _NARROW_SHARE
    wide = min(max([*names, float(look.px(150))]), width * share)
    heights = tuple(
        look.px(_ROW)
        + look.px(_WHISKER) * max(min(len(one.groups), MOST_WHISKERS) - 1, 0)
        for one in ribbons
    )
    left = look.px(INSET) + wide + look.px(18)
    foot_lines = 3 if height >= look.px(_TALL) else 2
    return Plan(look, width, height, left, foot_lines, heights)


def number_words(ribbon: Ribbon) -> str:
    """Return how many, how far, and how that is known."""
    if not ribbon.is_open:
        return ribbon.state
    if not ribbon.state:
        return f"{ribbon.number} eggs"
    parts = [f"{ribbon.number} {ribbon.state}", ribbon.known]
    return ", ".join(part for part in parts if part)
