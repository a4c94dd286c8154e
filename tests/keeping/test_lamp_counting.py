"""The hand at the sheet, entry by entry; the scenario is invented.

That a night is dated by its evening, and that counts of new moths sum while counts of
present ones do not, is common practice, no source.
"""

from __future__ import annotations

import datetime as dt
import random
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from rearing.keeping import lamp, mothers
from rearing.keeping.facts import set_home
from rearing.keeping.lamp_back import take_back_here
from rearing.keeping.lamp_counting import (
    choose_keys,
    close_check,
    count,
    dark_since,
    go_dark,
    keys_of,
    light_again,
    open_check_of,
    put_out,
    stand_of,
)
from rearing.keeping.lamp_dusk import dusk, likely_keys, nights_on
from rearing.keeping.lamp_kept import free_females, next_wild_code
from rearing.keeping.lamp_paper import PaperCheck, PaperCount, record_sheet
from rearing.keeping.lamp_second_look import call_again, counted_kinds
from rearing.keeping.lamp_tally import NightTally, tally
from rearing.keeping.nights import night
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import CheckRow, LampNightRow, MothRow
from rearing.terms import CountingMode, Known, Quality, Sex

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ZONE = ZoneInfo("Europe/Ljubljana")
EVENING = dt.date(2021, 5, 28)
NEXT = dt.date(2021, 5, 29)
PYRI, QUERCUS, ELPENOR = "Saturnia pyri", "Marumba quercus", "Deilephila elpenor"
M, F, NOT = Sex.MALE, Sex.FEMALE, Sex.NOT_LOOKED


def at(hour: int, minute: int = 0) -> dt.datetime:
    day = EVENING if hour >= 12 else NEXT
    return dt.datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZONE)


def entry(moment: dt.datetime | None = None) -> Entry:
    return Entry(moment or at(23), "N. K.")


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with Book.make(tmp_path / "lamp.rearing") as made:
        set_home(made, entry(), name="Hiša", zone_name="Europe/Ljubljana")
        lamp.add_site(
            made,
            entry(),
            name="Terrace",
            latitude=45.53,
            longitude=13.93,
            zone="Europe/Ljubljana",
        )
        yield made


def lit(
    book: Book,
    mode: CountingMode = CountingMode.NEW,
    station: str = "",
    evening: dt.date = EVENING,
) -> int:
    on = dt.datetime.combine(evening, dt.time(21, 20), ZONE)
    return lamp.record_night(
        book,
        Entry(on, "N. K."),
        site_id=1,
        evening=evening,
        lamp="125 W MV",
        station=station,
        times=lamp.LampTimes(on),
        mode=mode,
    ).new_id


def hit(book: Book, night_id: int, taxon: str, sex: Sex, number: int = 1) -> None:
    count(
        book,
        entry(),
        night_id=night_id,
        at=at(23),
        taxon=taxon,
        sex=sex,
        number=number,
    )


def read(book: Book, night_id: int, on: dt.date = NEXT) -> NightTally:
    return tally(book, night_id, on)


def test_the_first_key_opens_a_check_and_the_next_go_to_it(book: Book) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, F)
    hit(book, night_id, PYRI, F)

    (check,) = book.all(CheckRow)
    assert open_check_of(book, book.one(LampNightRow, night_id)) == check.id
    assert read(book, night_id).total(PYRI, F) == 2


def test_a_check_closes_with_its_time_and_the_next_key_opens_another(
    book: Book,
) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, M, 4)
    told = close_check(
        book, entry(), night_id=night_id, at=at(23, 30), temperature_c=15.5
    )
    hit(book, night_id, PYRI, M)

    assert "Check of 23:30 closed: 4 moths" in told.sentence
    first, second = book.all(CheckRow)
    assert (first.at, first.temperature_c) == (at(23, 30), 15.5)
    assert [one.moths for one in read(book, night_id).checks] == [1, 4]
    assert second.id != first.id


def test_a_check_at_which_nothing_came_is_a_zero_and_no_check_is_none(
    book: Book,
) -> None:
    night_id = lit(book)
    assert not book.all(CheckRow)
    close_check(book, entry(), night_id=night_id, at=at(22), known=Known.ABOUT)

    (check,) = book.all(CheckRow)
    assert check.known is Known.ABOUT
    assert read(book, night_id).moths == 0


