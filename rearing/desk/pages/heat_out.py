"""The Heat page and its sheet of rates as the tables that are handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from PySide6.QtWidgets import QWidget

    from rearing.desk.pages.heat_course import HeatCourse
    from rearing.keeping.fits import Question, Rates
    from rearing.keeping.heat_page import PlaceLine
    from rearing.records.rows import ReadingImportRow


def shown_heat(
    lines: Sequence[PlaceLine],
    places: QWidget,
    told: HeatCourse,
    taken: tuple[Sequence[ReadingImportRow], QWidget],
) -> tuple[Shown, ...]:
    """Return the places, and the days, forecast, odd readings and files of one."""
    from rearing.exchange import heat_tables as tables

    found = [Shown(tables.places_table(lines), places)]
    course = told.course
    if course is not None:
        name, read = course.line.row.name, course.read
        between_c = (course.count.lower_c, course.count.upper_c)
        days = tables.degree_days_table(
            name, course.days, between_c, filled=course.filled
        )
        forecast = tables.forecast_table(name, course.forecast.days)
        odd = tables.odd_table(name, read.odd_at, read.odd_c)
        found += [Shown(days, told.heat)] if course.is_known else []
        found += [Shown(forecast, told.forecast), Shown(odd, told.odd)]
        found.append(Shown(tables.imports_table(name, taken[0]), taken[1]))
    return _filled(found)


def shown_rates(
    known: Question | None,
    used: Iterable[str],
    rates: Rates | None,
    where: tuple[QWidget, QWidget],
) -> tuple[Shown, ...]:
    """Return the durations of a stage, and the lines through them."""
    from rearing.exchange.fit_tables import points_table, rates_table

    if known is None:
        return ()
    found = [Shown(points_table(known, used), where[0])]
    if rates is not None:
        found.append(Shown(rates_table(known, rates), where[1]))
    return _filled(found)


def _filled(found: Iterable[Shown]) -> tuple[Shown, ...]:
    return tuple(one for one in found if one.table.rows)
