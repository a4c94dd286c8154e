"""A typed forecast: read from text, overriding the first days, as on a day."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from rearing.keeping import facts, places
from rearing.keeping.following import follow_place, following_of
from rearing.keeping.forecast_lines import forecast_lines
from rearing.keeping.forecasts import forecast_of, take_forecast
from rearing.keeping.holding import holding
from rearing.keeping.temperatures_in import Origin, take_readings_in
from rearing.keeping.warmth import Warmth
from rearing.problems import AskFirst, Refusal
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.science.futures import Kind
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from numpy.typing import NDArray

    from rearing.keeping.ahead import Ahead

ZONE = ZoneInfo("Europe/Ljubljana")
ON = dt.date(2021, 6, 12)
ENTRY = Entry(dt.datetime(2021, 6, 12, 8, 0, tzinfo=ZONE), "")
GARDEN, SHED, SHELF = 1, 2, 3
HOUR_S = 3600
FIVE = "13 June 9 21\n14 June 10 23\n15 June 11 24\n16 June 12 26\n17 June 12 27"


def day_before(number: int) -> Entry:
    return Entry(ENTRY.now - dt.timedelta(days=number), "")


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Return garden and shed read by the hour to the end of 11 June (computed).

    The shed is 1.5° warmer and feels 0.4 of the garden's swing, two hours late.
    """
    with Book.make(tmp_path / "f.rearing") as made:
        facts.set_home(made, ENTRY, name="Hiša", zone_name="Europe/Ljubljana")
        places.add_place(made, ENTRY, name="Garden", outdoors=True)
        places.add_place(made, ENTRY, name="Shed")
        places.add_place(made, ENTRY, name="Shelf", set_point_c=21)
        start = int(dt.datetime(2021, 4, 20, tzinfo=ZONE).timestamp())
        hour = np.arange(53 * 24)
        rng = np.random.default_rng(8)
        mean = 12 + 3 * np.sin(hour / 130) + np.repeat(rng.normal(0, 1, 53), 24)
        swing = 5 * np.sin(2 * np.pi * hour / 24)
        late = 5 * np.sin(2 * np.pi * (hour - 2) / 24)
        own = mean + 1.5 + 0.4 * late + rng.normal(0, 0.2, len(hour))
        for place_id, celsius in ((GARDEN, mean + swing), (SHED, own)):
            origin = Origin(place_id, f"{place_id}.csv", "T")
            at_s = start + HOUR_S * hour
            take_readings_in(made, ENTRY, origin=origin, at_s=at_s, celsius=celsius)
        yield made


def ahead_of(book: Book, place_id: int, on: dt.date = ON) -> Ahead:
    return Warmth(book, load_all(), holding(book, on)).ahead(place_id)


def day_means(found: Ahead, day: int) -> NDArray[np.float64]:
    begin = 24 * day
    hours = found.scenarios.celsius[:, begin : begin + 24]
    return np.asarray(hours.mean(axis=1))


