"""The night book read back: by hour, beside earlier nights, by year and by sex."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from rearing.desk.lamp import reading_words as words
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.lines import Column, Ink
from rearing.desk.widgets.prose import Prose
from rearing.desk.widgets.reading_sheet import ReadingSheet
from rearing.desk.widgets.ruled_list import RuledList
from rearing.keeping.arrivals import arrivals_through, beside_earlier
from rearing.keeping.moments import day_words
from rearing.keeping.night_counts import all_nights, counts_of
from rearing.keeping.years import flight_years, nights_calendar, sex_ratios
from rearing.records import tables as t
from rearing.records.rows import LampNightRow

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from rearing.desk.page import Shown
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

_HOURS = (
    Column("Check", Ink.CODE),
    Column("♂", Ink.NUMBER),
    Column("♀", Ink.NUMBER),
    Column("not looked", Ink.NUMBER),
    Column("", Ink.TEXT, stretch=True),
)
_NIGHTS = (
    Column("Night", Ink.CODE),
    Column("Moths", Ink.NUMBER),
    Column("an hour", Ink.NUMBER),
    Column("In each lamp-hour", Ink.TEXT, stretch=True),
)
_YEARS = (
    Column("Species", Ink.SPECIES),
    Column("Year", Ink.CODE),
    Column("First and last", Ink.TEXT, stretch=True),
    Column("Nights", Ink.NUMBER),
    Column("Moths", Ink.NUMBER),
)
_SEXES = (
    Column("Species", Ink.SPECIES),
    Column("♂", Ink.NUMBER),
    Column("♀", Ink.NUMBER),
    Column("Females", Ink.TEXT, stretch=True),
)
_CALENDAR = (
    Column("Evening", Ink.CODE),
    Column("Moths", Ink.NUMBER),
    Column("Where", Ink.TEXT, stretch=True),
)
NAMES = (
    "Through the night",
    "Beside earlier nights",
    "First and last",
    "Sexes at the lamp",
    "Nights of the year",
)


class NightReading(QWidget):
    """Sections read with the arrow keys; Esc or D goes back to the lamp."""

    left = Signal()

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__()
        self._session, self._theme = session, theme
        self._night: int | None = None
        self._shown: LampNightRow | None = None
        self.header = PageHeader(theme)
        self.sheet = ReadingSheet(theme, "The nights read back")
        columns = (_HOURS, _NIGHTS, _YEARS, _SEXES, _CALENDAR)
        self.lists = tuple(
            RuledList(theme, list(own), name, whole=True)
            for own, name in zip(columns, NAMES, strict=True)
        )
        self.lead = Prose(theme, "lead_quiet")
        parts = [self._part(one) for one in self.lists]
        self.sheet.arrange([("", self.lead), *zip(NAMES, parts, strict=True)])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.header)
        column.addWidget(self.sheet, 1)
        self.setFocusProxy(self.sheet)

    def _part(self, one: RuledList) -> QWidget:
        one.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return one

    def show_night(self, night_id: int | None) -> None:
        """Read all of it again, with one night first; None takes the latest."""
        self._night = night_id
        self.read()

    def read(self) -> None:
        """Read the night book."""
        book, on = self._session.book, self._session.on
        latest = (t.LampNight.evening.desc(), t.LampNight.id.desc())
        rows = book.all(LampNightRow, t.LampNight.evening <= on, order=latest)
        chosen = next((row for row in rows if row.id == self._night), None)
        night = chosen or (rows[0] if rows else None)
        if night is None:
            self.header.tell(Heading(title="Nights read back"))
            self.lead.tell("No lamp night is entered yet. Esc goes back to the lamp.")
            for name in NAMES:
                self.sheet.say(name, shown=False)
            return
        self._shown = night
        counts = counts_of(book, (night,), on)[0]
        nights = all_nights(book, on)
        year = night.evening.year
        own = [one for one in nights if one.row.evening.year == year]
        told = (
            words.hour_lines(arrivals_through(counts), counts),
            words.night_lines(beside_earlier(book, night.id, on)),
            words.year_lines(flight_years(book, on), year),
            words.sex_lines(sex_ratios(own)),
            words.calendar_lines(nights_calendar(book, year, on)),
        )
        for one, name, lines in zip(self.lists, NAMES, told, strict=True):
            one.set_lines(lines)
            self.sheet.say(name, words.NOTES[name], shown=bool(lines))
        evening = day_words(night.evening, year=True)
        self.header.tell(Heading(title="Nights read back", words=counts.site.name))
        self.lead.tell(words.night_sentence(counts, evening))

    def tables(self) -> tuple[Shown, ...]:
        """Return what is read back, list by list."""
        from rearing.desk.lamp.lamp_out import shown_reading

        if self._shown is None:
            return ()
        session = self._session
        return shown_reading(session.book, self._shown, session.on, self.lists)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in {Qt.Key.Key_Escape, Qt.Key.Key_D}:
            self.left.emit()
            return
        super().keyPressEvent(event)
