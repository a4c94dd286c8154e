"""A lamp night told on the command line: story 1 and the book's other evenings."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import facts, lamp, mothers
from rearing.keeping.moments import in_night
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.terms import CountingMode, MothFate, Quality, Sex
from tests.commands.small_season import AS_ON, HOME

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

EVENING = dt.date(2021, 5, 28)
PYRI, QUERCUS, ELPENOR = "Saturnia pyri", "Marumba quercus", "Deilephila elpenor"
# Story 1 of the invented season: at each check males and females, or not looked at.
CHECKS = {
    "22:15": [(ELPENOR, Sex.NOT_LOOKED, 3)],
    "23:30": [
        (PYRI, Sex.MALE, 4),
        (QUERCUS, Sex.MALE, 1),
        (ELPENOR, Sex.NOT_LOOKED, 2),
    ],
    "00:45": [
        (PYRI, Sex.MALE, 5),
        (PYRI, Sex.FEMALE, 2),
        (QUERCUS, Sex.FEMALE, 1),
        (ELPENOR, Sex.NOT_LOOKED, 1),
    ],
    "02:00": [(PYRI, Sex.MALE, 3), (QUERCUS, Sex.MALE, 2)],
}
NIGHT = Entry(dt.datetime(2021, 5, 29, 2, 30, tzinfo=HOME))
MORNING = Entry(dt.datetime(2021, 5, 29, 8, 10, tzinfo=HOME))


def clock(text: str) -> dt.datetime:
    return in_night(EVENING, dt.time.fromisoformat(text), HOME)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a book with the night of story 1, shown as on 12 June."""
    path = tmp_path_factory.mktemp("night") / "night.rearing"
    with Book.make(path) as book:
        facts.set_home(
            book,
            NIGHT,
            name="Hiša na Robu",
            zone_name=str(HOME),
            keeper="Vida",
            as_on=AS_ON,
        )
        site = lamp.add_site(
            book,
            NIGHT,
            name="Terrace",
            latitude=45.53,
            longitude=13.93,
            zone=str(HOME),
        ).new_id
        _write_story_1(book, site)
        lamp.record_night(
            book,
            NIGHT,
            site_id=site,
            evening=dt.date(2021, 5, 20),
            lamp="15 W actinic",
            mode=CountingMode.PRESENT,
        )
    return path


def _write_story_1(book: Book, site: int) -> None:
    night = lamp.record_night(
        book,
        NIGHT,
        site_id=site,
        evening=EVENING,
        lamp="125 W MV, sheet",
        times=lamp.LampTimes(clock("21:20"), clock("02:10")),
        weather=lamp.Weather(17.5, 12, "dew from 01:30"),
    ).new_id
    oak = 0
    for at, seen in CHECKS.items():
        check = lamp.record_check(book, NIGHT, night_id=night, at=clock(at)).new_id
        for taxon, sex, number in seen:
            last = lamp.record_arrival(
                book, NIGHT, check_id=check, taxon=taxon, sex=sex, number=number
            ).new_id
            oak = last if (taxon, sex) == (QUERCUS, Sex.FEMALE) else oak
    for taxon, arrival, code in ((PYRI, None, "W21-05"), (QUERCUS, oak, "W21-06")):
        kept = mothers.keep_female(
            book,
            NIGHT,
            night_id=night,
            taxon=taxon,
            arrival_id=arrival,
            code=code,
            kept_at=clock("00:50"),
            condition=mothers.Condition(container=f"bag {code[-1]}"),
        ).new_id
    male = lamp.Call(QUERCUS, Sex.MALE, "Vida")
    lamp.redetermine_moth(book, MORNING, moth_id=kept, call=male)


@pytest.fixture
def night_book(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(written, tmp_path / "night.rearing"))


def told(totals: list[dict[str, object]]) -> dict[tuple[object, object], object]:
    return {(one["taxon"], one["sex"]): one["number"] for one in totals}


def test_totals_before_and_after_the_second_look(ask: Ask, night_book: Path) -> None:
    (night,) = ask("night", night_book, "--on", EVENING, "--json").data["nights"]
    same = {(PYRI, "male"): 12, (PYRI, "female"): 2, (ELPENOR, "not looked"): 6}
    assert told(night["first_totals"]) == {
        **same,
        (QUERCUS, "male"): 3,
        (QUERCUS, "female"): 1,
    }
    assert told(night["totals"]) == {**same, (QUERCUS, "male"): 4}
    assert (night["moths"], night["species"]) == (24, 3)
    (call,) = night["calls"]
    assert (call["on"], call["who"], call["sure"]) == ("2021-05-29", "Vida", "certain")
    assert (call["number"], call["taxon"], call["sex"]) == (1, QUERCUS, "male")
    assert night["sexes"] == {"males": 16, "females": 2, "not_looked": 6}


