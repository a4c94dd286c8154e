"""The last good answers, kept in small files beside the keeper's data.

What takes seconds to work out is shown again at once as of when it was worked out.
A file is read only by the very form of the program that wrote it, about the very book.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import dataclass, fields, is_dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any, Generic, TypeVar

import numpy as np

from rearing import __version__
from rearing.records.schema import VERSION

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from rearing.records.book import Book

T = TypeVar("T")

FOLDER = "last"
MOST_FILES = 40
"""Older ones are removed."""

_KIND, _DAY, _MOMENT, _WORD, _PAIRS, _NO_END = "=", "day", "at", "word", "of", "inf"
_UNREADABLE = (OSError, ValueError, TypeError, LookupError, AttributeError)


@dataclass(frozen=True, slots=True)
class Kept(Generic[T]):
    """An answer, when it was worked out, and the last change it knew of."""

    answer: T
    made_at: dt.datetime
    change: int


class LastGood:
    """Keeps answers made of some dataclasses and words, one file a book and day."""

    def __init__(self, folder: Path, name: str, kinds: Iterable[type[Any]]) -> None:
        self._folder = folder / FOLDER
        self._name = name
        self._kinds: Mapping[str, type[Any]] = {kind.__name__: kind for kind in kinds}
        self._form = _form_of(self._kinds)

    def path(self, book: Book, on: dt.date) -> Path:
        """Return where the answer about a book as on a day lies."""
        return self._folder / f"{self._name}-{_own_mark(book)}-{on.isoformat()}.json"

    def keep(
        self, book: Book, on: dt.date, answer: object, made_at: dt.datetime, change: int
    ) -> None:
        """Write an answer; where that can't be, nothing is lost but a second."""
        told = {
            "form": self._form,
            "on": on.isoformat(),
            "made": made_at.isoformat(),
            "change": change,
            "answer": self._told(answer),
        }
        path = self.path(book, on)
        unfinished = path.with_suffix(".unfinished")
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            unfinished.write_text(json.dumps(told), encoding="utf-8")
            unfinished.replace(path)
            self._tidy()
        except OSError:
            return

    def read(self, book: Book, on: dt.date) -> Kept[Any] | None:
        """Return what was kept; None without, or where another form wrote it."""
        try:
            told = json.loads(self.path(book, on).read_text(encoding="utf-8"))
            if told["form"] != self._form or told["on"] != on.isoformat():
                return None
            made_at = dt.datetime.fromisoformat(told["made"])
            return Kept(self._read(told["answer"]), made_at, int(told["change"]))
        except _UNREADABLE:
            return None

    def _tidy(self) -> None:
        kept = sorted(self._folder.glob("*.json"), key=_changed_at, reverse=True)
        for old in kept[MOST_FILES:]:
            old.unlink(missing_ok=True)

    # what JSON has no word for is a mapping with its kind

    def _told(self, value: object) -> object:  # noqa: PLR0911 - one a kind of value
        if isinstance(value, np.generic):
            value = value.item()
        if isinstance(value, StrEnum):
            return {_KIND: _WORD, "v": [type(value).__name__, value.value]}
        if isinstance(value, float) and value in {float("inf"), float("-inf")}:
            return {_KIND: _NO_END, "v": value > 0}
        if value is None or isinstance(value, str | int | float):
            return value
        if isinstance(value, dt.datetime):
            return {_KIND: _MOMENT, "v": value.isoformat()}
        if isinstance(value, dt.date):
            return {_KIND: _DAY, "v": value.isoformat()}
        if isinstance(value, tuple | list):
            return [self._told(one) for one in value]
        if isinstance(value, dict):
            pairs = [[self._told(key), self._told(one)] for key, one in value.items()]
            return {_KIND: _PAIRS, "v": pairs}
        name = type(value).__name__
        if self._kinds.get(name) is not type(value) or not is_dataclass(value):
            raise TypeError(f"{name} can't be kept")
        return {_KIND: name} | {
            field.name: self._told(getattr(value, field.name))
            for field in fields(value)
        }

    def _read(self, told: Any) -> Any:  # noqa: PLR0911 - one a kind of value
        if isinstance(told, list):
            return tuple(self._read(one) for one in told)
        if not isinstance(told, dict):
            return told
        kind = told[_KIND]
        if kind == _DAY:
            return dt.date.fromisoformat(told["v"])
        if kind == _MOMENT:
            return dt.datetime.fromisoformat(told["v"])
        if kind == _NO_END:
            return float("inf") if told["v"] else float("-inf")
        if kind == _WORD:
            name, value = told["v"]
            return self._kinds[name](value)
        if kind == _PAIRS:
            return {self._read(key): self._read(one) for key, one in told["v"]}
        own = {key: self._read(one) for key, one in told.items() if key != _KIND}
        return self._kinds[kind](**own)


def last_change(book: Book) -> int:
    """Return the number of the latest line of a book's journal; 0 without one."""
    return next((line.id for line in book.journal(most=1)), 0)


def _own_mark(book: Book) -> str:
    """Return a short word for a book: where it lies, and how its journal began."""
    with book.reading() as connection:
        first = connection.exec_driver_sql(
            'SELECT "at", sentence FROM change ORDER BY id LIMIT 1'
        ).first()
    begun = "" if first is None else f"{first[0]} {first[1]}"
    whole = f"{book.path.resolve()}\n{begun}"
    return hashlib.sha256(whole.encode()).hexdigest()[:16]


def _form_of(kinds: Mapping[str, type[Any]]) -> str:
    """Return a word that differs for every other form of the program."""
    parts = [__version__, str(VERSION)]
    for name in sorted(kinds):
        kind = kinds[name]
        own = fields(kind) if is_dataclass(kind) else ()
        parts.append(f"{name} {' '.join(f'{x.name}:{x.type}' for x in own)}")
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:16]


def _changed_at(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0
