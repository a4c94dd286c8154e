"""Copies of the book: made by SQLite itself, verified by opening them, rotated."""

from __future__ import annotations

import datetime as dt
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

from rearing.problems import StorageTrouble
from rearing.records.engine import told_plainly

if TYPE_CHECKING:
    from pathlib import Path

FOLDER = "copies"
_DAYS, _WEEKS, _MONTHS = 7, 4, 12


def copy_beside(path: Path, why: str, now: dt.datetime) -> Path:
    """Copy a book into the folder of copies beside it, verify, return the copy."""
    folder = path.parent / f"{path.stem} {FOLDER}"
    with told_plainly(path.name):
        folder.mkdir(exist_ok=True)
        into = folder / f"{path.stem} {now:%Y-%m-%d %H%M%S} {why}{path.suffix}"
        copy_to(path, into)
    return into


def copy_to(path: Path, into: Path) -> None:
    """Copy a book to a path that does not exist yet, and verify the copy."""
    if into.exists():
        raise StorageTrouble(f"{into.name} exists already; it was left alone.")
    unfinished = into.with_name(into.name + ".unfinished")
    unfinished.unlink(missing_ok=True)
    with (
        closing(sqlite3.connect(path)) as source,
        closing(sqlite3.connect(unfinished)) as target,
    ):
        source.backup(target)
        # A copy stands alone: without WAL it is one file that can be carried away.
        target.execute("PRAGMA journal_mode = DELETE")
        wrong = _differences(source, target)
    if wrong:
        unfinished.unlink()
        raise StorageTrouble(
            f"The copy of {path.name} is not sound ({wrong}); the book was not touched."
        )
    unfinished.rename(into)


def keep_daily(path: Path, now: dt.datetime) -> Path | None:
    """Make today's copy if there is none yet, and thin out the old ones."""
    folder = path.parent / f"{path.stem} {FOLDER}"
    if folder.is_dir() and any(folder.glob(f"{path.stem} {now:%Y-%m-%d} * daily*")):
        return None
    made = copy_beside(path, "daily", now)
    for old in superfluous([p.name for p in folder.glob("* daily*")], now.date()):
        (folder / old).unlink()
    return made


def superfluous(names: list[str], today: dt.date) -> list[str]:
    """Return the daily copies not needed for 7 days, 4 weeks and 12 months."""
    dated = sorted(((_day_in(name), name) for name in names), reverse=True)
    kept: set[str] = set()
    weeks: set[tuple[int, int]] = set()
    months: set[tuple[int, int]] = set()
    for day, name in dated:
        week = day.isocalendar()[:2]
        month = (day.year, day.month)
        if (today - day).days < _DAYS:
            kept.add(name)
        if week not in weeks and len(weeks) < _WEEKS:
            weeks.add(week)
            kept.add(name)
        if month not in months and len(months) < _MONTHS:
            months.add(month)
            kept.add(name)
    return [name for _, name in dated if name not in kept]


def _day_in(name: str) -> dt.date:
    for word in name.split():
        try:
            return dt.date.fromisoformat(word)
        except ValueError:
            continue
    return dt.date.min


def _differences(source: sqlite3.Connection, target: sqlite3.Connection) -> str:
    sound = target.execute("PRAGMA integrity_check").fetchone()[0]
    if sound != "ok":
        return str(sound)
    names = source.execute(
        "SELECT name FROM sqlite_master"
        " WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
    ).fetchall()
    for (name,) in names:
        count = f'SELECT count(*) FROM "{name}"'
        if source.execute(count).fetchone() != target.execute(count).fetchone():
            return f"the number of lines of {name} differs"
    return ""
