"""The chosen place's temperature and heat: a sentence, a chart, and what is odd."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QObject
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.pages.heat_span import BAND_FROM_DAYS
from rearing.desk.pages.heat_words import (
    heat_note,
    heat_sentence,
    holes_sentence,
    odd_words,
    rests_on,
    temperature_sentence,
)
from rearing.desk.plots.host import ChartHost
from rearing.desk.widgets.form_fields import plain_label
from rearing.keeping.heat_page import (
    earlier_years,
    filled_hours,
    heat_by_day,
    series,
)
from rearing.keeping.moments import counted

if TYPE_CHECKING:
    from rearing.desk.pages.heat_span import Span
    from rearing.desk.pages.heat_thresholds import Thresholds
    from rearing.desk.plots.host import Drawing
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.heat_page import DayHeat, PlaceLine, Series

FILLED_FROM_H = 7
"""A day is said to lean on filled hours from so many on; six are bridged by a line."""

_TEMPERATURE_HIGH, _HEAT_HIGH = 170, 190
_YEARS_MOST_DAYS = 366


class Told(QWidget):
    """A lead sentence, a chart under it when there is one, and a remark."""

    def __init__(self, theme: Theme, chart: ChartHost | None = None) -> None:
        super().__init__()
        self._theme = theme
        self._chart = chart
        self._lead, self._more = plain_label(""), plain_label("")
        self._more.setForegroundRole(QPalette.ColorRole.PlaceholderText)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self._lead)
        if chart is not None:
            column.addWidget(chart)
        column.addWidget(self._more)
        theme.changed.connect(self._dress)
        self._dress()

    @property
    def words(self) -> str:
        """What is said."""
        return f"{self._lead.text()} {self._more.text()}".strip()

    def tell(self, lead: str, more: str = "", *, charted: bool = False) -> None:
        """Say other words, with the chart or without."""
        self._lead.setText(lead)
        self._more.setText(more)
        self._lead.setVisible(bool(lead))
        self._more.setVisible(bool(more))
        if self._chart is not None:
            self._chart.setVisible(charted)

    def _dress(self) -> None:
        self._lead.setFont(self._theme.look.faces.lead)
        self._more.setFont(self._theme.look.faces.small)


def _instead(line: PlaceLine) -> str:
    point = line.row.set_point_c
    if point is None:
        return "Forecasts have nothing of its own to count with."
    return f"Forecasts take its set point, {point:g}°."


class HeatCourse(QObject):
    """Reads a place's span once and hands it to both charts."""

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self._session = session
        self._warm_chart = ChartHost(theme, "Temperature", _TEMPERATURE_HIGH)
        self._heat_chart = ChartHost(theme, "Degree-days", _HEAT_HIGH)
        self.warmth = Told(theme, self._warm_chart)
        self.heat = Told(theme, self._heat_chart)
        self.odd = Told(theme)
        self._read: Series | None = None
        self._days: tuple[DayHeat, ...] = ()
        self._filled: tuple[bool, ...] = ()
        self._years: tuple[tuple[str, tuple[DayHeat, ...]], ...] = ()
        self._by_day = False
        self._lower_c = 0.0

    def tell(self, line: PlaceLine, span: Span, count: Thresholds) -> str:
        """Show a place through a span; return the verdict for the page's head."""
        book = self._session.book
        read = series(book, line.row, span.first, span.last)
        self._read = read
        self._lower_c = count.lower_c
        self._by_day = span.length >= BAND_FROM_DAYS or not line.readings
        self._days = heat_by_day(read, lower_c=count.lower_c, upper_c=count.upper_c)
        self._filled = tuple(h >= FILLED_FROM_H for h in filled_hours(read))
        self._years = ()
        if not np.isfinite(read.celsius).any():
            return self._say_nothing(line, span)
        if span.length <= _YEARS_MOST_DAYS:
            self._years = earlier_years(
                book,
                line.row,
                (span.first, span.last),
                lower_c=count.lower_c,
                upper_c=count.upper_c,
            )
        self._say(span, count)
        total = self._days[-1].total
        return f"{total:,.0f} degree-days"

    def _say_nothing(self, line: PlaceLine, span: Span) -> str:
        name = line.row.name
        if line.last is None:
            lead = f"{name} has no readings. {_instead(line)}"
            more = "I takes in what its logger, or a weather station near it, wrote."
        else:
            lead = f"Nothing was read at {name} from {span.words}."
            more = f"{rests_on(line)}. ← and → move the days shown."
        self.warmth.tell(lead, more)
        self.heat.tell("")
        return ""

    def _say(self, span: Span, count: Thresholds) -> None:
        read = self._read
        if read is None:
            return
        lead, more = temperature_sentence(read, span), holes_sentence(read)
        self.warmth.tell(lead, more, charted=True)
        self._warm_chart.tell(self._draw_temperature, f"{lead} {more}")
        lead = heat_sentence(self._days, span, count)
        more = heat_note(self._days, self._filled, count.whose)
        self.heat.tell(lead, more, charted=True)
        others = [f"{year}: {days[-1].total:,.0f}" for year, days in self._years]
        told = f" The same days of {', '.join(others)}." if others else ""
        self._heat_chart.tell(self._draw_heat, f"{lead} {more}{told}")
        many = counted(len(read.odd_at), "reading is", "readings are")
        self.odd.tell(f"{many} too odd to count.", odd_words(read))

    def notes(self) -> dict[str, str]:
        """Return the sections there is something to say in, and their notes."""
        read = self._read
        if read is None or not np.isfinite(read.celsius).any():
            return {"Temperature": ""}
        shown = {
            "Temperature": "by day" if self._by_day else "by the hour",
            "Degree-days": "by hourly sums",
        }
        if read.odd_at:
            shown["Odd"] = ""
        return shown

    # drawing

    def _read_now(self) -> Series:
        if self._read is None:
            raise ValueError("no place was shown yet")
        return self._read

    def _now_s(self, read: Series) -> float | None:
        now, start = self._session.now().timestamp(), read.start.timestamp()
        return now if start <= now <= start + 3600 * len(read.celsius) else None

    def _draw_temperature(self) -> Drawing:
        from rearing.charts.temperature import TemperatureSpan, draw_temperature

        read = self._read_now()
        lower_c, now_s = self._lower_c, self._now_s(read)
        result = TemperatureSpan(read, self._days, self._by_day, lower_c, now_s)
        return partial(draw_temperature, result=result)

    def _draw_heat(self) -> Drawing:
        from rearing.charts.heat_sum import HeatSpan, OtherYear, draw_heat

        read = self._read_now()
        others = tuple(
            OtherYear(year, tuple(day.total for day in days))
            for year, days in self._years
        )
        zone, now_s = read.start.tzinfo or dt.UTC, self._now_s(read)
        result = HeatSpan(self._days, self._filled, zone, others, now_s)
        return partial(draw_heat, result=result)
