from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import lamp, nights
from rearing.keeping.holding import holding
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import ArrivalRow, CheckRow, DeterminationRow, MothRow
from rearing.terms import MothFate, Quality, Sex, Sure
from tests.keeping.karst_book import LATER, at, on

if TYPE_CHECKING:
    import datetime as dt

    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids


def test_a_site_is_where_it_can_be(book: Book) -> None:
    good = {"latitude": 46.0, "longitude": 14.5, "zone": "Europe/Ljubljana"}
    touched = lamp.add_site(
        book,
        LATER,
        name="Quarry rim",
        latitude=46,
        longitude=14.5,
        zone=good["zone"],  # type: ignore[arg-type]  # a word
    )
    assert touched.sentence == "Added the site Quarry rim"
    for wrong, field in (
        ({"name": " "}, "name"),
        ({"name": "Terrace"}, "name"),
        ({"latitude": 91.0}, "latitude"),
        ({"longitude": -181.0}, "latitude"),
        ({"zone": "Karst"}, "zone"),
    ):
        with pytest.raises(Refusal) as refused:
            lamp.add_site(book, LATER, **{"name": "New", **good, **wrong})  # type: ignore[arg-type]  # wrong on purpose
        assert refused.value.field == field


def test_a_night_is_opened_once_for_each_lamp(book: Book, ids: Ids) -> None:
    again = {"site_id": ids.site, "evening": on(5, 28)}
    with pytest.raises(Refusal, match="station") as refused:
        lamp.record_night(book, LATER, lamp="actinic", **again)  # type: ignore[arg-type]  # as named
    assert refused.value.field == "station"
    touched = lamp.record_night(
        book,
        LATER,
        site_id=ids.site,
        evening=on(5, 28),
        lamp="15 W actinic",
        station="gate",
    )
    assert touched.sentence == (
        "Opened the night of Fri 28 May at Terrace, 15 W actinic"
    )


def test_a_night_to_come_is_asked_about(book: Book, ids: Ids) -> None:
    with pytest.raises(AskFirst, match="still to come"):
        lamp.record_night(book, LATER, site_id=ids.site, evening=on(7, 21), lamp="MV")
    lamp.record_night(
        book, LATER, site_id=ids.site, evening=on(7, 21), lamp="MV", sure=True
    )


@pytest.mark.parametrize(
    ("lit", "out", "field"),
    [
        (at(6, 1, 22), at(6, 1, 21), "off"),
        (at(6, 1, 22), at(6, 2, 17), "off"),
        (at(6, 4, 22), at(6, 5, 1), "on"),
    ],
)
def test_a_lamp_burns_within_its_night(
    book: Book, ids: Ids, lit: dt.datetime, out: dt.datetime, field: str
) -> None:
    with pytest.raises(Refusal) as refused:
        lamp.record_night(
            book,
            LATER,
            site_id=ids.site,
            evening=on(6, 1),
            lamp="MV",
            times=lamp.LampTimes(lit, out),
        )
    assert refused.value.field == field


def test_dark_time_is_taken_off_the_lamp_hours(book: Book, ids: Ids) -> None:
    before = nights.night(book, ids.night, on(6, 1)).lamp_hours
    touched = lamp.record_outage(
        book,
        LATER,
        night_id=ids.night,
        from_at=at(5, 28, 23, 40),
        to_at=at(5, 29, 0, 25),
        why="bulb",
    )
    assert touched.sentence == "Lamp dark 45 min in the night of Fri 28 May"
    assert before == 4.5
    assert nights.night(book, ids.night, on(6, 1)).lamp_hours == 3.75
    for from_at, to_at, field in (
        (at(5, 29, 0), at(5, 28, 23), "to_at"),
        (at(5, 29, 0), at(5, 29, 1), "from_at"),
        (at(5, 28, 21), at(5, 28, 22), "from_at"),
        (at(5, 29, 1), at(5, 29, 3), "to_at"),
    ):
        with pytest.raises(Refusal) as refused:
            lamp.record_outage(
                book, LATER, night_id=ids.night, from_at=from_at, to_at=to_at
            )
        assert refused.value.field == field


def test_a_check_without_a_time_says_so(book: Book, ids: Ids) -> None:
    timed = lamp.record_check(book, LATER, night_id=ids.night, at=at(5, 29, 1))
    assert timed.sentence == "Check 01:00 in the night of Fri 28 May"
    vague = lamp.record_check(book, LATER, night_id=ids.night, at=None)
    assert vague.sentence == "Check without a time in the night of Fri 28 May"


