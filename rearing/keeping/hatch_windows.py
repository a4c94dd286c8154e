"""When eggs hatch, worked out once and kept while nothing it rests on has changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.terms import EggFate

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.holding import PotNow
    from rearing.keeping.season import Forecast, Forecaster
    from rearing.records.journal import Touched

_OF_LARVAE = frozenset(
    {
        *("visit", "headcount", "stage_look", "stage_count", "loss", "exit"),
        *("note", "tree", "cut", "box", "set_apart", "away", "leaf_test"),
    }
)
"""What is entered of these changes nothing about eggs."""


class HatchWindows:
    """The windows of egg pots as on one day."""

    def __init__(self) -> None:
        self._on: dt.date | None = None
        self._of_pot: dict[int, Forecast | None] = {}

    def turn_to(self, on: dt.date) -> None:
        """Forget what was worked out as on another day."""
        if on != self._on:
            self._of_pot.clear()
            self._on = on

    def forget(self, touched: Touched | None) -> None:
        """Forget what an entry may have changed; without one, everything."""
        kinds = set() if touched is None else {kind for kind, _ in touched.subjects}
        if touched is None or not kinds <= _OF_LARVAE:
            self._of_pot.clear()

    def of(self, pot: PotNow, forecaster: Forecaster) -> Forecast | None:
        """Return a pot's window; one that is hatching has its window behind it."""
        if pot.of(EggFate.HATCHED) > 0:
            return None
        if pot.row.id not in self._of_pot:
            self._of_pot[pot.row.id] = forecaster.pots([pot], until="hatch")
        return self._of_pot[pot.row.id]
