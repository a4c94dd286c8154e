"""A book with many open boxes, written straight into the tables for the benchmarks."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.readings import Origin, add_readings
from rearing.terms import BoxKind, Cause, EggFate, Known, Quality, Stage, Visit
from tests.bench.bare_rows import Rows, at

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.records.book import Writing

ON = dt.date(2021, 6, 25)
NOW = dt.datetime(2021, 6, 25, 18, tzinfo=dt.UTC)
PLACES, LOGGED, BROODS, BOXES_A_BROOD, POTS = 40, 6, 100, 20, 24
TAXA = ("Saturnia pyri", "Aglia tau", "Laothoe populi", "Sphinx ligustri")
HOSTS = ("downy oak", "beech", "aspen", "privet")


def make_book(path: Path) -> Book:
    """2,000 boxes in 100 broods at 40 places, 24 pots of eggs, six loggers."""
    book = Book.make(path)
    with book.change(Entry(NOW)) as pen:
        pen.say("A book with many boxes.")
        rows = Rows()
        rows.add(t.Fact, name="zone", value="Europe/Ljubljana")
        _places(rows)
        for number in range(BROODS):
            _brood(rows, number)
        for number in range(POTS):
            _pot(rows, number)
        rows.write(pen)
        _temperatures(pen)
    return book


def _places(rows: Rows) -> None:
    for number in range(PLACES):
        logged = number < LOGGED
        rows.add(
            t.Place,
            name=f"Shelf {number + 1}",
            walking_order=number + 1,
            set_point_c=None if logged else 17.0 + number % 8,
            outdoors=logged,
        )


def _brood(rows: Rows, number: int) -> None:
    taxon, host = TAXA[number % 4], HOSTS[number % 4]
    opened = ON - dt.timedelta(days=40)
    brood = rows.add(t.Brood, code=f"B21-{number:03}", taxon=taxon, opened_on=opened)
    for label in range(BOXES_A_BROOD):
        box = rows.add(
            t.Box,
            brood_id=brood,
            label=f"{label + 1}",
            kind=BoxKind.SLEEVE if label % 7 == 0 else BoxKind.BOX,
            host=host,
            opened_on=opened,
        )
        place = (number + label) % PLACES + 1
        rows.add(t.Stay, box_id=box, place_id=place, from_at=at(opened))
        rows.add(t.Move, to_box_id=box, on=opened, number=30, stage=Stage.L1)
        _care(rows, box, host)


def _care(rows: Rows, box: int, host: str) -> None:
    for ago in range(1 + box % 2, 40, 2):
        on = ON - dt.timedelta(days=ago)
        what = (Visit.FED, Visit.FED_AND_CLEANED, Visit.ALL_WELL)[(ago + box) % 3]
        rows.add(t.BoxVisit, box_id=box, on=on, at=at(on), what=what, host=host)
    for weeks in range(1, 5):
        on = ON - dt.timedelta(days=7 * weeks + box % 7)
        number = 26 + weeks
        rows.add(t.Headcount, box_id=box, on=on, number=number, quality=Quality.EXACT)
    for ago, stage in ((14, Stage.L3), (2, Stage.L4)):
        on = ON - dt.timedelta(days=ago + box % 3)
        look = rows.add(
            t.StageLook, box_id=box, on=on, at=at(on), quality=Quality.EXACT
        )
        rows.add(t.StageCount, look_id=look, stage=stage, number=20, resting=box % 5)
    if box % 10 == 0:
        rows.add(
            t.Loss,
            box_id=box,
            on=ON - dt.timedelta(days=3),
            number=1,
            cause=Cause.FLACHERIE if box % 100 == 0 else Cause.NOT_KNOWN,
            known=Known.SEEN,
        )


def _pot(rows: Rows, number: int) -> None:
    evening = ON - dt.timedelta(days=4 + number % 9)
    brood = 1 + number % BROODS
    pot = rows.add(t.EggPot, brood_id=brood, label=f"{number + 1}", opened_on=evening)
    rows.add(
        t.Laying,
        brood_id=brood,
        pot_id=pot,
        evening=evening,
        number=60,
        quality=Quality.EXACT,
    )
    rows.add(t.Stay, pot_id=pot, place_id=1 + number % PLACES, from_at=at(evening))
    if number % 8 == 0:
        rows.add(
            t.EggOutcome,
            pot_id=pot,
            fate=EggFate.HATCHED,
            number=9,
            on=ON,
            known=Known.SEEN,
        )


def _temperatures(pen: Writing) -> None:
    hours = np.arange(60 * 24)
    begin = int(NOW.timestamp()) - 60 * 86_400
    for place in range(LOGGED):
        celsius = 18.0 + place + 4.0 * np.sin(hours / 24 * 2 * np.pi)
        origin = Origin(place_id=place + 1, file_name="logger.csv", column="C")
        add_readings(pen, origin, begin + hours * 3600, celsius)
