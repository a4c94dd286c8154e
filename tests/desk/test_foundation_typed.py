from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.desk.typed import (
    day_words,
    parse_amount,
    parse_count,
    parse_day,
    parse_time,
    time_words,
)
from rearing.problems import Refusal
from rearing.terms import Quality

SATURDAY = date(2021, 6, 12)


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("", None),
        ("2021-06-04", date(2021, 6, 4)),
        ("12.6.2021", SATURDAY),
        ("12/6/21", SATURDAY),
        ("4.6.", date(2021, 6, 4)),
        ("4 jun", date(2021, 6, 4)),
        ("4 June", date(2021, 6, 4)),
        ("Sat 12 June 2021", SATURDAY),
        ("Saturday, 12 June 2021", SATURDAY),
        ("4", date(2021, 6, 4)),
        ("today", SATURDAY),
        ("Yesterday", date(2021, 6, 11)),
        ("-3", date(2021, 6, 9)),
        ("−3", date(2021, 6, 9)),
        ("sat", SATURDAY),
        ("fri", date(2021, 6, 11)),
        # a day that would lie over half a year ahead is last year's
        ("24.12.", date(2020, 12, 24)),
        ("1.10.", date(2021, 10, 1)),
    ],
)
def test_days_are_understood_as_they_are_written(typed: str, day: date | None) -> None:
    assert parse_day(typed, SATURDAY) == day


@pytest.mark.parametrize(
    "typed", ["32", "30.2.", "13.13.2021", "soon", "12 6 7 8", "x"]
)
def test_what_is_no_day_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is not a day"):
        parse_day(typed, SATURDAY)


@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)))
def test_a_day_written_out_is_read_back(day: date) -> None:
    assert parse_day(day_words(day), SATURDAY) == day
    assert parse_day(day.isoformat(), SATURDAY) == day


@given(st.dates(date(2001, 1, 1), date(2090, 1, 1)), st.integers(-180, 180))
def test_a_day_without_its_year_is_the_near_one(today: date, away: int) -> None:
    day = today + timedelta(days=away)
    if (day.month, day.day) == (2, 29) or day.year > today.year:
        return
    text = day_words(day, year=False)
    read = parse_day(text, today)
    assert read is not None
    assert (read.month, read.day) == (day.month, day.day)
    assert read - today <= timedelta(days=183)


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("", None),
        ("22:40", time(22, 40)),
        ("22.40", time(22, 40)),
        ("2240", time(22, 40)),
        ("22", time(22)),
        ("0:05", time(0, 5)),
        ("9h", time(9)),
    ],
)
def test_times_are_understood_as_they_are_written(typed: str, at: time | None) -> None:
    assert parse_time(typed) == at


@pytest.mark.parametrize("typed", ["24:00", "12:60", "noon", "1:2", "-1"])
def test_what_is_no_time_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is not a time"):
        parse_time(typed)


@given(st.times())
def test_a_time_written_out_is_read_back(at: time) -> None:
    assert parse_time(time_words(at)) == at.replace(second=0, microsecond=0)


@pytest.mark.parametrize(
    ("typed", "count"),
    [
        ("", None),
        ("34", (34, Quality.EXACT)),
        ("~40", (40, Quality.ABOUT)),
        ("about 40", (40, Quality.ABOUT)),
        ("34+", (34, Quality.AT_LEAST)),
        ("≥34", (34, Quality.AT_LEAST)),
        ("at least 34", (34, Quality.AT_LEAST)),
        ("0", (0, Quality.EXACT)),
    ],
)
def test_counts_carry_how_exact_they_are(
    typed: str, count: tuple[int, Quality] | None
) -> None:
    assert parse_count(typed) == count


@pytest.mark.parametrize("typed", ["many", "3.5", "-2", "~", "12 13"])
def test_what_is_no_count_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is not a whole number"):
        parse_count(typed)


@pytest.mark.parametrize(
    ("typed", "amount"), [("", None), ("7,5", 7.5), ("-0.5", -0.5), ("11", 11.0)]
)
def test_amounts_take_point_or_comma(typed: str, amount: float | None) -> None:
    assert parse_amount(typed) == amount


@pytest.mark.parametrize("typed", ["nan", "inf", "1e5", "7,5,1", "-", "."])
def test_what_is_no_amount_is_refused(typed: str) -> None:
    with pytest.raises(Refusal, match="is not a number"):
        parse_amount(typed)
