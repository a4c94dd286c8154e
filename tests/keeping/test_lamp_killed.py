"""The power cut at any key of a lamp night: what was echoed is in the book."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping import lamp
from rearing.keeping.lamp_counting import open_check_of
from rearing.keeping.lamp_tally import tally
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import ArrivalRow, CheckRow, LampNightRow
from tests.keeping import lamp_until_killed
from tests.keeping.lamp_until_killed import KEYS_A_CHECK, NOW
from tests.kills import kill_often

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

KILLS = 210
LOOK_EVERY = 15


def test_two_hundred_cuts_lose_nothing_that_was_echoed(tmp_path: Path) -> None:
    path = tmp_path / "lamp.rearing"
    night_id = make(path)

    def check(echoed: set[int], kill: int) -> int:
        return _check(path, night_id, echoed, deep=kill % LOOK_EVERY == 0)

    kill_often(lamp_until_killed, (path, night_id), check, kills=KILLS, seed=20210528)


def make(path: Path) -> int:
    with Book.make(path) as book:
        entry = Entry(NOW, "N. K.")
        site = lamp.add_site(
            book, entry, name="Terrace", latitude=45.5, longitude=13.9, zone="UTC"
        ).new_id
        return lamp.record_night(
            book, entry, site_id=site, evening=NOW.date(), lamp="125 W MV"
        ).new_id


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
