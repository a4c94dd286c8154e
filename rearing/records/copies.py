"""Copies of the book: made by SQLite itself, verified by opening them, rotated.

The pictures beside a book are in none of them: those files never change, and a copy in
its folder finds them. `records.pictures.copy_beside` takes them along elsewhere.
"""

from __future__ import annotations

import datetime as dt
import re
import sqlite3
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from rearing.problems import StorageTrouble
from rearing.records.engine import remove_file, told_plainly

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator
    from pathlib import Path

FOLDER = "copies"
_DAYS, _WEEKS, _MONTHS = 7, 4, 12
_DAILY = "daily"
# The day stands after the book's own name, which may hold a date too.
_NAMED = re.compile(r".* (\d{4}-\d{2}-\d{2}) \d{6} (\S+?)(\.\w+)?")


def folder_of(path: Path) -> Path:
    """Return the folder of copies beside a book."""
    return path.parent / f"{path.stem} {FOLDER}"


def copy_beside(path: Path, why: str, now: dt.datetime) -> Path:
    """Copy a book into the folder of copies beside it, verify, return the copy."""
    folder = folder_of(path)
    with _folder_told_plainly(path):
        folder.mkdir(exist_ok=True)
    into = folder / f"{path.stem} {now:%Y-%m-%d %H%M%S} {why}{path.suffix}"
    copy_to(path, into)
    return into


def copy_to(path: Path, into: Path) -> None:
    """Copy a book to a path that does not exist yet, and verify the copy."""
    if not path.is_file():
        raise StorageTrouble(f"There is no book at {path}.")
    if into.exists():
        raise StorageTrouble(f"{into.name} exists already; it was left alone.")
    unfinished = into.with_name(into.name + ".unfinished")
    try:
        with told_plainly(path.name), _folder_told_plainly(path):
            remove_file(unfinished)
            _copy_and_compare(path, unfinished)
            unfinished.rename(into)
    except BaseException:
        with _folder_told_plainly(path):
            remove_file(unfinished)
        raise


def keep_daily(path: Path, now: dt.datetime) -> Path | None:
    """Make today's copy if there is none yet, and thin out the old ones."""
    folder = folder_of(path)
    if now.date() in {_day_of(name) for name in _daily_copies(path)}:
        return None
    made = copy_beside(path, _DAILY, now)
    with _folder_told_plainly(path):
        for old in superfluous(_daily_copies(path), now.date()):
            (folder / old).unlink()
    return made


def superfluous(names: Iterable[str], today: dt.date) -> list[str]:
    """Return the daily copies not needed for 7 days, 4 weeks and 12 months.

    The newest copy of each is kept, and today's whatever the others are dated. A name
    that is not a copy's own is never returned.
    """
    dated = [(day, name) for name in names if (day := _day_of(name)) is not None]
    dated.sort(reverse=True)
    kept: set[str] = set(_newest_of_each([(d, n) for d, n in dated if d == today], 1))
    kept.update(_newest_of_each(dated, _DAYS))
    kept.update(_newest_of_each([(d.isocalendar()[:2], n) for d, n in dated], _WEEKS))
    kept.update(_newest_of_each([((d.year, d.month), n) for d, n in dated], _MONTHS))
    return [name for _, name in dated if name not in kept]


def _newest_of_each(dated: Iterable[tuple[Hashable, str]], most: int) -> list[str]:
    newest: dict[Hashable, str] = {}
    for when, name in dated:
        newest.setdefault(when, name)
    return list(newest.values())[:most]


def _daily_copies(path: Path) -> list[str]:
    folder = folder_of(path)
    if not folder.is_dir():
        return []
    names = [file.name for file in folder.iterdir() if file.is_file()]
    return [
        name
        for name in names
        if name.startswith(f"{path.stem} ") and _day_of(name) is not None
    ]


def _day_of(name: str) -> dt.date | None:
    found = _NAMED.fullmatch(name)
    if found is None or found[2] != _DAILY:
        return None
    try:
        return dt.date.fromisoformat(found[1])
    except ValueError:
        return None


def _copy_and_compare(path: Path, into: Path) -> None:
    with (
        closing(sqlite3.connect(path, isolation_level=None)) as source,
        closing(sqlite3.connect(into, isolation_level=None)) as target,
    ):
        # One view of the book for copying and comparing, whoever writes meanwhile.
        source.execute("BEGIN")
        source.execute("SELECT count(*) FROM sqlite_master").fetchone()
        source.backup(target)
        # A copy stands alone: without WAL it is one file that can be carried away.
        target.execute("PRAGMA journal_mode = DELETE")
        wrong = _differences(source, target)
    if wrong:
        raise StorageTrouble(
            f"The copy of {path.name} is not sound ({wrong}); the book was not touched."
        )


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


@contextmanager
def _folder_told_plainly(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as trouble:
        raise StorageTrouble(
            f"The folder of copies beside {path.name} can't be written: "
            f"{trouble.strerror}. The book was not touched."
        ) from trouble
