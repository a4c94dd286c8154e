"""A place, and a season with a line in most tables, for the tests of the records."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rearing.records import tables as t
from rearing.records.readings import Origin, add_daily, add_readings
from rearing.terms import (
    BoxKind,
    CountingMode,
    EggFate,
    Known,
    Mated,
    Quality,
    Sex,
    Stage,
    Visit,
    Wings,
)

if TYPE_CHECKING:
    from rearing.records.book import Book, Writing
    from rearing.records.journal import Entry


def add_place(book: Book, entry: Entry, name: str) -> int:
    with book.change(entry) as pen:
        pen.say(f"New place {name}.")
        return pen.add(t.Place, name=name, walking_order=1, outdoors=True)


def fill(book: Book, entry: Entry) -> None:
    with book.change(entry) as pen:
        pen.say("A season so far.")
        brood_id = _from_the_lamp(pen, entry)
        _from_the_egg(pen, entry, brood_id)


def _from_the_lamp(pen: Writing, entry: Entry) -> int:
    day = entry.on
    site = pen.add(
        t.Site, name="Orchard", latitude=45.9, longitude=14.2, zone="Europe/Ljubljana"
    )
    night = pen.add(
        t.LampNight,
        site_id=site,
        station="1",
        evening=day,
        lamp="LED",
        mode=CountingMode.NEW,
        lamp_on=entry.now,
    )
    check = pen.add(t.Check, night_id=night, at=entry.now, known=Known.SEEN)
    arrival = pen.add(
        t.Arrival,
        check_id=check,
        taxon="Saturnia pyri",
        sex=Sex.NOT_LOOKED,
        number=3,
        quality=Quality.AT_LEAST,
    )
    moth = pen.add(
        t.Moth,
        code="P21-01",
        arrival_id=arrival,
        night_id=night,
        taxon="Saturnia pyri",
        sex=Sex.FEMALE,
        since=day,
        kept_at=entry.now,
        wings=Wings.FRESH,
        mated=Mated.UNKNOWN,
    )
    return pen.add(
        t.Brood, code="P21", taxon="Saturnia pyri", mother_id=moth, opened_on=day
    )


def _from_the_egg(pen: Writing, entry: Entry, brood_id: int) -> None:
    day = entry.on
    pot = pen.add(t.EggPot, brood_id=brood_id, label="a", opened_on=day)
    pen.add(
        t.Laying,
        brood_id=brood_id,
        pot_id=pot,
        evening=day,
        number=41,
        quality=Quality.EXACT,
    )
    pen.add(
        t.EggOutcome,
        pot_id=pot,
        fate=EggFate.HATCHED,
        number=37,
        on=day,
        known=Known.SEEN,
    )
    box = pen.add(
        t.Box, brood_id=brood_id, label="A", kind=BoxKind.BOX, host="ash", opened_on=day
    )
    pen.add(t.Move, from_pot_id=pot, to_box_id=box, on=day, number=37, stage=Stage.L1)
    pen.add(t.BoxVisit, box_id=box, on=day, what=Visit.FED, grams=12.5)
    pen.add(
        t.Note, subject="box", subject_id=box, on=day, text="“Ash” — žuto\nsecond line"
    )
    place = pen.add(t.Place, name="Shelf", walking_order=1, outdoors=False)
    pen.add(t.Stay, box_id=box, place_id=place, from_at=entry.now)
    at_s = np.arange(500) * 600
    add_readings(pen, Origin(place, "shelf.csv", "T"), at_s, np.sin(at_s / 9e3) + 20)
    days = np.datetime64("2021-06-01") + np.arange(9)
    add_daily(pen, Origin(place, "met.csv", "T"), days, np.full(9, 11), np.full(9, 24))