@pytest.mark.parametrize(
    ("mode", "total"), [(CountingMode.NEW, 7), (CountingMode.PRESENT, 5)]
)
def test_new_moths_sum_and_present_ones_take_the_largest_check(
    book: Book, mode: CountingMode, total: int
) -> None:
    night_id = lit(book, mode)
    hit(book, night_id, PYRI, M, 5)
    close_check(book, entry(), night_id=night_id, at=at(22))
    hit(book, night_id, PYRI, M, 2)

    assert read(book, night_id).total(PYRI, M) == total
    assert [one.number for one in night(book, night_id, NEXT).totals] == [total]


@pytest.mark.parametrize("mode", list(CountingMode))
def test_the_running_count_is_the_one_that_is_read_again(
    book: Book, mode: CountingMode
) -> None:
    """Two hundred keys of chance: kept up by hand and read anew are the same."""
    rng = random.Random(28)
    night_id = lit(book, mode)
    running = read(book, night_id)
    for _ in range(200):
        if rng.random() < 0.05 and running.open_id is not None:
            close_check(book, entry(), night_id=night_id, at=at(23))
            running.open_id = None
            continue
        kind = (rng.choice((PYRI, QUERCUS, ELPENOR)), rng.choice(list(Sex)))
        number, quality = rng.choice((1, 1, 1, 40)), rng.choice(list(Quality))
        touched = count(
            book,
            entry(),
            night_id=night_id,
            at=None,
            taxon=kind[0],
            sex=kind[1],
            number=number,
            quality=quality,
        )
        opened = [row for name, row in touched.subjects if name == "lamp_check"]
        check = opened[0] if opened else running.open_id or 0
        running.add(kind, number, quality, None, check)

    anew = read(book, night_id)
    for taxon in (PYRI, QUERCUS, ELPENOR):
        for sex in Sex:
            assert running.total(taxon, sex) == anew.total(taxon, sex)
            assert running.mark(taxon, sex) == anew.mark(taxon, sex)
    assert running.moths == anew.moths
    assert running.open_id == anew.open_id


def test_taking_back_goes_key_by_key_and_stops_at_the_night(book: Book) -> None:
    earlier = lit(book, evening=dt.date(2021, 5, 27))
    hit(book, earlier, PYRI, M)
    night_id = lit(book)
    hit(book, night_id, PYRI, F)
    hit(book, night_id, PYRI, F)

    for left in (1, 0):
        take_back_here(book, entry(at(0, 50)), night_id=night_id)
        assert read(book, night_id).total(PYRI, F) == left
    take_back_here(book, entry(), night_id=night_id)
    with pytest.raises(Refusal, match="27 May"):
        take_back_here(book, entry(), night_id=night_id)
    assert read(book, earlier).total(PYRI, M) == 1


def test_taking_back_a_closed_check_opens_it_again(book: Book) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, F)
    close_check(book, entry(), night_id=night_id, at=at(23, 30))
    take_back_here(book, entry(), night_id=night_id)

    assert read(book, night_id).open_check is not None


def test_taking_back_never_reaches_what_was_entered_elsewhere(book: Book) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, F)
    set_home(book, entry(), name="Hiša na Robu", zone_name="Europe/Ljubljana")

    with pytest.raises(Refusal, match="Set the home"):
        take_back_here(book, entry(), night_id=night_id)


def test_a_dark_lamp_is_off_the_hours_and_the_sum_is_4_83_less_an_hour(
    book: Book,
) -> None:
    night_id = lit(book)
    go_dark(book, entry(), night_id=night_id, at=at(23))
    assert dark_since(book, book.one(LampNightRow, night_id)) == at(23)
    light_again(book, entry(), night_id=night_id, at=at(0), why="rain")
    put_out(book, entry(), night_id=night_id, at=at(2, 10), end_c=12.0)

    found = night(book, night_id, NEXT)
    assert found.lamp_hours is not None
    assert found.lamp_hours == pytest.approx(290 / 60 - 1)
    seconds = read(book, night_id).lamp_seconds(at(5))
    assert seconds == pytest.approx(190 * 60 + 2400)


def test_a_lamp_that_stayed_dark_went_out_then(book: Book) -> None:
    night_id = lit(book)
    go_dark(book, entry(), night_id=night_id, at=at(23))
    put_out(book, entry(), night_id=night_id, at=at(2))

    assert book.one(LampNightRow, night_id).lamp_off == at(23)


def test_nothing_is_counted_before_the_lamp_was_lit(book: Book) -> None:
    night_id = lit(book)
    with pytest.raises(Refusal, match="not lit yet"):
        close_check(book, entry(), night_id=night_id, at=at(20))


def test_two_lamps_of_one_night_count_apart(book: Book) -> None:
    one, other = lit(book), lit(book, station="bucket")
    hit(book, one, PYRI, M)
    hit(book, other, ELPENOR, NOT, 3)

    assert [row.id for row in nights_on(book, EVENING)] == [one, other]
    assert (read(book, one).moths, read(book, other).moths) == (1, 3)
    assert read(book, one).open_id != read(book, other).open_id


