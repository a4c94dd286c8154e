"""The chosen place's temperature and heat: a sentence, a chart, and what is odd."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QObject
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.pages.heat_words import (
    forecast_lead,
    forecast_more,
    heat_note,
    heat_sentence,
    holes_sentence,
    odd_words,
    rests_on,
    sum_words,
    temperature_sentence,
)
from rearing.desk.plots.host import ChartHost
from rearing.desk.widgets.form_fields import plain_label
from rearing.keeping.moments import counted
from rearing.keeping.rule_words import rule_lead, rule_more

if TYPE_CHECKING:
    from rearing.desk.pages.heat_reading import Course
    from rearing.desk.plots.host import Drawing
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.heat_page import PlaceLine, Series
    from rearing.records.rows import ForecastDayRow

_TEMPERATURE_HIGH, _HEAT_HIGH = 170, 190


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


def _to_come(course: Course) -> tuple[ForecastDayRow, ...]:
    """Return the forecast that a span up to today goes on with."""
    if course.span.last < course.on:
        return ()
    return tuple(row for row in course.forecast.days if row.day > course.span.last)


class HeatCourse(QObject):
    """Says and draws what was read of a place; reads nothing itself."""

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self._session = session
        self._warm_chart = ChartHost(theme, "Temperature", _TEMPERATURE_HIGH)
        self._heat_chart = ChartHost(theme, "Degree-days", _HEAT_HIGH)
        self.warmth = Told(theme, self._warm_chart)
        self.heat = Told(theme, self._heat_chart)
        self.odd = Told(theme)
        self.forecast = Told(theme)
        self.rule = Told(theme)
        self._course: Course | None = None

    @property
    def course(self) -> Course | None:
        """What is shown."""
        return self._course

    def charts(self) -> tuple[ChartHost, ChartHost]:
        """Return the chart of temperatures and that of heat."""
        return self._warm_chart, self._heat_chart

    def tell(self, course: Course) -> None:
        """Show another place or span."""
        self._course = course
        self._say_what_leads(course)
        if course.is_known:
            self._say(course)
        else:
            self._say_nothing(course)

    def _say_what_leads(self, course: Course) -> None:
        found, on = course.forecast, course.on
        self.forecast.tell(forecast_lead(found, on), forecast_more(found, on))
        rule = course.following
        if rule is not None:
            self.rule.tell(rule_lead(rule), rule_more(rule))

    def _say_nothing(self, course: Course) -> None:
        line = course.line
        name = line.row.name
        if line.last is None:
            lead = f"{name} has no readings. {_instead(line)}"
            more = "I takes in what its logger, or a weather station near it, wrote."
        else:
            lead = f"Nothing was read at {name} from {course.span.words}."
            more = f"{rests_on(line)}. ← and → move the days shown."
        self.warmth.tell(lead, more)
        self.heat.tell("")

    def _say(self, course: Course) -> None:
        read, span = course.read, course.span
        lead, more = temperature_sentence(read, span), holes_sentence(read)
        self.warmth.tell(lead, more, charted=True)
        self._warm_chart.tell(self._draw_temperature, f"{lead} {more}")
        lead = heat_sentence(course.days, span, course.count)
        more = heat_note(course.days, course.filled, course.count.whose)
        self.heat.tell(lead, more, charted=True)
        others = [f"{year}: {sum_words(days)}" for year, days in course.years]
        told = f" The same days of {', '.join(others)}." if others else ""
        self._heat_chart.tell(self._draw_heat, f"{lead} {more}{told}")
        many = counted(len(read.odd_at), "reading is", "readings are")
        self.odd.tell(f"{many} too odd to count.", odd_words(read))

    def notes(self) -> dict[str, str]:
        """Return the sections there is something to say in, and their notes."""
        course = self._course
        if course is None:
            return {"Temperature": ""}
        shown = {"Temperature": ""}
        if any(row.day >= course.on for row in course.forecast.days):
            shown["Forecast"] = "typed"
        if course.following is not None:
            shown["Rule"] = "between places"
        if not course.is_known:
            return shown
        shown["Temperature"] = "by day" if course.by_day else "by the hour"
        shown["Degree-days"] = "by hourly sums"
        if course.read.odd_at:
            shown["Odd"] = ""
        return shown

    # drawing

    def _shown(self) -> Course:
        if self._course is None:
            raise ValueError("no place was shown yet")
        return self._course

    def _now_s(self, read: Series) -> float | None:
        now, start = self._session.now().timestamp(), read.start.timestamp()
        return now if start <= now <= start + 3600 * len(read.celsius) else None

    def _draw_temperature(self) -> Drawing:
        from rearing.charts.temperature import TemperatureSpan, draw_temperature

        course = self._shown()
        result = TemperatureSpan(
            course.read,
            course.days,
            course.by_day,
            course.count.lower_c,
            self._now_s(course.read),
            _to_come(course),
        )
        return partial(draw_temperature, result=result)

    def _draw_heat(self) -> Drawing:
        from rearing.charts.heat_sum import HeatSpan, OtherYear, draw_heat

        course = self._shown()
        others = tuple(
            OtherYear(
                year,
                tuple(day.total for day in days),
                all(np.isfinite(day.degree_days) for day in days),
            )
            for year, days in course.years
        )
        zone = course.read.start.tzinfo or dt.UTC
        now_s = self._now_s(course.read)
        result = HeatSpan(course.days, course.filled, zone, others, now_s)
        return partial(draw_heat, result=result)
