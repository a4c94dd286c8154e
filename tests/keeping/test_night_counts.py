"""Nights counted both ways, corrected, by lamp-hour, by year and by sex.

The nights are invented. That new ones add and present ones count with their largest
check, and that the sexes add up to the total, is common practice, no source.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rearing.keeping import lamp
from rearing.keeping.arrivals import arrivals_through, beside_earlier, pace_of
from rearing.keeping.night_counts import (
    NightCounts,
    SexCounts,
    all_nights,
    by_sex,
    nights_of,
)
from rearing.keeping.nights import night as night_read
from rearing.keeping.years import (
    flight_years,
    nights_calendar,
    sex_ratios,
    suggested_species,
)
from rearing.records.book import Book
from rearing.terms import CountingMode, Quality, Sex
from tests.keeping.karst_book import LATER, Ids, at, on

if TYPE_CHECKING:
    from pathlib import Path

PYRI, ELPENOR, TAU = "Saturnia pyri", "Deilephila elpenor", "Aglia tau"
LAST = on(7, 20)
Seen = tuple[str, Sex, int]


@dataclass(frozen=True, slots=True)
class Look:
    """A check at hours after the lamp was lit, or without a time, and what was seen."""

    hours: float | None
    seen: tuple[Seen, ...] = ()


def write_night(
    book: Book,
    evening: dt.date,
    *looks: Look,
    mode: CountingMode = CountingMode.NEW,
    burnt_h: float = 4,
    station: str = "",
) -> int:
    lit = dt.datetime.combine(evening, dt.time(21), at(6, 1).tzinfo)
    night = lamp.record_night(
        book,
        LATER,
        site_id=1,
        evening=evening,
        lamp="125 W MV",
        station=station,
        mode=mode,
        times=lamp.LampTimes(lit, lit + dt.timedelta(hours=burnt_h)),
    ).new_id
    for look in looks:
        when = None if look.hours is None else lit + dt.timedelta(hours=look.hours)
        check = lamp.record_check(book, LATER, night_id=night, at=when).new_id
        for taxon, sex, number in look.seen:
            lamp.record_arrival(
                book, LATER, check_id=check, taxon=taxon, sex=sex, number=number
            )
    return night


def only(book: Book, evening: dt.date, day: dt.date = LAST) -> NightCounts:
    (found,) = nights_of(book, evening, day)
    return found


LOOKS = (
    Look(1, ((ELPENOR, Sex.MALE, 3), (ELPENOR, Sex.NOT_LOOKED, 2))),
    Look(2.5, ((ELPENOR, Sex.MALE, 5), (ELPENOR, Sex.FEMALE, 1))),
    Look(4, ((ELPENOR, Sex.MALE, 2), (TAU, Sex.FEMALE, 1))),
)


@pytest.mark.parametrize(
    ("mode", "elpenor", "so_far"),
    [
        (CountingMode.NEW, SexCounts(10, 1, 2), [5, 11, 14]),
        (CountingMode.PRESENT, SexCounts(5, 1, 2), [5, 8, 9]),
    ],
)
def test_new_ones_add_and_present_ones_take_the_largest(
    book: Book, mode: CountingMode, elpenor: SexCounts, so_far: list[int]
) -> None:
    write_night(book, on(6, 20), *LOOKS, mode=mode)
    found = only(book, on(6, 20))
    assert by_sex(found.totals, ELPENOR) == elpenor
    through = arrivals_through(found)
    assert [one.so_far.number for one in through] == so_far
    assert [one.at_check.number for one in through] == [5, 6, 3]
    assert [one.lamp_hour for one in through] == [1, 2.5, 4]
    assert through[-1].so_far.number == found.moths


def test_arrivals_of_one_species_by_sex(book: Book) -> None:
    write_night(book, on(6, 20), *LOOKS)
    through = arrivals_through(only(book, on(6, 20)), ELPENOR)
    assert [one.at_check for one in through] == [
        SexCounts(3, 0, 2),
        SexCounts(5, 1, 0),
        SexCounts(2, 0, 0),
    ]


def test_by_lamp_hour_beside_earlier_nights(book: Book, ids: Ids) -> None:
    night = write_night(book, on(6, 20), *LOOKS, Look(None, ((TAU, Sex.MALE, 1),)))
    write_night(book, on(6, 25), *LOOKS)
    found = beside_earlier(book, night, LAST)
    assert [(one.evening, one.by_hour) for one in found] == [
        (on(6, 20), (5, 0, 6, 3)),
        (on(5, 28), (0, 0, 0, 2, 0)),
    ]
    assert [one.untimed for one in found] == [1, 0]
    assert [one.moths for one in found] == [15, 2]
    assert found[0].per_lamp_hour == pytest.approx(15 / 4)
    assert found[1].night_id == ids.night
    assert [one.moths for one in beside_earlier(book, night, LAST, TAU)] == [2, 0]


def test_a_dark_lamp_stops_the_lamp_hours(book: Book) -> None:
    night = write_night(book, on(6, 20), *LOOKS)
    # Out from 2 h to 3 h after it was lit: the second check falls into the dark.
    lamp.record_outage(
        book, LATER, night_id=night, from_at=at(6, 20, 23), to_at=at(6, 21, 0)
    )
    found = only(book, on(6, 20))
    assert found.lamp_hours == 3
    assert [check.lamp_hour for check in found.checks] == [1, 2, 3]
    assert pace_of(found).by_hour == (5, 6, 3)


def test_a_second_look_moves_animals_and_loses_none(book: Book) -> None:
    night = write_night(book, on(6, 20), *LOOKS)
    before = only(book, on(6, 20))
    lamp.redetermine(
        book,
        LATER,
        arrival_id=before.arrivals[0].id,
        call=lamp.Call(TAU, Sex.FEMALE, "N. K."),
        number=2,
        on=on(6, 22),
    )
    after, asked_earlier = only(book, on(6, 20)), only(book, on(6, 20), on(6, 21))
    assert asked_earlier.totals == before.totals == after.first_totals
    assert by_sex(after.totals, ELPENOR) == SexCounts(8, 1, 2)
    assert by_sex(after.totals, TAU) == SexCounts(0, 3, 0)
    assert after.moths == before.moths == 14
    assert by_sex(after.checks[0].came, TAU) == SexCounts(0, 2, 0)
    assert after.totals == night_read(book, night, LAST).totals


def test_all_nights_say_what_each_says_alone(book: Book) -> None:
    write_night(book, on(6, 20), *LOOKS, mode=CountingMode.PRESENT)
    write_night(book, on(6, 20), station="wood edge")
    found = all_nights(book, LAST)
    assert [one.row.evening.day for one in found] == [28, 20, 20]
    for one in found:
        alone = night_read(book, one.row.id, LAST)
        assert (one.totals, one.first_totals) == (alone.totals, alone.first_totals)
        assert (one.lamp_hours, one.kept) == (alone.lamp_hours, alone.kept)
    both = nights_of(book, on(6, 20), LAST)
    assert [one.row.station for one in both] == ["", "wood edge"]
    assert [one.moths for one in both] == [9, 0]
    assert all_nights(book, on(6, 19)) == found[:1]
    assert nights_of(book, on(6, 19), LAST) == ()


def test_a_zero_night_is_not_a_night_without_a_look(book: Book) -> None:
    write_night(book, on(6, 20), Look(1), Look(2))
    write_night(book, on(6, 21))
    months = [
        (one.evening.day, one.moths, one.was_looked_at)
        for one in nights_calendar(book, 2021, LAST)
    ]
    assert months == [(28, 2, True), (20, 0, True), (21, 0, False)]
    assert nights_calendar(book, 2020, LAST) == ()
    assert nights_calendar(book, 2021, LAST)[0].kept == 1


def test_first_and_last_date_of_each_species_by_year(book: Book) -> None:
    for evening in (on(6, 20), on(6, 3), dt.date(2020, 6, 30)):
        write_night(book, evening, LOOKS[0])
    write_night(book, on(6, 9), LOOKS[1])
    found = [one for one in flight_years(book, LAST) if one.taxon == ELPENOR]
    assert [(one.year, one.first, one.last) for one in found] == [
        (2020, dt.date(2020, 6, 30), dt.date(2020, 6, 30)),
        (2021, on(6, 3), on(6, 20)),
    ]
    assert (found[1].first_male, found[1].first_female) == (on(6, 3), on(6, 9))
    assert (found[0].first_female, found[1].nights, found[1].moths) == (None, 3, 16)


def test_sex_ratio_with_its_interval(book: Book) -> None:
    # Published: Newcombe 1998, Stat. Med. 17:857-872, 15 of 148 by Wilson's method.
    seen = ((PYRI, Sex.MALE, 133), (PYRI, Sex.FEMALE, 15), (PYRI, Sex.NOT_LOOKED, 9))
    write_night(book, on(6, 20), Look(1, (*seen, (TAU, Sex.NOT_LOOKED, 4))))
    tau, pyri = sex_ratios(nights_of(book, on(6, 20), LAST))
    assert tau.females is None
    assert pyri.counts == SexCounts(133, 15, 9)
    assert pyri.females is not None
    assert pyri.females.low == pytest.approx(0.0624, abs=5e-5)
    assert pyri.females.high == pytest.approx(0.1605, abs=5e-5)


def test_keys_are_suggested_from_this_season_then_from_earlier_ones(book: Book) -> None:
    write_night(book, dt.date(2020, 6, 25), Look(1, (("Laothoe populi", Sex.MALE, 1),)))
    write_night(
        book, dt.date(2020, 3, 25), Look(1, (("Orthosia hibisci", Sex.MALE, 9),))
    )
    write_night(book, on(6, 10), Look(1, ((ELPENOR, Sex.MALE, 1),)))
    write_night(book, on(6, 12), *LOOKS)
    suggested = suggested_species(book, on(6, 20))
    assert suggested == (ELPENOR, TAU, PYRI, "Laothoe populi")
    assert suggested_species(book, on(6, 20), most=2) == (ELPENOR, TAU)


def test_about_and_at_least_are_told_with_the_total(book: Book, ids: Ids) -> None:
    for quality in (Quality.ABOUT, Quality.EXACT):
        lamp.record_arrival(
            book,
            LATER,
            check_id=ids.check,
            taxon=TAU,
            sex=Sex.MALE,
            number=20,
            quality=quality,
        )
    (total,) = (one for one in only(book, on(5, 28)).totals if one.taxon == TAU)
    assert (total.number, total.quality) == (40, Quality.ABOUT)


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_the_sexes_add_up_after_every_correction(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    path: Path = tmp_path_factory.mktemp("nights") / "book.rearing"
    numbers = data.draw(st.lists(st.integers(1, 6), min_size=1, max_size=4))
    with Book.make(path) as book:
        lamp.add_site(
            book, LATER, name="Rim", latitude=45, longitude=14, zone="Europe/Ljubljana"
        )
        looks = [Look(i + 1, ((PYRI, Sex.FEMALE, n),)) for i, n in enumerate(numbers)]
        write_night(book, on(6, 20), *looks)
        for _ in range(data.draw(st.integers(1, 5))):
            arrivals = only(book, on(6, 20)).arrivals
            arrival = data.draw(st.sampled_from(arrivals))
            call = lamp.Call(
                data.draw(st.sampled_from([PYRI, TAU])), data.draw(st.sampled_from(Sex))
            )
            number = data.draw(st.integers(1, arrival.number))
            lamp.redetermine(
                book, LATER, arrival_id=arrival.id, call=call, number=number
            )
            found = only(book, on(6, 20))
            assert found.moths == by_sex(found.totals).number == sum(numbers)
            assert arrivals_through(found)[-1].so_far.number == sum(numbers)
