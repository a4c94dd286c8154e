"""A small invented book for the tests of the verbs, and a picture of all it holds."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from rearing.keeping import boxes, eggs, facts, lamp, mothers, places
from rearing.records import rows
from rearing.records.journal import Entry
from rearing.terms import BoxKind, EggFate, Sex

if TYPE_CHECKING:
    from rearing.records.book import Book

ZONE = ZoneInfo("Europe/Ljubljana")
KEPT = tuple(
    kind for name in rows.__all__ if (kind := getattr(rows, name)) is not rows.Row
)


def at(month: int, day: int, hour: int = 20, minute: int = 0) -> dt.datetime:
    return dt.datetime(2021, month, day, hour, minute, tzinfo=ZONE)


def on(month: int, day: int) -> dt.date:
    return dt.date(2021, month, day)


LATER = Entry(at(7, 20), "N. K.")


def entry(day: int) -> Entry:
    """Return an entry made on the evening of a day in June."""
    return Entry(at(6, day), "N. K.")


def when(month: int, day: int, hour: int | None = None) -> boxes.When:
    return boxes.When(on(month, day), None if hour is None else at(month, day, hour))


@dataclass(frozen=True, slots=True)
class Ids:
    """What the book holds: 41 eggs of 28 May, 35 hatched 11 June, 30 of them in A."""

    site: int
    shelf: int
    hall: int
    night: int
    check: int
    arrival: int
    moth: int
    brood: int
    laying: int
    pot: int
    box: int


def fill(book: Book) -> Ids:
    """Write one female, her first eggs and her first box."""
    e = Entry(at(6, 11), "N. K.")
    facts.set_home(book, e, name="Hiša", zone_name="Europe/Ljubljana")
    site = lamp.add_site(
        book,
        e,
        name="Terrace",
        latitude=45.5,
        longitude=13.9,
        zone="Europe/Ljubljana",
    ).new_id
    shelf = places.add_place(book, e, name="Kitchen shelf", set_point_c=20).new_id
    hall = places.add_place(book, e, name="Hall shelf").new_id
    times = lamp.LampTimes(at(5, 28, 21, 30), at(5, 29, 2, 0))
    night = lamp.record_night(
        book, e, site_id=site, evening=on(5, 28), lamp="125 W MV", times=times
    ).new_id
    check = lamp.record_check(book, e, night_id=night, at=at(5, 29, 0, 45)).new_id
    arrival = lamp.record_arrival(
        book, e, check_id=check, taxon="Saturnia pyri", sex=Sex.FEMALE, number=2
    ).new_id
    moth = mothers.keep_female(
        book, e, night_id=night, arrival_id=arrival, taxon="Saturnia pyri"
    ).new_id
    laying = eggs.record_eggs(
        book,
        e,
        parents=eggs.Parents(moth),
        evening=on(5, 28),
        number=41,
        pot=eggs.Pot(place_id=shelf),
    ).new_id
    pot = book.one(rows.LayingRow, laying).pot_id
    brood = book.one(rows.LayingRow, laying).brood_id
    eggs.record_fate(book, e, pot_id=pot, fate=EggFate.HATCHED, number=35, on=on(6, 11))
    box = boxes.open_box(
        book, e, brood_id=brood, kind=BoxKind.BOX, place_id=hall, when=when(6, 11)
    ).new_id
    boxes.move_animals(
        book,
        e,
        origin=boxes.Origin(pot_id=pot),
        to_box_id=box,
        number=30,
        when=when(6, 11),
    )
    return Ids(site, shelf, hall, night, check, arrival, moth, brood, laying, pot, box)


def picture(book: Book) -> dict[str, tuple[object, ...]]:
    """Return every row of the book but the journal's, for comparing."""
    return {kind.__name__: book.all(kind) for kind in KEPT}


def said(book: Book) -> str:
    """Return the last sentence of the journal."""
    return book.journal(most=1)[0].sentence


def second_box(
    book: Book, ids: Ids, number: int = 5, *, place_id: int | None = None
) -> int:
    """Return a box of the brood with some out of A, from 12 June."""
    new = boxes.open_box(
        book,
        entry(12),
        brood_id=ids.brood,
        kind=BoxKind.BOX,
        place_id=ids.hall if place_id is None else place_id,
        when=when(6, 12),
    ).new_id
    boxes.move_animals(
        book,
        entry(12),
        origin=boxes.Origin(box_id=ids.box),
        to_box_id=new,
        number=number,
        when=when(6, 12),
    )
    return new
