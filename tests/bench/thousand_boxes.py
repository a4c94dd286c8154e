"""A book as a large collection keeps it in June, for the benchmark of the leaf plan.

1,008 boxes of ten species in 84 broods of twelve, at eight places: two outdoors and two
indoors with loggers of two months, four with a set point alone. The broods hatched over
seven weeks out of pots that are closed; every third stands at two places. Each box was
visited every second day, counted and looked at, stage by stage, every week. Eight more
broods wait as eggs.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.readings import Origin, add_readings
from rearing.terms import (
    INSTARS,
    BoxKind,
    EggFate,
    Known,
    Quality,
    Stage,
    Visit,
)
from tests.bench.bare_rows import Rows, at

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.records.book import Writing

ON = dt.date(2021, 6, 25)
NOW = at(ON)
BROODS, BOXES_A_BROOD, POTS, PLACES, LOGGED = 84, 12, 8, 8, 4
LARVAE, INSTAR_DAYS = 24, 7
DAY = dt.timedelta(days=1)
SPECIES = (
    ("Saturnia pyri", "blackthorn"),
    ("Aglia tau", "beech"),
    ("Laothoe populi", "aspen"),
    ("Sphinx ligustri", "privet"),
    ("Actias luna", "birch"),
    ("Antheraea polyphemus", "oak"),
    ("Samia ricini", "castor-oil plant"),
    ("Hyalophora cecropia", "cherry"),
    ("Actias selene", "walnut"),
    ("Smerinthus ocellatus", "sallow"),
)


def make_book(path: Path) -> Book:
    """Make the book of the summary above."""
    book = Book.make(path)
    with book.change(Entry(NOW)) as pen:
        pen.say("A book with a thousand boxes.")
        rows = Rows()
        rows.add(t.Fact, name="zone", value="Europe/Ljubljana")
        for number in range(PLACES):
            indoors = number >= LOGGED // 2
            rows.add(
                t.Place,
                name=f"Shelf {number + 1}",
                walking_order=number + 1,
                set_point_c=18.0 + number % 5 if indoors else None,
                outdoors=not indoors,
            )
        for number in range(BROODS):
            _brood(rows, number)
        for number in range(POTS):
            _waiting(rows, BROODS + number)
        rows.write(pen)
        _temperatures(pen)
    return book


def _brood(rows: Rows, number: int) -> None:
    taxon, host = SPECIES[number % len(SPECIES)]
    # from just hatched to seven weeks old, so that some are near to pupate
    hatched = ON - DAY * (2 + number * 45 // BROODS)
    brood = rows.add(
        t.Brood, code=f"B21-{number:03}", taxon=taxon, opened_on=hatched - DAY * 14
    )
    pot = _pot(rows, brood, hatched - DAY * 14, LARVAE * BOXES_A_BROOD, 1 + number % 8)
    rows.kept[t.EggPot][-1]["closed_on"] = hatched + DAY
    rows.add(
        t.EggOutcome,
        pot_id=pot,
        fate=EggFate.HATCHED,
        number=LARVAE * BOXES_A_BROOD,
        on=hatched,
        known=Known.SEEN,
    )
    for label in range(BOXES_A_BROOD):
        apart = number % 3 == 0 and label % 2
        place = 1 + (number + (3 if apart else 0)) % PLACES
        _box(rows, (brood, pot), (f"{label + 1}", host, place), hatched)


def _box(
    rows: Rows, of: tuple[int, int], what: tuple[str, str, int], hatched: dt.date
) -> None:
    (brood, pot), (label, host, place) = of, what
    box = rows.add(
        t.Box,
        brood_id=brood,
        label=label,
        kind=BoxKind.BOX,
        host=host,
        opened_on=hatched,
    )
    rows.add(t.Stay, box_id=box, place_id=place, from_at=at(hatched, 6))
    rows.add(
        t.Move,
        from_pot_id=pot,
        to_box_id=box,
        on=hatched,
        number=LARVAE,
        stage=Stage.L1,
    )
    for days in range(2, (ON - hatched).days, 2):
        on = hatched + DAY * days
        what_done = (Visit.FED, Visit.FED_AND_CLEANED)[days % 4 // 2]
        rows.add(t.BoxVisit, box_id=box, on=on, at=at(on), what=what_done, host=host)
    for days in range(4, (ON - hatched).days, 7):
        _look(rows, box, hatched + DAY * days, days)


def _look(rows: Rows, box: int, on: dt.date, age: int) -> None:
    rows.add(
        t.Headcount, box_id=box, on=on, number=LARVAE - age // 14, quality=Quality.EXACT
    )
    look = rows.add(t.StageLook, box_id=box, on=on, at=at(on), quality=Quality.EXACT)
    # a third lags an instar behind, some of the others sit at moulting rest
    oldest = min(age // INSTAR_DAYS, 4)
    lag = 8 if oldest > 0 else 0
    parts = [(INSTARS[oldest], LARVAE - age // 14 - lag, box % 4)]
    if lag:
        parts.append((INSTARS[oldest - 1], lag, 0))
    for stage, number, resting in parts:
        rows.add(
            t.StageCount, look_id=look, stage=stage, number=number, resting=resting
        )


def _waiting(rows: Rows, number: int) -> None:
    taxon, _ = SPECIES[number % len(SPECIES)]
    evening = ON - DAY * (2 + number % 6)
    brood = rows.add(t.Brood, code=f"B21-{number:03}", taxon=taxon, opened_on=evening)
    _pot(rows, brood, evening, 120, 1 + number % PLACES)


def _pot(rows: Rows, brood: int, evening: dt.date, number: int, place: int) -> int:
    pot = rows.add(
        t.EggPot, brood_id=brood, label="1", opened_on=evening, closed_on=None
    )
    rows.add(
        t.Laying,
        brood_id=brood,
        pot_id=pot,
        evening=evening,
        number=number,
        quality=Quality.EXACT,
    )
    rows.add(t.Stay, pot_id=pot, place_id=place, from_at=at(evening))
    return pot


def _temperatures(pen: Writing) -> None:
    days = 70
    hours = np.arange(days * 24)
    begin = int(NOW.timestamp()) - days * 86_400
    for place in range(LOGGED):
        swing = 5.0 if place < LOGGED // 2 else 1.0
        celsius = 19.0 + place + swing * np.sin((hours - 9) / 24 * 2 * np.pi)
        origin = Origin(place_id=place + 1, file_name="logger.csv", column="C")
        add_readings(pen, origin, begin + hours * 3600, celsius)
