"""Books in which nothing is entered yet but home, places, trees, air, and one female.

Home, places, trees and temperatures are those of the sample season, all invented; what
befalls the trees during a story is left for the story to enter.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rearing.records.book import Book
from sample_db.making import book as making
from sample_db.making.home_acts import home_acts
from sample_db.making.loggers import Loggers
from sample_db.making.night_acts import night_acts
from sample_db.making.scribe import Scribe, enter_all
from sample_db.making.weather import hours_between, temperatures

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_LEFT_TO_THE_STORY = ("closed", "tests", "notes")


def begin_book(path: Path, mother: str, *, year: int) -> None:
    """Write a book that ends with a wild female in her bag."""
    told = _home()
    home = told["home"]
    with tempfile.TemporaryDirectory() as folder, Book.make(path) as book:
        making._hurry(book)
        scribe = Scribe(book, zone_name=home["zone"], who=home["keeper"])
        clock = hours_between(making.FIRST_DAY, making.LAST_DAY, home["zone"])
        celsius = temperatures(making.SEASON / "weather.toml", clock, making.SEED)
        loggers = Loggers(making._read("loggers"), clock, celsius, Path(folder))
        acts = [*home_acts(scribe, told), *loggers.acts(scribe)]
        acts += night_acts(scribe, _night_of(mother, year))
        enter_all(scribe, acts)


def _home() -> dict[str, Any]:
    told = making._read("home")
    told["home"] = {k: v for k, v in told["home"].items() if k != "as_on"}
    told["home"]["as_on"] = None
    told["cut"] = []
    for tree in told["tree"]:
        for key in _LEFT_TO_THE_STORY:
            tree.pop(key, None)
    return told


def _night_of(mother: str, year: int) -> Mapping[str, Any]:
    """Return the night she was kept in, without whoever else was."""
    for night in making._read(f"nights-{year}")["night"]:
        kept = [one for one in night.get("kept", []) if one["code"] == mother]
        if kept:
            return {**night, "kept": kept}
    raise KeyError(mother)


def evenings(first: dt.date, last: dt.date) -> Iterator[dt.date]:
    """Return each day from the first to the last."""
    for day in range((last - first).days + 1):
        yield first + dt.timedelta(days=day)
