"""Temperatures read ahead for every place, so that a job needs no book."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

from rearing.keeping.warmth import Warmth
from rearing.science.heats import HeatStore

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.holding import Holding
    from rearing.records.book import Book
    from rearing.records.rows import StayRow
    from rearing.sheets.shelf import SheetShelf


class ReadyWarmth(Warmth):
    """The temperatures of all places as on a day; nothing is read after it is made."""

    def __init__(self, book: Book, shelf: SheetShelf, held: Holding) -> None:
        super().__init__(book, shelf, held)
        self._supposes = False
        for place_id in held.places:
            self.hours(place_id)
            self.now_c(place_id)
        self.lessons.prepare()
        # Let go of, not merely left alone: a job in another thread must not read it.
        del self._book

    def supposing(self) -> ReadyWarmth:
        """Return the same, believing moves that are still to come."""
        other = copy(self)
        other._supposes = True
        # What is only supposed is let go of with it.
        other.heats = HeatStore()
        return other

    def _until_now(self, stays: Iterable[StayRow]) -> list[StayRow]:
        return list(stays) if self._supposes else super()._until_now(stays)
