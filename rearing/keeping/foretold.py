"""Windows worked out before, kept by all that they rest on."""

from __future__ import annotations

from functools import lru_cache
from hashlib import blake2b
from threading import Lock
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import numpy as np

from rearing.keeping.sharpened import sharpened_windows
from rearing.science.cohort import events

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rearing.keeping.sharpened import Asked
    from rearing.keeping.sightings import Sighted
    from rearing.records.book import Book
    from rearing.science.heats import HeatStore
    from rearing.science.stages import EventWindow, StageHeat

MOST = 1000
"""So many are kept of a book, a few kilobytes each: a large collection's for days."""

_OF_BOOK: WeakKeyDictionary[Book, Foretold] = WeakKeyDictionary()


def foretold_of(book: Book) -> Foretold:
    """Return what was worked out before of an open book."""
    known = _OF_BOOK.get(book)
    if known is None:
        known = _OF_BOOK[book] = Foretold()
    return known


class Foretold:
    """Windows by a mark of their animals, looks, temperatures and chance.

    The pages ask for the same windows, and an entry changes those of one brood, mostly
    of none. Nothing has to be forgotten when something is entered: what a window rests
    on has another mark then. Threads may share it; at worst one works out again what
    the other does.
    """

    def __init__(self) -> None:
        self._known: dict[bytes, tuple[EventWindow, ...]] = {}
        self._lock = Lock()

    def __len__(self) -> int:
        return len(self._known)

    def windows(
        self,
        asked: Asked,
        sighted: Sighted | None,
        seed: tuple[int, int],
        store: HeatStore,
    ) -> tuple[EventWindow, ...]:
        """Return the windows of animals, worked out where nobody asked before."""
        mark = _mark(asked, sighted, seed, store)
        whole = self._known.get(mark)
        if whole is not None:
            # Windows do not depend on how much further was asked.
            asked_for = _up_to(asked)
            return tuple(one for one in whole if one.event in asked_for)
        key = mark + str(asked.until or "").encode()
        found = self._known.get(key)
        if found is None:
            # Seeded from the record, so that a forecast does not flicker when reopened.
            rng = np.random.default_rng(seed)
            found = sharpened_windows(asked, sighted, rng, store)
            self._keep(key, found)
        return found

    def _keep(self, key: bytes, found: tuple[EventWindow, ...]) -> None:
        with self._lock:
            self._known[key] = found
            while len(self._known) > MOST:
                del self._known[next(iter(self._known))]


def _up_to(asked: Asked) -> tuple[str, ...]:
    names = events(asked.stages)
    last = len(names) if asked.until is None else 1 + names.index(asked.until)
    return names[:last]


def _mark(
    asked: Asked, sighted: Sighted | None, seed: tuple[int, int], store: HeatStore
) -> bytes:
    """Return a short mark of all that windows rest on but how far is asked."""
    whole = blake2b(digest_size=16)
    whole.update(_in_bytes(tuple(asked.stages)))
    for part in _parts(asked, sighted, seed):
        whole.update(repr(part).encode())
    track, learnt = asked.track, asked.learnt
    futures = None if track.futures is None else store.mark(track.futures)
    whole.update(repr((store.mark(track.celsius), futures)).encode())
    if learnt is not None:
        whole.update(learnt.mean.tobytes())
        whole.update(learnt.cov.tobytes())
    return whole.digest()


@lru_cache(maxsize=256)
def _in_bytes(stages: tuple[StageHeat, ...]) -> bytes:
    """Return all that is believed of stages, which groups of a species share."""
    return repr(stages).encode()


def _parts(
    asked: Asked, sighted: Sighted | None, seed: tuple[int, int]
) -> Iterator[object]:
    yield asked.starts
    yield asked.on_s, asked.unhatched_s, asked.track.start_s, seed
    if sighted is not None:
        yield sighted.starts
        yield sighted.seen
        yield sighted.number, sighted.left_at, sighted.is_told_to_the_end
