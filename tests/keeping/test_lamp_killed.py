"""The power cut at any key of a lamp night: what was echoed is in the book."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import rearing
from rearing.keeping import lamp
from rearing.keeping.lamp_counting import open_check_of
from rearing.keeping.lamp_tally import tally
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import ArrivalRow, CheckRow, LampNightRow
from tests.keeping import lamp_until_killed
from tests.keeping.lamp_until_killed import KEYS_A_CHECK, NOW

if TYPE_CHECKING:
    from collections.abc import Iterable

KILLS = 210
LOOK_EVERY = 15


def test_two_hundred_cuts_lose_nothing_that_was_echoed(tmp_path: Path) -> None:
    path = tmp_path / "lamp.rearing"
    night_id = make(path)
    rng = random.Random(20210528)
    echoed: set[int] = set()
    written = lives_with_keys = 0
    longest_s = 0.1
    with _keepers() as keepers:
        for kill in range(KILLS):
            life_s = rng.uniform(0.0, longest_s)
            seen = _one_life(keepers, f"{path}\t{night_id}\t{written}\t{life_s}\n")
            lives_with_keys += bool(seen)
            # long enough for a key or two, on a busy machine too
            longest_s *= 0.8 if len(seen) > 4 else 1.25
            longest_s = min(longest_s, 1.0)
            echoed |= seen
            written = _check(path, night_id, echoed, deep=kill % LOOK_EVERY == 0)

    assert lives_with_keys >= KILLS // 4
    assert written >= len(echoed)


def make(path: Path) -> int:
    with Book.make(path) as book:
        entry = Entry(NOW, "N. K.")
        site = lamp.add_site(
            book, entry, name="Terrace", latitude=45.5, longitude=13.9, zone="UTC"
        ).new_id
        return lamp.record_night(
            book, entry, site_id=site, evening=NOW.date(), lamp="125 W MV"
        ).new_id


def _keepers() -> subprocess.Popen[str]:
    root = str(Path(rearing.__file__).parents[1])
    return subprocess.Popen(
        [sys.executable, lamp_until_killed.__file__],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": root},
    )


def _one_life(keepers: subprocess.Popen[str], order: str) -> set[int]:
    """Have one keeper count and be cut off, and return what was echoed."""
    assert keepers.stdin is not None
    assert keepers.stdout is not None
    keepers.stdin.write(order)
    keepers.stdin.flush()
    seen: set[int] = set()
    for line in keepers.stdout:
        if not line.strip().isdigit():
            assert line == "killed 9\n"
            return seen
        seen.add(int(line))
    raise AssertionError("the keepers' own process ended")


def _check(path: Path, night_id: int, echoed: set[int], *, deep: bool) -> int:
    """Check the book as the cut left it; return how many keys are in it."""
    with Book.open(path) as book:
        if deep:
            assert book.unsound() == ()
        numbers = [int(row.taxon) for row in book.all(ArrivalRow)]
        assert echoed <= set(numbers)
        # whole keys in turn: none is lost, doubled or half there
        assert numbers == list(range(len(numbers)))
        night = tally(book, night_id, NOW.date())
        assert night.moths == len(numbers)
        _check_checks(book, night_id, [one.moths for one in night.checks])
    return len(numbers)


def _check_checks(book: Book, night_id: int, moths: Iterable[int]) -> None:
    """The open check is the last, and no key went to a check that was closed."""
    night = book.one(LampNightRow, night_id)
    checks = book.all(CheckRow)
    assert open_check_of(book, night) in {None, *(one.id for one in checks[-1:])}
    # a cut between the key and the close leaves a check open for the next life
    assert all(one and one % KEYS_A_CHECK == 0 for one in list(moths)[:-1])
