"""The sample book, written from its sources in the order in which things happened."""

from __future__ import annotations

import datetime as dt
import sqlite3
import tempfile
import tomllib
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rearing.records.book import Book
from sample_db.making.brood_acts import brood_acts
from sample_db.making.evenings import Absences, visits_of
from sample_db.making.home_acts import home_acts
from sample_db.making.loggers import Loggers
from sample_db.making.night_acts import let_moth_go, night_acts
from sample_db.making.scribe import Act, Scribe, enter_all
from sample_db.making.weather import hours_between, temperatures

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

SEASON = Path(__file__).parents[1] / "season"
BOOK = Path(__file__).parents[1] / "hisa-na-robu.rearing"

FIRST_DAY, LAST_DAY = dt.date(2020, 5, 10), dt.date(2021, 8, 31)
SEED = 20210612


def build(into: Path) -> int:
    """Write the sample book to a path that does not exist yet; return its entries."""
    home = _read("home")
    with tempfile.TemporaryDirectory() as folder, Book.make(into) as book:
        _hurry(book)
        scribe = Scribe(
            book, zone_name=home["home"]["zone"], who=home["home"]["keeper"]
        )
        entries = enter_all(scribe, season_acts(scribe, home, Path(folder)))
    tighten(into)
    return entries


def season_acts(scribe: Scribe, home: Mapping[str, Any], folder: Path) -> Iterator[Act]:
    """Return every entry of the season, in the order of the sources."""
    absences = Absences(frozenset(home["no_round"]))
    yield from home_acts(scribe, home)
    clock = hours_between(FIRST_DAY, LAST_DAY, home["home"]["zone"])
    celsius = temperatures(SEASON / "weather.toml", clock, SEED)
    yield from Loggers(_read("loggers"), clock, celsius, folder).acts(scribe)
    for year in ("2020", "2021"):
        for night in _read(f"nights-{year}")["night"]:
            yield from night_acts(scribe, night)
    for source in sorted(SEASON.glob("B*.toml")):
        told = _read(source.stem)
        visits = [*told.get("visits", []), *visits_of(told.pop("care", []), absences)]
        yield from brood_acts(scribe, {**told, "visits": visits})
    for went in _read("moths")["went"]:
        at = scribe.moment(went["on"], dt.time(21, 30))
        moth = went.pop("moth")
        yield Act(at, 0, partial(let_moth_go, scribe, moth, went))


def _hurry(book: Book) -> None:
    """Don't wait for the disk at each of thousands of entries: it can be built again.

    A verb may read while it writes, so two connections are in use.
    """
    connections = [book.engine.raw_connection() for _ in range(2)]
    for connection in connections:
        connection.cursor().execute("PRAGMA synchronous = OFF")
    for connection in connections:
        connection.close()


def tighten(path: Path) -> None:
    """Make one small file of a finished book: its log written back, no gaps."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("VACUUM")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _read(name: str) -> dict[str, Any]:
    path = SEASON / f"{name}.toml"
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"{path.name}: {error}") from error
