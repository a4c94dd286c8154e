"""A small season written through the verbs, in the stories' invented scenario."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from rearing.keeping import boxes, care, eggs, facts, lamp, mothers, places
from rearing.keeping.boxes import Origin, When
from rearing.keeping.care import Leaf, Lost, Seen
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import EggPotRow
from rearing.terms import BoxKind, Cause, EggFate, Sex, Stage, Visit

if TYPE_CHECKING:
    from pathlib import Path

HOME = ZoneInfo("Europe/Ljubljana")
AS_ON = dt.date(2021, 6, 12)


def entry(month: int, day: int, hour: int = 20) -> Entry:
    return Entry(dt.datetime(2021, month, day, hour, tzinfo=HOME))


def make_season(path: Path, *, as_on: dt.date | None = AS_ON) -> None:
    """Write a book with two broods: eggs in four pots, larvae in four boxes."""
    with Book.make(path) as book:
        facts.set_home(
            book,
            entry(5, 1),
            name="Hiša na Robu",
            zone_name="Europe/Ljubljana",
            as_on=as_on,
        )
        kitchen = places.add_place(
            book, entry(5, 1), name="Kitchen shelf", set_point_c=20, spread_c=1
        ).new_id
        hall = places.add_place(
            book, entry(5, 1), name="Hall shelf", set_point_c=18, spread_c=1
        ).new_id
        assert kitchen
        assert hall
        _add_eggs(book, kitchen)
        _add_larvae(book, hall)


def _mother(book: Book, month: int, day: int, taxon: str) -> int:
    sites = lamp.add_site(
        book,
        entry(month, day),
        name=f"Terrace {day}",
        latitude=45.53,
        longitude=13.93,
        zone="Europe/Ljubljana",
    )
    assert sites.new_id
    night = lamp.record_night(
        book,
        entry(month, day),
        site_id=sites.new_id,
        evening=dt.date(2021, month, day),
        lamp="125 W MV",
    ).new_id
    assert night
    check = lamp.record_check(
        book,
        entry(month, day, 23),
        night_id=night,
        at=dt.datetime(2021, month, day, 22, 15, tzinfo=HOME),
    ).new_id
    assert check
    arrival = lamp.record_arrival(
        book,
        entry(month, day, 23),
        check_id=check,
        taxon=taxon,
        sex=Sex.FEMALE,
        number=1,
    ).new_id
    mother = mothers.keep_female(
        book, entry(month, day, 23), night_id=night, arrival_id=arrival, taxon=taxon
    ).new_id
    assert mother
    return mother


def _add_eggs(book: Book, place: int) -> None:
    """Write the mother of story 1, her four papers, and the first larvae."""
    mother = _mother(book, 5, 28, "Saturnia pyri")
    for day, number in ((28, 41), (29, 63), (30, 38), (31, 11)):
        eggs.record_eggs(
            book,
            entry(5, day),
            parents=eggs.Parents(mother),
            evening=dt.date(2021, 5, day),
            number=number,
            pot=eggs.Pot(place_id=place),
        )
    pot = book.all(EggPotRow)[0]
    hatched = When(dt.date(2021, 6, 11))
    eggs.record_fate(
        book,
        entry(6, 11),
        pot_id=pot.id,
        fate=EggFate.HATCHED,
        number=35,
        on=hatched.on,
    )
    into = _box(book, pot.brood_id, place, 6, 11)
    boxes.move_animals(
        book,
        entry(6, 11),
        origin=Origin(pot_id=pot.id),
        to_box_id=into,
        number=30,
        when=hatched,
    )


def _box(book: Book, brood: int, place: int, month: int, day: int) -> int:
    box = boxes.open_box(
        book,
        entry(month, day),
        brood_id=brood,
        kind=BoxKind.BOX,
        place_id=place,
        when=When(dt.date(2021, month, day)),
    ).new_id
    assert box
    return box


def _add_larvae(book: Book, place: int) -> None:
    """Write a brood in four boxes: due, done, at moulting rest, and suspect."""
    mother = _mother(book, 5, 7, "Aglia tau")
    eggs.record_eggs(
        book,
        entry(5, 8),
        parents=eggs.Parents(mother),
        evening=dt.date(2021, 5, 7),
        number=86,
        pot=eggs.Pot(place_id=place),
    )
    pot = book.all(EggPotRow)[-1]
    hatched = When(dt.date(2021, 5, 23))
    eggs.record_fate(
        book,
        entry(5, 23),
        pot_id=pot.id,
        fate=EggFate.HATCHED,
        number=74,
        on=hatched.on,
    )
    kept = []
    for number in (20, 20, 20, 14):
        kept.append(_box(book, pot.brood_id, place, 5, 23))
        boxes.move_animals(
            book,
            entry(5, 23),
            origin=Origin(pot_id=pot.id),
            to_box_id=kept[-1],
            number=number,
            when=hatched,
        )
    _look_after(book, *kept)


def _look_after(book: Book, due: int, done: int, resting: int, suspect: int) -> None:
    fed, today = When(dt.date(2021, 6, 9)), When(AS_ON)
    beech = Leaf("beech", grams=40)
    for box in (due, done, resting, suspect):
        care.visit(book, entry(6, 9), what=Visit.FED, when=fed, box_id=box, leaf=beech)
        care.look_at_stages(
            book, entry(6, 9), box_id=box, seen={Stage.L3: Seen(14)}, when=fed
        )
    care.count_box(book, entry(6, 9), box_id=due, number=19, when=fed)
    care.visit(
        book,
        entry(6, 12, 19),
        what=Visit.FED_AND_CLEANED,
        when=When(AS_ON, dt.datetime(2021, 6, 12, 19, 30, tzinfo=HOME)),
        box_id=done,
        leaf=beech,
    )
    care.look_at_stages(
        book, entry(6, 12), box_id=resting, seen={Stage.L3: Seen(20, 18)}, when=today
    )
    care.lose(
        book,
        entry(6, 10),
        box_id=suspect,
        lost=Lost(2, Cause.VIRUS),
        when=When(dt.date(2021, 6, 10)),
    )
