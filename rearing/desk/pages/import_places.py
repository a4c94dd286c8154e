"""The series found in a file, and the place each is meant for."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from rearing.desk.widgets.choice_inputs import SearchInput
from rearing.desk.widgets.fields import SearchField
from rearing.desk.widgets.form_fields import plain_label
from rearing.exchange.temperatures import InstantSeries
from rearing.keeping.moments import short_day
from rearing.keeping.temperatures_in import Arriving

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.theme import Theme
    from rearing.exchange.temperatures import DailySeries, Temperatures
    from rearing.records.rows import PlaceRow


_MOST_ROWS = 200
_TELLING_LETTERS = 4
"""A shorter name of a column says nothing of the place."""


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """One series of a file: its name, how many values, when, and between what."""

    name: str
    words: str
    series: InstantSeries | DailySeries

    def arriving(self, place: object) -> Arriving:
        """Return it as bound for a place: an id of the book, or a new place's name."""
        place_id = place if isinstance(place, int) else None
        new_place = place if isinstance(place, str) else ""
        if isinstance(self.series, InstantSeries):
            return Arriving(
                self.name,
                place_id,
                new_place,
                at_s=self.series.at_s,
                celsius=self.series.celsius,
            )
        return Arriving(
            self.name,
            place_id,
            new_place,
            day=self.series.day,
            low_c=self.series.low_c,
            high_c=self.series.high_c,
        )


def found_in(read: Temperatures, zone: dt.tzinfo) -> tuple[Found, ...]:
    """Return every series of a file, those by the instant first."""
    instants = [Found(one.name, _instants(one, zone), one) for one in read.series]
    return (*instants, *(Found(one.name, _days(one), one) for one in read.daily))


def _instants(one: InstantSeries, zone: dt.tzinfo) -> str:
    ends = [
        dt.datetime.fromtimestamp(int(at), zone).date()
        for at in (one.at_s[0], one.at_s[-1])
    ]
    low, high = float(one.celsius.min()), float(one.celsius.max())
    return f"{len(one.at_s):,} readings, {_told(ends, low, high)}"


def _days(one: DailySeries) -> str:
    ends = [day.astype(dt.date) for day in (one.day[0], one.day[-1])]
    low, high = float(one.low_c.min()), float(one.high_c.max())
    return f"{len(one.day):,} days, {_told(ends, low, high)}"


def _told(ends: Sequence[dt.date], low: float, high: float) -> str:
    first, last = (f"{short_day(day)} {day.year}" for day in ends)
    between = f"{low:.1f}° to {high:.1f}°".replace("-", "−")
    return f"{first} to {last}, {between}"


class SeriesGrid(QWidget):
    """A row a series: its name, what is in it, and the field for its place."""

    places_changed = Signal()
    """Another place is meant for one of them."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._found: tuple[Found, ...] = ()
        self._fields: list[SearchInput] = []
        self._words: list[QLabel] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setColumnStretch(2, 1)
        # Spare height goes below the last series, not between them.
        self._grid.setRowStretch(_MOST_ROWS, 1)
        theme.changed.connect(self._dress)
        self._dress()

    @property
    def words(self) -> tuple[str, ...]:
        """What is said of each series."""
        return tuple(words.text() for words in self._words)

    @property
    def fields(self) -> tuple[SearchInput, ...]:
        """The fields of the places, one a series."""
        return tuple(self._fields)

    def tell(
        self, found: Sequence[Found], places: Sequence[PlaceRow], likely: int | None
    ) -> None:
        """Show these series; places chosen before for a name are kept."""
        before = {
            one.name: field.currentText()
            for one, field in zip(self._found, self._fields, strict=True)
        }
        self._clear()
        self._found = tuple(found)
        for row, one in enumerate(self._found):
            guess = _guess(one, places, likely if len(found) == 1 else None)
            options = tuple((place.id, place.name) for place in places)
            field = SearchInput(
                SearchField("place", "Place", options=options, value=guess, free=True)
            )
            if one.name in before:
                field.setCurrentText(before[one.name])
            field.setAccessibleName(f"Place of {one.name}")
            line = field.lineEdit()
            if line is not None:
                line.setPlaceholderText("not taken")
            name, words = plain_label(one.name), plain_label(one.words)
            name.setWordWrap(False)
            name.setBuddy(field)
            self._grid.addWidget(name, 2 * row, 0)
            self._grid.addWidget(field, 2 * row, 1)
            self._grid.addWidget(words, 2 * row + 1, 0, 1, 3)
            self._fields.append(field)
            self._words.append(words)
            field.currentTextChanged.connect(self._place_typed)
        self._dress()

    def focus_first(self) -> bool:
        """Put the keyboard on the first place missing, else the first; False: none."""
        shown = [field for field in self._fields if field.isVisible()]
        empty = [field for field in shown if not field.currentText().strip()]
        for field in (empty or shown)[:1]:
            field.setFocus()
        return bool(shown)

    def arriving(self) -> tuple[Arriving, ...]:
        """Return the series that have a place; a name not in the book is a new one."""
        return tuple(one for one in self.bound() if one is not None)

    def bound(self) -> tuple[Arriving | None, ...]:
        """Return every series as bound for its place, None where it has none."""
        answers = [field.answer() for field in self._fields]
        return tuple(
            None if place is None else one.arriving(place)
            for one, place in zip(self._found, answers, strict=True)
        )

    def tell_new(self, told: Sequence[str]) -> None:
        """Say beside each series how much of it is new to its place."""
        for one, words, new in zip(self._found, self._words, told, strict=True):
            words.setText(f"{one.words}; {new}" if new else one.words)

    def _place_typed(self) -> None:
        self.tell_new([""] * len(self._found))
        self.places_changed.emit()

    def _clear(self) -> None:
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._fields, self._words = [], []

    def _dress(self) -> None:
        look = self._theme.look
        self._grid.setHorizontalSpacing(look.px(12))
        self._grid.setVerticalSpacing(look.px(4))
        for field in self._fields:
            field.setMinimumWidth(look.px(190))


def place_named(file_name: str, places: Sequence[PlaceRow]) -> int | None:
    """Return the place a file's name speaks of: kitchen_shelf-2021 of Kitchen shelf.

    Of several named in it the longest name is meant.
    """
    said = f" {_plain(file_name)} "
    named = [place for place in places if f" {_plain(place.name)} " in said]
    return max(named, key=_letters).id if named else None


def _plain(name: str) -> str:
    return " ".join(re.findall(r"[^\W\d_]+|\d+", name.casefold()))


def _letters(place: PlaceRow) -> int:
    return len(place.name)


def _guess(one: Found, places: Sequence[PlaceRow], likely: int | None) -> int | None:
    """Return the place a series' name speaks of, else the one that is likely."""
    said = one.name.casefold()
    for place in places:
        name = place.name.casefold()
        if name in said or (len(said) >= _TELLING_LETTERS and said in name):
            return place.id
    return likely