def test_arrivals_say_how_exact_they_are(book: Book, ids: Ids) -> None:
    touched = lamp.record_arrival(
        book,
        LATER,
        check_id=ids.check,
        taxon="Laothoe populi",
        sex=Sex.MALE,
        number=40,
        quality=Quality.ABOUT,
    )
    assert touched.sentence == "about 40 ♂ Laothoe populi, night of Fri 28 May"
    for taxon, number, field in ((" ", 1, "taxon"), ("Aglia tau", 0, "number")):
        with pytest.raises(Refusal) as refused:
            lamp.record_arrival(
                book,
                LATER,
                check_id=ids.check,
                taxon=taxon,
                sex=Sex.MALE,
                number=number,
            )
        assert refused.value.field == field


def test_moths_at_a_moment_share_its_check(book: Book, ids: Ids) -> None:
    for moment, taxon in (
        (at(5, 29, 0, 45), "Aglia tau"),
        (at(5, 29, 1, 15), "Laothoe populi"),
        (at(5, 29, 1, 15), "Mimas tiliae"),
        (None, "Sphinx ligustri"),
        (None, "Deilephila elpenor"),
    ):
        lamp.count_at_sheet(
            book,
            LATER,
            night_id=ids.night,
            at=moment,
            taxon=taxon,
            sex=Sex.NOT_LOOKED,
            number=1,
        )
    assert len(book.all(CheckRow)) == 3
    of = {row.taxon: row.check_id for row in book.all(ArrivalRow)}
    assert of["Aglia tau"] == ids.check
    assert of["Laothoe populi"] == of["Mimas tiliae"]
    assert of["Sphinx ligustri"] == of["Deilephila elpenor"]


def test_a_second_look_moves_some_of_a_line(book: Book, ids: Ids) -> None:
    call = lamp.Call("Saturnia pavoniella", Sex.FEMALE, "N. K.", Sure.PROBABLE)
    touched = lamp.redetermine(
        book, LATER, arrival_id=ids.arrival, call=call, number=1, on=on(5, 30)
    )
    assert touched.sentence == (
        "Second look: 1 ♀ Saturnia pyri is ♀ Saturnia pavoniella"
    )
    night = nights.night(book, ids.night, on(6, 1))
    assert [(x.taxon, x.number) for x in night.first_totals] == [("Saturnia pyri", 2)]
    assert [(x.taxon, x.number) for x in night.totals] == [
        ("Saturnia pavoniella", 1),
        ("Saturnia pyri", 1),
    ]
    assert not nights.night(book, ids.night, on(5, 29)).is_corrected
    for number in (0, 3):
        with pytest.raises(Refusal, match="2"):
            lamp.redetermine(
                book, LATER, arrival_id=ids.arrival, call=call, number=number
            )


def test_a_female_that_proves_male_closes_her_bag(book: Book, ids: Ids) -> None:
    call = lamp.Call("Saturnia pyri", Sex.MALE, "N. K.")
    touched = lamp.redetermine_moth(
        book, LATER, moth_id=ids.moth, call=call, on=on(5, 30), note="antennae"
    )
    assert touched.sentence.endswith("its bag closes: not female")
    moth = book.one(MothRow, ids.moth)
    assert (moth.fate, moth.fate_on, moth.sex) == (
        MothFate.NOT_FEMALE,
        on(5, 30),
        Sex.FEMALE,
    )
    told = book.all(DeterminationRow)[-1]
    assert (told.arrival_id, told.moth_id, told.who) == (ids.arrival, ids.moth, "N. K.")
    totals = nights.night(book, ids.night, on(6, 1)).totals
    assert [(x.sex, x.number) for x in totals] == [(Sex.MALE, 1), (Sex.FEMALE, 1)]


def test_a_brood_follows_its_mother_when_she_is_called_again(
    book: Book, ids: Ids
) -> None:
    (pot, *_) = [x for x in holding(book, on(6, 1)).pots if x.brood.id == ids.brood]
    assert holding(book, on(6, 1)).taxon(pot.brood) == "Saturnia pyri"
    call = lamp.Call("Saturnia pavoniella", Sex.FEMALE, "N. K.")
    lamp.redetermine_moth(book, LATER, moth_id=ids.moth, call=call, on=on(5, 30))
    # from the day of the second look on; what was known before stays what it was
    held = holding(book, on(6, 1))
    assert {held.taxon(x.brood) for x in held.pots} == {"Saturnia pavoniella"}
    before = holding(book, on(5, 29))
    assert {before.taxon(x.brood) for x in before.pots} == {"Saturnia pyri"}
    assert book.one(MothRow, ids.moth).taxon == "Saturnia pyri"
