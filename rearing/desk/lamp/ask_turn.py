"""Turning to another lamp or night, and to what can be printed of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from rearing.desk.lamp.ask_clock import options
from rearing.desk.lamp.lamp_ask import Said, Step
from rearing.keeping.moments import day_words, evening_of
from rearing.keeping.nights import lamp_hours
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import LampNightRow, SiteRow

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.lamp.lamp_ask import LampAsk
    from rearing.desk.lamp.lamp_hand import Hand

_SHOWN = 9


class TurnAsks(QObject):
    """Asks which, and turns to it."""

    def __init__(self, hand: Hand, line: LampAsk, told: Callable[[], object]) -> None:
        super().__init__(line)
        self._hand = hand
        self._ask = line
        self._told = told

    def turn(self) -> None:
        """Ask for another lamp of tonight, a night before, or one from paper."""
        hand = self._hand
        book = hand.session.book
        sites = {site.id: site.name for site in book.all(SiteRow)}
        tonight = evening_of(hand.session.now())
        latest = (t.LampNight.evening.desc(), t.LampNight.id.desc())
        rows = book.all(
            LampNightRow,
            t.LampNight.evening <= tonight,
            t.LampNight.evening >= tonight.replace(year=tonight.year - 1, day=1),
            order=latest,
        )[:_SHOWN]
        told: list[tuple[str, object]] = [("a lamp tonight", "new")]
        told.append(("a night from paper", "past"))
        for row in rows:
            station = f" {row.station}" if row.station else ""
            burns = "" if lamp_hours(row, ()) is not None else ", not out"
            name = f"{day_words(row.evening)} {sites[row.site_id]}{station}{burns}"
            told.append((name, row.id))
        step = Step("night", "Turn to", options=options(told))
        self._ask.ask("Another night", (step,), self._turned)

    def _turned(self, said: Said) -> None:
        from rearing.desk.lamp.ask_light import LightAsks

        night = said.get("night")
        if isinstance(night, int):
            self._hand.choose(night)
            self._told()
        else:
            asks = LightAsks(self._hand, self._ask, self._told)
            asks.light(past=night == "past")

    # printing

    def print_what(self) -> None:
        """Ask what is printed."""
        told: list[tuple[str, object]] = [("labels of this night's females", "labels")]
        told.append(("a field sheet for a wet night", "sheet"))
        step = Step("what", "Print", options=options(told))
        self._ask.ask("On paper", (step,), self._printed)

    def _printed(self, said: Said) -> None:
        if said.get("what") == "labels":
            self.print_labels()
        else:
            self.print_sheet()

    def print_labels(self) -> None:
        """Print the labels of the females kept in this night."""
        from rearing.desk.lamp.paper import LabelPages, ask_printer, labels_of

        night = self._hand.need()
        if not night.kept:
            raise Refusal("No female of this night is kept yet: K keeps one.")
        ask_printer(self._ask.window(), LabelPages(labels_of(night)))

    def print_sheet(self) -> None:
        """Print the sheet that is filled by pencil when it is too wet for a screen."""
        from rearing.desk.lamp.paper import FieldSheetPage, ask_printer

        hand = self._hand
        keys = tuple(name for name in hand.keys if name)
        ask_printer(self._ask.window(), FieldSheetPage(keys))
