"""What the season page does off the window's thread: read, work out, suppose."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.last_good import last_change
from rearing.keeping.season_facts import season_facts
from rearing.keeping.season_rows import season_view, seen_view, suppose
from rearing.records.book import Book

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from rearing.desk.tasks import Token
    from rearing.keeping.season_facts import SeasonFacts
    from rearing.keeping.season_rows import Ribbon, SeasonView
    from rearing.sheets.shelf import SheetShelf


@dataclass(frozen=True, slots=True)
class Read:
    """What was read, what was seen alone, and the last change that is in it."""

    facts: SeasonFacts
    seen: SeasonView
    change: int


class ReadJob:
    """Reads the season, with a book of its own."""

    def __init__(self, path: Path, shelf: SheetShelf, on: dt.date) -> None:
        self._path, self._shelf, self._on = path, shelf, on

    def read(self) -> Read:
        """Read what the season is drawn from."""
        with Book.open(self._path) as book:
            change = last_change(book)
            facts = season_facts(book, self._shelf, self._on)
        return Read(facts, seen_view(facts, self._shelf), change)


class SeasonJob:
    """Works the windows out, from what was read; knows no book."""

    def __init__(
        self, facts: SeasonFacts, shelf: SheetShelf, token: Token | None
    ) -> None:
        self._facts, self._shelf, self._token = facts, shelf, token

    def view(self) -> SeasonView:
        """Return the season with its windows; once cancelled, not all of them."""
        if self._token is None:
            return season_view(self._facts, self._shelf)
        return season_view(self._facts, self._shelf, self._token.cancelled)


class SupposeJob:
    """Works out where a brood's windows would lie elsewhere."""

    def __init__(
        self,
        facts: SeasonFacts,
        shelf: SheetShelf,
        brood_id: int,
        named: tuple[int, dt.datetime],
    ) -> None:
        self._facts, self._shelf = facts, shelf
        self._brood_id, self._named = brood_id, named

    def ribbon(self) -> Ribbon | None:
        """Return the ribbon as it would be."""
        place_id, at = self._named
        return suppose(
            self._facts, self._shelf, self._brood_id, place_id=place_id, at=at
        )