@pytest.mark.parametrize(
    ("text", "low_c", "high_c"),
    [
        ("13 June 9 21", 9, 21),
        ("13.6. 9/21", 9, 21),
        ("13/6 9-21", 9, 21),
        ("2021-06-13 9,5 21,5", 9.5, 21.5),
        ("2021-06-13,9.5,21.5", 9.5, 21.5),
        ("2021-06-13;9,5;21,5", 9.5, 21.5),
        ("Sun 13 June: 9° to 21°", 9, 21),
        ("June 13, 2021\t9\t21", 9, 21),
        ("6/13 9 21", 9, 21),
        ("13. Jun 9 °C – 21 °C", 9, 21),
        ("day low high\n13 June 9 21", 9, 21),
        ("day, high, low\n13 June 21 9", 9, 21),
        ("13 June -8 -3", -8, -3),
        ("13 June −8–−3", -8, -3),
        ("13 June 50 68 F", 10, 20),
        ("Day Low °F High °F\n13 June 50 68", 10, 20),
    ],
)
def test_a_line_is_read_as_a_person_means_it(
    text: str, low_c: float, high_c: float
) -> None:
    (found,) = forecast_lines(text, ON)
    assert (found.day, found.low_c, found.high_c) == (
        dt.date(2021, 6, 13),
        low_c,
        high_c,
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "a day on each line"),
        ("13 June 9 21\n14 June 10", "Line 2, “14 June 10”.*is only one"),
        ("13 June 9 21\nrain", "Line 2, “rain”: it begins with no day"),
        ("13 June 9 21 40 %", "Line 1.*there are 3"),
        ("31.6. 9 21", "Line 1.*no day"),
        ("13 June 9 21\n14 June 22 10", "Line 2: the lowest, 22°, is above"),
        ("13 June 9 21\n13.6. 9 22", "Line 2 has the same day as line 1"),
        ("13 June 60 80", "Line 1: 60 to 80 °C is no air; is it °F"),
        ("13 June 9 °C 70 °F", "write one of them"),
    ],
)
def test_what_cannot_be_meant_names_its_line(text: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        forecast_lines(text, ON)


def test_a_day_without_a_year_is_the_nearest() -> None:
    (found,) = forecast_lines("2 January -3 4", dt.date(2021, 12, 30))
    assert found.day == dt.date(2022, 1, 2)


def test_it_overrides_the_first_days_and_says_so(book: Book) -> None:
    before = ahead_of(book, GARDEN)
    hot = FIVE.replace(" 9 21", " 22 34").replace(" 10 23", " 22 34")
    told = take_forecast(book, ENTRY, place_id=GARDEN, text=hot)
    assert told.sentence == "Forecast of 12 June for Garden: 13–17 June"
    after = ahead_of(book, GARDEN)
    words = "forecast typed 12 June for 13–17 June, "
    assert after.words == words + before.words
    # The day between, 12 June, is not told; 13 and 14 June stand at 28 ± 1.3.
    assert abs(day_means(after, 1).mean() - 28) < 1.2
    assert day_means(after, 1).std() < 2.5
    assert abs(day_means(before, 1).mean() - 28) > 8
    # Long after it the futures are what they were.
    assert np.allclose(day_means(after, 60), day_means(before, 60), atol=0.2)


def test_a_place_that_follows_has_it_by_the_rule(book: Book) -> None:
    assert ahead_of(book, SHED).kind is Kind.LAST_DAYS
    hot = "\n".join(f"{n} June 22 34" for n in range(12, 18))
    take_forecast(book, ENTRY, place_id=GARDEN, text=hot)
    shed = ahead_of(book, SHED)
    assert shed.kind is Kind.RULE
    assert "Garden has it, by a rule from 53 days both were read" in shed.words
    assert shed.words.endswith("forecast typed 12 June for 12–17 June there")
    assert abs(day_means(shed, 2).mean() - 29.5) < 1.5


def test_a_later_forecast_takes_over_and_the_earlier_stays(book: Book) -> None:
    take_forecast(book, day_before(2), place_id=GARDEN, text="13 June 3 9\n14 June 3 9")
    take_forecast(book, ENTRY, place_id=GARDEN, text="14 June 10 23")
    now = forecast_of(book, GARDEN, ON)
    assert [(row.day.day, row.low_c) for row in now.days] == [(13, 3), (14, 10)]
    assert [(row.day.day, row.low_c) for row in now.earlier] == [(14, 3)]
    assert now.words == (
        "forecast typed 10 June for 13 June, forecast typed 12 June for 14 June"
    )
    on_eve = forecast_of(book, GARDEN, ON - dt.timedelta(days=1))
    assert [row.low_c for row in on_eve.days] == [3, 3]
    assert forecast_of(book, GARDEN, ON - dt.timedelta(days=3)).days == ()


def test_taken_back_nothing_is_left_of_it(book: Book) -> None:
    before = ahead_of(book, GARDEN)
    take_forecast(book, ENTRY, place_id=GARDEN, text=FIVE)
    book.take_back(ENTRY)
    assert forecast_of(book, GARDEN, ON).days == ()
    after = ahead_of(book, GARDEN)
    assert after.words == before.words
    assert np.array_equal(after.scenarios.celsius, before.scenarios.celsius)


def test_only_what_was_given_by_then_counts(book: Book) -> None:
    eve = ON - dt.timedelta(days=1)
    before = ahead_of(book, GARDEN, eve)
    take_forecast(book, ENTRY, place_id=GARDEN, text=FIVE)
    assert ahead_of(book, GARDEN, eve).words == before.words


@pytest.mark.parametrize(("place_id", "words"), [(SHED, "outdoors"), (SHELF, "outdoo")])
def test_it_is_of_the_air_outdoors(book: Book, place_id: int, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        take_forecast(book, ENTRY, place_id=place_id, text=FIVE)


def test_days_gone_and_far_off_are_refused_and_the_future_asked(book: Book) -> None:
    for text in ("11 June 9 21", "13 June 9 21\n13 July 9 21"):
        with pytest.raises(Refusal, match="no day of a short forecast"):
            take_forecast(book, ENTRY, place_id=GARDEN, text=text)
    tomorrow = ON + dt.timedelta(days=1)
    with pytest.raises(AskFirst):
        take_forecast(book, ENTRY, place_id=GARDEN, text=FIVE, given_on=tomorrow)


def test_the_rule_between_places_is_found_and_settled(book: Book) -> None:
    shed = places.places(book)[1]
    found = following_of(book, shed, ON)
    assert found is not None
    assert (found.other.name, found.rule.days, found.is_chosen) == ("Garden", 53, False)
    for low, middle, high, true in (
        (*found.intervals.warmer_c, 1.5),
        (*found.intervals.damping, 0.4),
    ):
        assert low < middle < high
        assert abs(middle - true) < 0.06
        assert high - low < 0.3
    assert found.rule.lag_h == 2
    told = follow_place(book, ENTRY, place_id=SHED, other_id=GARDEN)
    assert told.sentence == "Shed follows Garden"
    settled = following_of(book, shed, ON)
    assert settled is not None
    assert settled.is_chosen
    assert ahead_of(book, SHED).kind is Kind.RULE
    follow_place(book, ENTRY, place_id=SHED, other_id=None)
    assert following_of(book, shed, ON) is None
    assert ahead_of(book, SHED).kind is Kind.LAST_DAYS
    book.take_back(ENTRY)
    assert ahead_of(book, SHED).kind is Kind.RULE


def test_a_rule_that_cannot_be_is_refused(book: Book) -> None:
    follow_place(book, ENTRY, place_id=SHED, other_id=GARDEN)
    for place_id, other_id, words in (
        (GARDEN, SHED, "follows Garden already"),
        (GARDEN, GARDEN, "itself"),
        (SHELF, GARDEN, "has a set point"),
    ):
        with pytest.raises(Refusal, match=words if other_id != SHED else "other way"):
            follow_place(book, ENTRY, place_id=place_id, other_id=other_id)
    places.add_place(book, ENTRY, name="Porch", outdoors=True)
    with pytest.raises(Refusal, match="not both read on a week"):
        follow_place(book, ENTRY, place_id=SHED, other_id=4)
