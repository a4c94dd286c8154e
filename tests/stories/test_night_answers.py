"""What the night book answers of stories 1 and 2, and that it leaves whole.

Every number is the invented scenario's own. Sunset and moon were computed for the
place with a general astronomy library, to be met within 3 minutes and 3 %.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import TYPE_CHECKING

import pytest
from dwca.read import DwCAReader

from rearing.exchange.archive import archive_bytes, save
from rearing.exchange.archive_rows import Handing
from rearing.keeping.arrivals import arrivals_through, beside_earlier
from rearing.keeping.night_counts import SexCounts, all_nights, nights_of
from rearing.keeping.night_sky import site_sky
from rearing.keeping.recording import recording
from rearing.keeping.years import flight_years, nights_calendar, sex_ratios
from tests.stories.reader import ZONE

if TYPE_CHECKING:
    from pathlib import Path

    from dwca.rows import CoreRow

    from tests.stories.reader import Reader

BUSY, JUMP = dt.date(2021, 5, 28), dt.date(2021, 3, 27)
AFTER = dt.date(2021, 6, 12)
PYRI, QUERCUS = "Saturnia pyri", "Marumba quercus"
DWC = "http://rs.tdwg.org/dwc/terms/"


def test_arrivals_of_the_busy_night_by_sex(season: Reader) -> None:
    (night,) = nights_of(season.book, BUSY, BUSY)
    pyri = [one.at_check for one in arrivals_through(night, PYRI)]
    quercus = [one.at_check for one in arrivals_through(night, QUERCUS)]
    assert pyri == [SexCounts(), SexCounts(4), SexCounts(5, 2), SexCounts(3)]
    assert quercus == [SexCounts(), SexCounts(1), SexCounts(0, 1), SexCounts(2)]
    assert arrivals_through(night)[-1].so_far == SexCounts(15, 3, 6)


def test_the_second_look_moves_one_and_loses_none(season: Reader) -> None:
    (night,) = nights_of(season.book, BUSY, AFTER)
    quercus = [one.at_check for one in arrivals_through(night, QUERCUS)]
    assert quercus == [SexCounts(), SexCounts(1), SexCounts(1), SexCounts(2)]
    assert arrivals_through(night)[-1].so_far == SexCounts(16, 2, 6)


def test_the_busy_night_beside_earlier_ones(season: Reader) -> None:
    (night,) = nights_of(season.book, BUSY, AFTER)
    busy, *earlier = beside_earlier(season.book, night.row.id, AFTER)
    # On at 21:20: the checks lie 0 h 55, 2 h 10, 3 h 25 and 4 h 40 after it.
    assert busy.by_hour == (3, 0, 7, 9, 5)
    assert busy.lamp_hours == pytest.approx(4.83, abs=0.005)
    assert busy.per_lamp_hour == pytest.approx(24 / 4.8333, abs=0.001)
    assert earlier
    assert all(one.site == "Terrace" and one.evening < BUSY for one in earlier)


def test_sun_and_moon_of_both_nights(season: Reader) -> None:
    for evening, sunset, moon, waxing in (
        (BUSY, dt.time(20, 41), 0.91, False),
        (JUMP, dt.time(18, 25), 0.99, True),
    ):
        (night,) = nights_of(season.book, evening, AFTER)
        sky = site_sky(night.site, evening)
        assert sky.sunset is not None
        wanted = dt.datetime.combine(evening, sunset, ZONE)
        assert abs(sky.sunset - wanted) <= dt.timedelta(minutes=3)
        assert sky.moon_fraction == pytest.approx(moon, abs=0.03)
        assert sky.moon_waxing is waxing


def test_lamp_hours_run_on_through_the_jump_of_the_clock(season: Reader) -> None:
    (night,) = nights_of(season.book, JUMP, AFTER)
    assert night.lamp_hours == pytest.approx(8 + 20 / 60)
    # 18:50 CET to 20:00, 22:00 CET and 03:30 CEST, which is 02:30 CET.
    hours = [check.lamp_hour for check in night.checks]
    assert hours == pytest.approx([1 + 10 / 60, 3 + 10 / 60, 7 + 40 / 60])


def test_flight_dates_and_sex_ratio_of_the_year(season: Reader) -> None:
    (year,) = (
        one
        for one in flight_years(season.book, BUSY)
        if (one.taxon, one.year) == (QUERCUS, 2021)
    )
    assert year.last == year.first_female == BUSY
    (night,) = nights_of(season.book, BUSY, AFTER)
    pyri = next(one for one in sex_ratios([night]) if one.taxon == PYRI)
    assert pyri.counts == SexCounts(12, 2, 0)
    # Computed by Wilson's formula by hand: 2 of 14.
    assert pyri.females is not None
    assert pyri.females.low == pytest.approx(0.0401, abs=5e-4)
    assert pyri.females.high == pytest.approx(0.3994, abs=5e-4)


def test_the_calendar_tells_zero_nights_from_no_night(season: Reader) -> None:
    nights = nights_calendar(season.book, 2021, dt.date(2021, 9, 30))
    zero = [one for one in nights if one.was_looked_at and not one.moths]
    assert len(zero) >= 3
    assert BUSY in {one.evening for one in nights}
    two = [one for one in nights if one.evening == dt.date(2021, 5, 7)]
    assert len({(one.site, one.station) for one in two}) == len(two) >= 2


def test_the_whole_book_leaves_with_its_totals(season: Reader, tmp_path: Path) -> None:
    path, on = tmp_path / "nights.zip", dt.date(2022, 6, 1)
    save(path, archive_bytes(Handing(recording(season.book, season.shelf, on))))
    with DwCAReader(str(path)) as archive:
        events = list(archive)
        at = {row.id: _at(row) for row in events}
    protocols = {row.id: row.data[DWC + "samplingProtocol"] for row in events}
    checks: dict[str, list[Counter[tuple[str, str]]]] = {}
    for row in events:
        parent = row.data[DWC + "parentEventID"]
        if parent:
            checks.setdefault(parent, []).append(at[row.id])
    counted = all_nights(season.book, on)
    nights = [row.id for row in events if not row.data[DWC + "parentEventID"]]
    assert nights == [f"hisa-na-robu:night:{night.row.id}" for night in counted]
    largest = 0
    for night, key in zip(counted, nights, strict=True):
        found: Counter[tuple[str, str]] = Counter()
        add_up = "do not add up" not in protocols[key]
        for own in checks.get(key, ()):
            # As each night's protocol tells a reader to do.
            found = found + own if add_up else found | own
        largest += not add_up
        assert found == {
            (one.taxon, one.sex.value.replace("not looked", "")): one.number
            for one in night.totals
        }
    assert len(counted) > 20
    assert largest >= 1


def _at(row: CoreRow) -> Counter[tuple[str, str]]:
    """Return what the archive counts at one check."""
    found: Counter[tuple[str, str]] = Counter()
    for below in row.extensions:
        if below.rowtype == DWC + "Occurrence":
            name, sex, number = (
                below.data[DWC + term]
                for term in ("scientificName", "sex", "individualCount")
            )
            found[name, sex] += int(number or 0)
    return +found
