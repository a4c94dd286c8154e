"""A book with 2,000 lamp nights, written straight into its tables for benchmarks."""

from __future__ import annotations

import datetime as dt
import random
from typing import TYPE_CHECKING

from rearing.keeping import lamp
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.terms import CountingMode, Known, Quality, Sex

if TYPE_CHECKING:
    from pathlib import Path

NIGHTS, CHECKS, ENTRIES = 2000, 4, 5
FIRST = dt.date(2012, 1, 1)
LAST = FIRST + dt.timedelta(days=NIGHTS - 1)
NOW = Entry(dt.datetime(2017, 7, 1, 20, tzinfo=dt.UTC))
TAXA = ("Saturnia pyri", "Aglia tau", "Laothoe populi", "Sphinx ligustri")


def make_nights(path: Path) -> Book:
    """Return an open book of nights in both ways of counting, 20 entries each."""
    chance = random.Random(4)
    book = Book.make(path)
    site = lamp.add_site(
        book, NOW, name="Terrace", latitude=45.53, longitude=13.93, zone="UTC"
    ).new_id
    with book.change(NOW) as pen:
        for number in range(NIGHTS):
            evening = FIRST + dt.timedelta(days=number)
            lit = dt.datetime.combine(evening, dt.time(20), dt.UTC)
            night = pen.add(
                t.LampNight,
                site_id=site,
                station="",
                evening=evening,
                lamp="125 W MV",
                lamp_on=lit,
                lamp_off=lit + dt.timedelta(hours=5),
                mode=list(CountingMode)[number % 2],
            )
            for hour in range(1, CHECKS + 1):
                at = lit + dt.timedelta(hours=hour)
                check = pen.add(t.Check, night_id=night, at=at, known=Known.SEEN)
                for _ in range(ENTRIES):
                    pen.add(
                        t.Arrival,
                        check_id=check,
                        taxon=chance.choice(TAXA),
                        sex=chance.choice(list(Sex)),
                        number=chance.randint(1, 3),
                        quality=Quality.EXACT,
                    )
        pen.say("Wrote many nights")
    return book
