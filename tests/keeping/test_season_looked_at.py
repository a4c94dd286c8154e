"""What looks say of events that were due; every number here is invented."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from rearing.keeping import (
    boxes,
    care,
    eggs,
    facts,
    housing,
    lamp,
    mothers,
    places,
)
from rearing.keeping.season import season
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import PlaceRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Visit

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.keeping.season import Forecast, Window

ZONE = ZoneInfo("Europe/Ljubljana")
LAID = dt.date(2021, 5, 1)
DAY = dt.timedelta(days=1)


def entry(day: dt.date) -> Entry:
    return Entry(dt.datetime.combine(day, dt.time(21), ZONE), "Vida")


@pytest.fixture
def pot(tmp_path: Path) -> Iterator[tuple[Book, int]]:
    """Eggs of one night on a shelf at 20°."""
    with Book.make(tmp_path / "eggs.rearing") as book:
        facts.set_home(book, entry(LAID), name="Home", zone_name=str(ZONE))
        site = lamp.add_site(
            book, entry(LAID), name="Site", latitude=45.5, longitude=13.9, zone=ZONE.key
        )
        shelf = places.add_place(book, entry(LAID), name="Shelf", set_point_c=20)
        night = lamp.record_night(
            book, entry(LAID), site_id=site.new_id, evening=LAID, lamp="actinic"
        )
        female = mothers.keep_female(
            book, entry(LAID), night_id=night.new_id, taxon="Saturnia pyri"
        )
        laid = eggs.record_eggs(
            book,
            entry(LAID),
            parents=eggs.Parents(female.new_id),
            evening=LAID,
            number=60,
            pot=eggs.Pot(place_id=shelf.new_id),
        )
        pot_id = next(i for kind, i in laid.subjects if kind == "egg_pot")
        yield book, pot_id


def told(book: Book, on: dt.date) -> Forecast:
    (found,) = season(book, load_all(), on)
    return found


def hatch(book: Book, on: dt.date) -> Window:
    window = told(book, on).window("hatch")
    assert window is not None
    return window


def look(book: Book, pot_id: int, on: dt.date) -> None:
    care.visit(book, entry(on), what=Visit.LOOKED, when=boxes.When(on), pot_id=pot_id)


def test_eggs_looked_at_within_their_window_hatch_after_the_look(
    pot: tuple[Book, int],
) -> None:
    book, pot_id = pot
    before = hatch(book, LAID)
    assert before.first is not None
    day = before.first.middle.date()
    unseen = hatch(book, day)
    look(book, pot_id, day)
    seen = hatch(book, day)
    assert unseen.first is not None
    assert seen.first is not None
    assert seen.first.low.date() >= day > unseen.first.low.date()
    assert told(book, day).overdue == ()


def test_eggs_of_which_all_were_due_are_overdue_however_often_looked_at(
    pot: tuple[Book, int],
) -> None:
    book, pot_id = pot
    last = hatch(book, LAID).last
    assert last is not None
    for days in range(-4, 4):
        look(book, pot_id, last.high.date() + days * DAY)
    after = last.high.date() + 4 * DAY
    (late,) = told(book, after).overdue
    assert (late.event, late.by, late.reached) == ("hatch", last.high.date(), 0)
    assert late.words.startswith("Hatch expected by ")
    assert late.words.endswith("; nothing seen")
    assert late.words in told(book, after).assumption


def test_larvae_nobody_looked_at_are_told_as_expected_not_as_to_come(
    pot: tuple[Book, int],
) -> None:
    book, pot_id = pot
    day = dt.date(2021, 5, 15)
    shelf = book.all(PlaceRow)[-1]
    housing.put_on_leaf(
        book,
        entry(day),
        pot_id=pot_id,
        number=60,
        into=housing.Into(new=housing.NewBox(BoxKind.BOX, shelf.id)),
        when=boxes.When(day),
        hatch=housing.Hatch(day),
    )
    found = told(book, dt.date(2021, 6, 30))
    assert [one.event for one in found.overdue][:2] == ["L2", "L3"]
    assert all(one.by < dt.date(2021, 6, 30) for one in found.overdue)
    events = {window.event for window in found.windows}
    assert not events & {one.event for one in found.overdue}