def test_species_stay_on_their_keys_the_next_night(book: Book) -> None:
    night_id = lit(book)
    choose_keys(book, entry(), night_id=night_id, keys=(PYRI, "", QUERCUS))
    hit(book, night_id, QUERCUS, M)
    hit(book, night_id, ELPENOR, NOT)

    stand = stand_of(book.one(LampNightRow, night_id))
    assert keys_of(book, stand) == (PYRI, "", QUERCUS)
    # on the next evening what came is likely, and takes the place that is free
    assert likely_keys(book, NEXT, stand) == (ELPENOR, "", QUERCUS)
    with pytest.raises(Refusal, match="a key already"):
        choose_keys(book, entry(), night_id=night_id, keys=(PYRI, PYRI))


def test_dusk_begins_as_the_last_night_did(book: Book) -> None:
    lit(book, CountingMode.PRESENT)
    found = dusk(book, NEXT)
    assert found is not None
    assert (found.site.name, found.lamp) == ("Terrace", "125 W MV")
    assert found.mode is CountingMode.PRESENT


def test_a_second_look_moves_a_sex_and_keeps_the_first_call(book: Book) -> None:
    night_id = lit(book)
    hit(book, night_id, QUERCUS, M, 3)
    hit(book, night_id, QUERCUS, F)
    females = next(k for k in counted_kinds(book, night_id) if k.sex is F)
    call = lamp.Call(QUERCUS, M, "N. K.")
    call_again(book, entry(at(8)), counted=females, number=1, call=call)

    found = night(book, night_id, NEXT)
    assert [(one.sex, one.number) for one in found.totals] == [(M, 4)]
    assert [(one.sex, one.number) for one in found.first_totals] == [(M, 3), (F, 1)]
    assert all(k.sex is M for k in counted_kinds(book, night_id))


def test_a_second_look_at_several_lines_is_one_entry(book: Book) -> None:
    night_id = lit(book)
    for _ in range(5):
        hit(book, night_id, PYRI, F)
    (kind,) = counted_kinds(book, night_id)
    call_again(
        book, entry(), counted=kind, number=3, call=lamp.Call("Saturnia spini", F)
    )
    assert read(book, night_id).total("Saturnia spini", F) == 3
    assert read(book, night_id).total(PYRI, F) == 2

    take_back_here(book, entry(), night_id=night_id)
    assert read(book, night_id).total(PYRI, F) == 5


def kept(book: Book, night_id: int, code: str) -> int:
    line = free_females(book, night_id)[0]
    return mothers.keep_female(
        book,
        entry(),
        night_id=night_id,
        taxon=line.taxon,
        arrival_id=line.id,
        code=code,
    ).new_id


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("W21-05", "W21-06"),
        ("21/9", "21/10"),
        ("the pyri", "W21-01"),
        ("W21-05a", "W21-06a"),
    ],
)
def test_the_next_code_follows_the_keepers_own(
    book: Book, first: str, then: str
) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, F)
    kept(book, night_id, first)

    assert next_wild_code(book, 2021) == then


def test_a_code_is_not_given_again_after_its_entry_was_taken_back(book: Book) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, F, 2)
    kept(book, night_id, "W21-05")
    kept(book, night_id, "W21-06")
    take_back_here(book, entry(), night_id=night_id)

    assert [moth.code for moth in book.all(MothRow)] == ["W21-05"]
    assert next_wild_code(book, 2021) == "W21-07"


def test_a_new_year_begins_at_one(book: Book) -> None:
    night_id = lit(book)
    hit(book, night_id, PYRI, F)
    kept(book, night_id, "W21-05")

    assert next_wild_code(book, 2022) == "W22-01"


def test_a_sheet_of_paper_is_one_entry(book: Book) -> None:
    night_id = lit(book)
    sheet = (
        PaperCheck(at(22, 15), 16.0, (PaperCount(ELPENOR, NOT, 3),)),
        PaperCheck(at(23, 30), None, ()),
        PaperCheck(None, None, (PaperCount(PYRI, M, 40, Quality.AT_LEAST),)),
    )
    told = record_sheet(book, entry(), night_id=night_id, checks=sheet)

    assert "3 checks, 43 moths" in told.sentence
    found = read(book, night_id)
    assert found.mark(PYRI, M) == "≥"
    assert [one.moths for one in found.checks] == [3, 0, 40]
    take_back_here(book, entry(), night_id=night_id)
    assert read(book, night_id).checks == []