def test_lamp_hours_weather_and_sky(ask: Ask, night_book: Path) -> None:
    (night,) = ask("night", night_book, "--on", EVENING, "--json").data["nights"]
    assert night["lamp_hours"] == pytest.approx(4.83, abs=0.005)
    assert night["lamp_on"] == "2021-05-28T21:20:00+02:00"
    assert night["weather"] == {"start_c": 17.5, "end_c": 12, "words": "dew from 01:30"}
    # Computed for the stories: sunset 20:41 within 3 minutes, moon 91 % within 3 %.
    assert night["sky"]["sunset"][:15] == "2021-05-28T20:4"
    assert night["sky"]["moon_fraction"] == pytest.approx(0.91, abs=0.03)
    assert 2 < night["sky"]["moon_hours"] < 3


def test_all_checks_file_under_the_evening(ask: Ask, night_book: Path) -> None:
    (night,) = ask("night", night_book, "--on", EVENING, "--json").data["nights"]
    assert [check["at"][8:16] for check in night["checks"]] == [
        "28T22:15",
        "28T23:30",
        "29T00:45",
        "29T02:00",
    ]
    assert [sum(x["number"] for x in c["came"]) for c in night["checks"]] == [
        3,
        7,
        9,
        5,
    ]
    assert night["checks"][0]["lamp_hour"] == pytest.approx(55 / 60, abs=1e-4)


def test_who_was_kept_and_that_one_was_no_female(ask: Ask, night_book: Path) -> None:
    (night,) = ask("night", night_book, "--on", EVENING, "--json").data["nights"]
    pyri, quercus = night["kept"]
    assert (pyri["code"], pyri["sex"], pyri["fate"]) == ("W21-05", "female", None)
    assert (quercus["sex"], quercus["first_sex"]) == ("male", "female")
    assert (quercus["fate"], quercus["fate_on"]) == (MothFate.NOT_FEMALE, "2021-05-29")
    assert quercus["at"] == "2021-05-29T00:50:00+02:00"


def test_text_tells_the_night_on_a_page(ask: Ask, night_book: Path) -> None:
    out = ask("night", night_book, "--on", EVENING).out
    assert out.startswith("Night of Friday 28 May 2021 · Terrace · 125 W MV, sheet\n")
    assert "Lamp 21:20 to 02:10: 4.83 lamp-hours" in out
    assert "moon 91% waning" in out
    assert "Saturnia pyri       12  2               14" in out
    assert "At first called:" in out
    assert "Second look 29 May: 1 ♂ Marumba quercus (Vida, certain)" in out
    assert "Kept W21-06, ♂ Marumba quercus (first called ♀), bag 6; not female" in out


def test_without_a_day_it_is_the_latest_night(ask: Ask, night_book: Path) -> None:
    data = ask("night", night_book, "--json").data
    assert (data["on"], data["known_on"]) == ("2021-05-28", "2021-06-12")


def test_an_evening_without_a_night_is_no_zero_night(
    ask: Ask, night_book: Path
) -> None:
    answer = ask("night", night_book, "--on", "2021-05-29", "--json")
    assert (answer.code, answer.data["nights"]) == (0, [])
    words = ask("night", night_book, "--on", "2021-05-29").out
    assert words == "There is no lamp night of Saturday 29 May 2021 in the book.\n"
    unlooked = ask("night", night_book, "--on", "2021-05-20").out
    assert "Lamp hours not known" in unlooked
    assert "No check was made." in unlooked


def test_about_and_an_outage_are_told(ask: Ask, night_book: Path) -> None:
    with Book.open(night_book) as book:
        night = lamp.record_night(
            book,
            MORNING,
            site_id=1,
            evening=EVENING,
            station="edge",
            lamp="15 W actinic",
            times=lamp.LampTimes(clock("22:00"), clock("02:00")),
        ).new_id
        lamp.record_outage(
            book,
            MORNING,
            night_id=night,
            from_at=clock("23:40"),
            to_at=clock("00:25"),
            why="bulb",
        )
        lamp.count_at_sheet(
            book,
            MORNING,
            night_id=night,
            at=clock("23:00"),
            taxon=ELPENOR,
            sex=Sex.NOT_LOOKED,
            number=40,
            quality=Quality.ABOUT,
        )
    data = ask("night", night_book, "--on", EVENING, "--json").data
    edge = data["nights"][1]
    assert edge["lamp_hours"] == 3.25
    assert edge["outages"][0]["why"] == "bulb"
    assert edge["totals"][0]["quality"] == "about"
    out = ask("night", night_book, "--on", EVENING).out
    assert "1 outage: 3.25 lamp-hours" in out
    assert "c. 40" in out
