"""What heat a stage needs, from the keeper's own broods and a table beside them.

The book is invented and its durations *computed* from T0 8 °C and K 170 degree-days,
to whole days as a keeper notes them. Data set A: *Spodoptera frugiperda* egg to adult,
Moon et al. 2022, Korean J. Appl. Entomol. 61(2):349–356 (published durations).
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np
import pytest
from numpy.testing import assert_allclose

from rearing.keeping import boxes, eggs, facts, lamp, mothers, places
from rearing.keeping.fits import (
    fit,
    likely_taxon,
    question,
    typed_points,
    with_typed,
)
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import EggPotRow
from rearing.science.rate_fits import Curve
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, EggFate, Sex, Stage
from tests.keeping.karst_book import ZONE

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

SHELF = load_all()
ENTRY = Entry(dt.datetime(2021, 9, 1, 20, tzinfo=ZONE), "N. K.")
ON = dt.date(2021, 9, 1)
TAXON = "Saturnia pyri"
A = ((18, 79.8), (21, 54.2), (24, 34.3), (27, 28.4), (30, 24.6), (32, 24.0))


class Rearing:
    """A book with a place for each temperature, and females that lay on a day."""

    def __init__(self, book: Book) -> None:
        self.book = book
        facts.set_home(book, ENTRY, name="Hiša", zone_name="Europe/Ljubljana")
        site = lamp.add_site(
            book,
            ENTRY,
            name="Terrace",
            latitude=45.5,
            longitude=13.9,
            zone="Europe/Ljubljana",
        ).new_id
        self.night = lamp.record_night(
            book, ENTRY, site_id=site, evening=dt.date(2021, 5, 1), lamp="125 W MV"
        ).new_id
        self.check = lamp.record_check(
            book,
            ENTRY,
            night_id=self.night,
            at=dt.datetime(2021, 5, 1, 23, tzinfo=ZONE),
        ).new_id

    def place(self, celsius: float) -> int:
        name = f"Shelf at {celsius:g}"
        return places.add_place(
            self.book, ENTRY, name=name, set_point_c=celsius, spread_c=0.5
        ).new_id

    def female(self) -> int:
        arrival = lamp.record_arrival(
            self.book,
            ENTRY,
            check_id=self.check,
            taxon=TAXON,
            sex=Sex.FEMALE,
            number=1,
        ).new_id
        return mothers.keep_female(
            self.book, ENTRY, night_id=self.night, arrival_id=arrival, taxon=TAXON
        ).new_id

    def pot(self, female: int, place: int, laid: dt.date, number: int = 40) -> int:
        eggs.record_eggs(
            self.book,
            ENTRY,
            parents=eggs.Parents(female),
            evening=laid,
            number=number,
            pot=eggs.Pot(place_id=place),
        )
        return max(row.id for row in self.book.all(EggPotRow))

    def hatch(self, pot: int, on: dt.date, number: int) -> None:
        eggs.record_fate(
            self.book, ENTRY, pot_id=pot, fate=EggFate.HATCHED, number=number, on=on
        )


@pytest.fixture
def rearing(tmp_path: Path) -> Iterator[Rearing]:
    with Book.make(tmp_path / "rates.rearing") as book:
        yield Rearing(book)


CLOCK = 14 / 24
"""Laid at ten in the evening, hatched at eight in the morning: less than whole days."""


def egg_days(celsius: float) -> int:
    return round(170.0 / (celsius - 8.0) + CLOCK)


def lay_at(rearing: Rearing, *warmths: float) -> None:
    laid = dt.date(2021, 5, 2)
    for celsius in warmths:
        pot = rearing.pot(rearing.female(), rearing.place(celsius), laid)
        rearing.hatch(pot, laid + dt.timedelta(days=egg_days(celsius)), 40)


def test_eggs_at_three_temperatures_give_their_threshold(rearing: Rearing) -> None:
    lay_at(rearing, 15.0, 18.0, 22.0, 26.0)
    asked = question(rearing.book, SHELF, TAXON, Stage.EGG, ON)
    assert [point.number for point in asked.points] == [40, 40, 40, 40]
    assert_allclose([p.celsius for p in asked.points], [15, 18, 22, 26], atol=0.01)
    expected = [egg_days(c) - CLOCK for c in (15, 18, 22, 26)]
    assert_allclose([p.days for p in asked.points], expected, atol=0.05)
    found = fit(asked.points)
    assert found.ols is not None
    assert_allclose(found.ols.t0_c.value, 8.0, atol=1.0)
    assert_allclose(found.ols.k_dd.value, 170.0, rtol=0.1)
    assert "from 4 durations between 15 and 26 °C" in found.sentence
    assert "as the range is chosen" in found.moving


def test_sister_pots_equally_warm_are_one_point(rearing: Rearing) -> None:
    place, female = rearing.place(20.0), rearing.female()
    for n, number in enumerate((30, 10)):
        laid = dt.date(2021, 5, 2 + n)
        pot = rearing.pot(female, place, laid, number)
        rearing.hatch(pot, laid + dt.timedelta(days=14 + 4 * n), number)
    (point,) = question(rearing.book, SHELF, TAXON, Stage.EGG, ON).points
    assert point.number == 40
    # 30 eggs took 14 days, 10 took 18: 15 days on the mean, less the clock's 14 hours
    assert_allclose(point.days, 15.0 - CLOCK, atol=0.05)
    assert "40 hatched 16 to 21 May 2021" in point.words


def test_eggs_that_wait_tell_nothing_yet(rearing: Rearing) -> None:
    pot = rearing.pot(rearing.female(), rearing.place(20.0), dt.date(2021, 5, 2))
    rearing.hatch(pot, dt.date(2021, 5, 16), 39)
    assert question(rearing.book, SHELF, TAXON, Stage.EGG, ON).points == ()
    rearing.hatch(pot, dt.date(2021, 5, 17), 1)
    asked = question(rearing.book, SHELF, TAXON, Stage.EGG, ON)
    assert len(asked.points) == 1
    # as on a day before the last of them hatched
    earlier = question(rearing.book, SHELF, TAXON, Stage.EGG, dt.date(2021, 5, 16))
    assert earlier.points == ()


def test_a_spell_in_the_cold_keeps_a_point_out_of_the_fit(rearing: Rearing) -> None:
    warm, cold = rearing.place(20.0), rearing.place(4.0)
    laid = dt.date(2021, 5, 2)
    pot = rearing.pot(rearing.female(), warm, laid)
    boxes.shift(
        rearing.book,
        ENTRY,
        place_id=cold,
        pot_id=pot,
        at=dt.datetime(2021, 5, 6, 20, tzinfo=ZONE),
    )
    rearing.hatch(pot, dt.date(2021, 5, 24), 40)
    asked = question(rearing.book, SHELF, TAXON, Stage.EGG, ON)
    (point,) = asked.points
    assert "4 to 20 °C, too uneven for a mean" in point.trouble
    assert asked.usual() == frozenset()


def test_larvae_are_followed_back_through_their_boxes(rearing: Rearing) -> None:
    book, place = rearing.book, rearing.place(21.0)
    pot = rearing.pot(rearing.female(), place, dt.date(2021, 5, 2))
    hatched = dt.date(2021, 5, 16)
    rearing.hatch(pot, hatched, 40)
    (brood_id,) = {row.brood_id for row in book.all(EggPotRow)}
    first, second, tub = (
        boxes.open_box(
            book,
            ENTRY,
            brood_id=brood_id,
            kind=kind,
            place_id=place,
            when=boxes.When(on),
        ).new_id
        for kind, on in (
            (BoxKind.BOX, hatched),
            (BoxKind.CAGE, dt.date(2021, 6, 1)),
            (BoxKind.TUB, dt.date(2021, 6, 20)),
        )
    )
    steps = (
        (boxes.Origin(pot_id=pot), first, 40, hatched, Stage.L1),
        (boxes.Origin(box_id=first), second, 40, dt.date(2021, 6, 1), Stage.L3),
        (boxes.Origin(box_id=second), tub, 30, dt.date(2021, 6, 20), Stage.WANDERING),
    )
    for origin, to, number, on, stage in steps:
        boxes.move_animals(
            book,
            ENTRY,
            origin=origin,
            to_box_id=to,
            number=number,
            when=boxes.When(on),
            stage=stage,
        )
    # ten are still on the leaf: nothing is told yet
    assert question(book, SHELF, TAXON, Stage.L1, ON).points == ()
    boxes.move_animals(
        book,
        ENTRY,
        origin=boxes.Origin(box_id=second),
        to_box_id=tub,
        number=10,
        when=boxes.When(dt.date(2021, 6, 24)),
        stage=Stage.WANDERING,
    )
    (point,) = question(book, SHELF, TAXON, Stage.L1, ON).points
    # 30 after 35 days, 10 after 39: 36 on the mean; morning to noon
    assert_allclose(point.days, 36.0 + 4 / 24, atol=0.06)
    assert_allclose(point.celsius, 21.0, atol=0.01)
    assert (point.number, point.trouble) == (40, "")


def test_a_table_stands_beside_the_own_durations_and_can_be_changed(
    rearing: Rearing,
) -> None:
    lay_at(rearing, 20.0)
    asked = question(rearing.book, SHELF, TAXON, Stage.EGG, ON, typed=A[:2])
    assert [point.typed for point in asked.points] == [False, True, True]
    other = with_typed(asked, A)
    assert [point.typed for point in other.points] == [False] + [True] * 6
    assert other.usual() == {point.key for point in other.points}


def test_published_durations_give_every_fit(rearing: Rearing) -> None:
    found = fit(typed_points(A))
    assert found.ols is not None
    # computed; published by a line: 11.8 °C, 456.8 degree-days
    assert_allclose(found.ols.t0_c.value, 11.879, atol=6e-4)
    assert [curve.curve for curve in found.curves] == list(Curve)
    assert found.no_curve == {}
    assert len(found.ranges) == 10
    # computed: 5.6 °C from 24–32, 13.4 from 18–27; three ranges set no bounds
    assert found.moving.startswith("T0 lies between 5.6 and 13.4 °C")
    assert "7 of 10 ranges" in found.moving


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ((), "these are of no temperature"),
        (((20.0, 13.0), (20.1, 13.5), (20.3, 13.1)), "these are of 1 temperature"),
        (((18.0, 15.0), (20.1, 13.5), (20.3, 13.1)), "these are of 2 temperatures"),
        (((18.0, 13.0), (20.0, 14.0), (24.0, 15.0)), "does not speed up with warmth"),
    ],
)
def test_too_little_for_a_threshold_is_said(
    pairs: tuple[tuple[float, float], ...], words: str
) -> None:
    found = fit(typed_points(pairs))
    assert (found.ols, found.rma, found.ranges, found.curves) == (None, None, (), ())
    assert words in found.sentence
    assert found.moving == ""
    assert set(found.no_curve) == set(Curve)


def test_the_species_of_most_broods_is_asked_first(rearing: Rearing) -> None:
    assert likely_taxon(rearing.book, SHELF, ON) == SHELF.names[0]
    lay_at(rearing, 20.0)
    assert likely_taxon(rearing.book, SHELF, ON) == TAXON
    assert likely_taxon(rearing.book, SHELF, dt.date(2020, 1, 1)) == SHELF.names[0]


def test_points_are_used_as_they_are_given(rearing: Rearing) -> None:
    points = typed_points(A)
    whole, part = fit(points), fit(points[:4])
    assert whole.ols is not None
    assert part.ols is not None
    assert part.used == points[:4]
    assert_allclose(
        [whole.ols.t0_c.value, part.ols.t0_c.value], [11.879, 13.419], atol=6e-4
    )
    assert np.isfinite(part.ols.k_dd.value)
