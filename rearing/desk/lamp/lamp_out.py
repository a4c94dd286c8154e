"""The night at the lamp, and the nights read back, as tables that are handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown
from rearing.keeping.arrivals import arrivals_through, beside_earlier
from rearing.keeping.night_counts import all_nights, counts_of
from rearing.keeping.years import flight_years, nights_calendar, sex_ratios

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget

    from rearing.records.book import Book
    from rearing.records.rows import LampNightRow


def shown_night(
    book: Book, night: LampNightRow, on: dt.date, where: QWidget
) -> tuple[Shown, ...]:
    """Return what a night counts so far."""
    from rearing.exchange.lamp_tables import counts_table

    counts = counts_of(book, (night,), on)[0]
    told = counts_table(night, counts.site, counts.totals, counts.first_totals)
    return (Shown(told, where),) if told.rows else ()


def shown_reading(
    book: Book, night: LampNightRow, on: dt.date, lists: Sequence[QWidget]
) -> tuple[Shown, ...]:
    """Return what is read back of a night and its year, list by list."""
    from rearing.exchange import years_tables as tables

    counts = counts_of(book, (night,), on)[0]
    year = night.evening.year
    own = [one for one in all_nights(book, on) if one.row.evening.year == year]
    told = (
        tables.through_table(arrivals_through(counts)),
        tables.beside_table(beside_earlier(book, night.id, on)),
        tables.years_table(flight_years(book, on)),
        tables.sexes_table(sex_ratios(own)),
        tables.calendar_table(nights_calendar(book, year, on)),
    )
    found = (Shown(one, where) for one, where in zip(told, lists, strict=True))
    return tuple(one for one in found if one.table.rows)
