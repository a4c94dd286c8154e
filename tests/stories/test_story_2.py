"""The night the clock jumps, and no leaf yet: Beech hollow, Sat 27 March 2021.

Every number is the invented scenario's own, the heat of the eggs its planning figure
(8°, 130 degree-days, derived). The change of the clocks is the law of the time zone.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import boxes, eggs, facts, lamp, mothers, places
from rearing.keeping.moments import evening_of, in_night
from rearing.keeping.season import season as windows_of
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.readings import readings_between
from rearing.records.rows import PlaceRow
from rearing.terms import EggFate, Known, Sex
from tests.stories.reader import ZONE, entry, middle, totals

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.keeping.season import Span
    from tests.stories.reader import Reader

EVENING = dt.date(2021, 3, 27)
DAY = dt.timedelta(days=1)


def test_the_lamp_burnt_8_h_20_by_elapsed_time(season: Reader) -> None:
    found = season.night("Beech hollow", EVENING, EVENING + DAY)

    assert found.lamp_hours == pytest.approx(8 + 20 / 60)


def test_the_checks_lie_on_both_sides_of_the_jump(season: Reader) -> None:
    found = season.night("Beech hollow", EVENING, EVENING + DAY)
    local = [check.at.astimezone(ZONE) for check in found.checks if check.at]

    assert [f"{at:%H:%M %Z}" for at in local] == [
        "20:00 CET",
        "22:00 CET",
        "03:30 CEST",
    ]
    assert {evening_of(at) for at in local} == {EVENING}
    assert totals(found)["Endromis versicolora", Sex.FEMALE] == 1


def test_half_past_two_is_asked_about_and_kept_as_about(season: Reader) -> None:
    with pytest.raises(Refusal, match=r"02:30 does not exist.*01:30 or 03:30"):
        in_night(EVENING, dt.time(2, 30), ZONE)

    found = season.night("Beech hollow", EVENING, EVENING + DAY)
    assert found.checks[-1].known is Known.ABOUT


def test_eggs_by_night_none_in_the_first(season: Reader) -> None:
    page = season.page("B21-01", dt.date(2021, 4, 1))

    assert [(n.evening.day, n.laid) for n in page.nights] == [
        (28, 96),
        (29, 52),
        (30, 14),
    ]
    assert page.numbers.eggs == 162
    assert season.brood("B21-02").mother_id == season.moth("W21-02").id


def test_148_of_162_hatched_91_4_per_cent(season: Reader) -> None:
    page = season.page("B21-01", dt.date(2021, 4, 30))
    fates = {lost.cause: lost.number for lost in page.numbers.losses if lost.of_eggs}
    hatched = [x.on for pot in page.pots for x in pot.outcomes if _is_hatch(x.fate)]

    assert page.numbers.hatched == 148
    assert page.numbers.hatched_share == pytest.approx(0.914, abs=0.0005)
    assert fates == {"collapsed": 11, "dead in shell": 3}
    assert (min(hatched), max(hatched)) == (dt.date(2021, 4, 20), dt.date(2021, 4, 23))


@pytest.mark.parametrize(
    ("place", "first", "last", "celsius"),
    [
        ("Porch", "2021-03-28T20", "2021-03-31T19", 14),
        ("Cellar", "2021-03-31T19", "2021-04-14T09", 8),
        ("Hall shelf", "2021-04-14T18", "2021-04-24T00", 18),
    ],
)
def test_the_places_were_as_warm_as_the_notes_say(
    season: Reader, place: str, first: str, last: str, celsius: int
) -> None:
    row = next(p for p in season.book.all(PlaceRow) if p.name == place)
    between_s = [
        dt.datetime.fromisoformat(x).replace(tzinfo=ZONE).timestamp()
        for x in (first, last)
    ]
    _, read = readings_between(season.book, row.id, between_s[0], between_s[1])

    assert round(float(read.mean())) == celsius


def test_in_the_cellar_no_hatch_is_in_sight(season: Reader) -> None:
    on_the_porch = season.window("B21-01", "hatch", dt.date(2021, 3, 30))
    in_the_cellar = season.window("B21-01", "hatch", dt.date(2021, 3, 31))

    assert middle(on_the_porch.half) > dt.date(2021, 4, 21)
    assert in_the_cellar.half is None


def test_on_the_hall_shelf_half_hatch_on_21_april(season: Reader) -> None:
    hatch = season.window("B21-01", "hatch", dt.date(2021, 4, 14))

    # The notes' own sum: 3 x 6 + 14 x 3 = 60 degree-days had, 70 left at 10 a day.
    assert abs(middle(hatch.half) - dt.date(2021, 4, 21)) <= DAY
    assert hatch.heat_to_go_dd == pytest.approx(70, abs=5)
    low, high = _ends(hatch.half)
    assert abs(low - dt.date(2021, 4, 18)) <= DAY
    assert abs(high - dt.date(2021, 4, 24)) <= DAY


def test_what_was_seen_lies_within_its_windows(season: Reader) -> None:
    hatch = season.window("B21-01", "hatch", dt.date(2021, 4, 14))

    first, last = _ends(hatch.first), _ends(hatch.last)
    assert first[0] <= dt.date(2021, 4, 20) <= first[1]
    assert last[0] <= dt.date(2021, 4, 23) <= last[1]


def test_in_the_kitchen_they_would_have_hatched_about_8_april(
    tmp_path: Path, season: Reader
) -> None:
    on = EVENING + DAY
    with Book.make(tmp_path / "kitchen.rearing") as book:
        facts.set_home(book, entry(on), name="Home", zone_name=str(ZONE))
        site = lamp.add_site(
            book, entry(on), name="Site", latitude=45.5, longitude=13.9, zone=str(ZONE)
        )
        place = places.add_place(book, entry(on), name="Kitchen", set_point_c=20)
        night = lamp.record_night(
            book, entry(on), site_id=site.new_id, evening=EVENING, lamp="actinic"
        )
        female = mothers.keep_female(
            book, entry(on), night_id=night.new_id, taxon="Endromis versicolora"
        )
        eggs.record_eggs(
            book,
            entry(on),
            parents=eggs.Parents(female.new_id),
            evening=on,
            number=96,
            pot=eggs.Pot(place_id=place.new_id),
        )
        (forecast,) = windows_of(book, season.shelf, on)
        hatch = forecast.window("hatch")

    assert hatch is not None
    assert abs(middle(hatch.half) - dt.date(2021, 4, 8)) <= DAY


def test_moving_the_pot_back_to_the_cellar_puts_the_hatch_off(
    own_season: Reader,
) -> None:
    on = dt.date(2021, 4, 15)
    before = own_season.window("B21-01", "hatch", on)
    pot = own_season.page("B21-01", on).pots[0]
    cellar = next(p for p in own_season.book.all(PlaceRow) if p.name == "Cellar")
    boxes.shift(
        own_season.book,
        entry(on),
        place_id=cellar.id,
        at=dt.datetime(2021, 4, 15, 19, tzinfo=ZONE),
        pot_id=pot.row.id,
    )
    after = own_season.window("B21-01", "hatch", on)

    # The cellar's own last summer is a future now: in it they would hatch, but late.
    assert middle(after.half) - middle(before.half) >= dt.timedelta(days=14)
    assert after.last is None or after.last.open_end


def _is_hatch(fate: EggFate) -> bool:
    return fate is EggFate.HATCHED


def _ends(span: Span | None) -> tuple[dt.date, dt.date]:
    assert span is not None
    return span.low.date(), span.high.date()
