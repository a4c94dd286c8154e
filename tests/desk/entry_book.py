"""A small book for trying the entry forms on (invented, as the sample season is)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from rearing.desk.session import Session
from rearing.keeping import boxes, eggs, facts, lamp, leaf, mothers, places
from rearing.keeping.leaf_tests import begin_test
from rearing.keeping.measurements import measure
from rearing.keeping.notes import add_note
from rearing.keeping.photos import add_photo
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import BroodRow, EggPotRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, EggFate, Measured, Sex, Stage
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from pathlib import Path

ZONE = ZoneInfo("Europe/Ljubljana")
TONIGHT = dt.datetime(2021, 6, 12, 21, 30, tzinfo=ZONE)


@dataclass(frozen=True, slots=True)
class Ids:
    """What the book holds."""

    site: int
    night: int
    check: int
    moth: int
    pot: int
    box: int
    shelf: int
    hall: int
    brood: int
    tree: int


def entry(day: dt.date, hour: int = 20) -> Entry:
    """Return an entry of an evening."""
    return Entry(dt.datetime.combine(day, dt.time(hour), ZONE), "N. K.")


def june(day: int) -> dt.date:
    return dt.date(2021, 6, day)


def make(folder: Path) -> tuple[Book, Ids]:
    """Make the book of one female, her eggs and her first box."""
    book = Book.make(folder / "hisa.rearing")
    may = dt.date(2021, 5, 28)
    e = entry(may)
    facts.set_home(book, e, name="Hiša", zone_name="Europe/Ljubljana", keeper="N. K.")
    site = lamp.add_site(
        book,
        e,
        name="Terrace",
        latitude=45.5,
        longitude=13.9,
        zone="Europe/Ljubljana",
    ).new_id
    shelf = places.add_place(book, e, name="Kitchen shelf", set_point_c=20).new_id
    hall = places.add_place(book, e, name="Hall shelf", set_point_c=19).new_id
    places.add_place(book, e, name="Terrace", outdoors=True)
    night = lamp.record_night(
        book, e, site_id=site, evening=may, lamp="125 W MV"
    ).new_id
    at = dt.datetime(2021, 5, 29, 0, 45, tzinfo=ZONE)
    check = lamp.record_check(book, e, night_id=night, at=at).new_id
    line = lamp.record_arrival(
        book, e, check_id=check, taxon="Saturnia pyri", sex=Sex.FEMALE, number=2
    ).new_id
    moth = mothers.keep_female(
        book, e, night_id=night, arrival_id=line, taxon="Saturnia pyri"
    ).new_id
    for back, number in enumerate((41, 63, 38)):
        evening = may + dt.timedelta(days=back)
        eggs.record_eggs(
            book,
            entry(evening + dt.timedelta(days=1)),
            parents=eggs.Parents(moth),
            evening=evening,
            number=number,
            pot=eggs.Pot(place_id=shelf),
        )
    pot = book.all(EggPotRow)[0]
    e = entry(june(11))
    eggs.record_fate(
        book, e, pot_id=pot.id, fate=EggFate.HATCHED, number=35, on=june(11)
    )
    box = boxes.open_box(
        book,
        e,
        brood_id=pot.brood_id,
        kind=BoxKind.BOX,
        place_id=hall,
        when=boxes.When(june(11)),
        host="blackthorn",
    ).new_id
    boxes.move_animals(
        book,
        e,
        origin=boxes.Origin(pot_id=pot.id),
        to_box_id=box,
        number=30,
        when=boxes.When(june(11)),
    )
    tree = _leaf(book, e)
    measure(
        book,
        e,
        box_id=box,
        what=Measured.HEAD_WIDTH,
        values=(0.64,),
        on=june(11),
        stage=Stage.L1,
    )
    brood = book.all(BroodRow)[0].id
    add_note(book, e, subject="box", subject_id=box, text="Lively.", on=june(11))
    add_photo(book, e, subject="box", subject_id=box, source=picture(), on=june(11))
    return book, Ids(site, night, check, moth, pot.id, box, shelf, hall, brood, tree)


def _leaf(book: Book, e: Entry) -> int:
    """Enter two trees, one of them closed with larvae that test it, and a cut."""
    tree = leaf.add_tree(
        book, e, name="Blackthorn by the well", host="blackthorn"
    ).new_id
    road = leaf.add_tree(book, e, name="Oak by the road", host="oak").new_id
    leaf.close_tree(book, e, tree_id=road, since=june(9), until=june(30), why="Sprayed")
    begin_test(book, e, tree_id=road, begun_on=june(10), number=2)
    leaf.cut_leaf(book, e, host="blackthorn", on=june(11), tree_id=tree, grams=200)
    return tree


def session(book: Book, now: dt.datetime = TONIGHT) -> Session:
    """Return a session on the book whose clock stands still."""
    return Session(book, load_all(), _Clock(now))


@dataclass(frozen=True, slots=True)
class _Clock:
    now: dt.datetime

    def __call__(self) -> dt.datetime:
        return self.now
