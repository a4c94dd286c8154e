from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from hypothesis import given
from hypothesis import strategies as st

from rearing.keeping.codes import next_code
from rearing.keeping.moments import (
    counted,
    day_words,
    evening_of,
    in_night,
    on_day,
    span_words,
    zone_of,
)
from rearing.problems import AskFirst, Refusal

LJUBLJANA = ZoneInfo("Europe/Ljubljana")
ZONES = ("Europe/Ljubljana", "Europe/London", "America/New_York", "Australia/Sydney")
# Directive 2000/84/EC: summer time runs from the last Sunday of March, 01:00 UTC,
# to the last Sunday of October, 01:00 UTC; in 2021 the 28th and the 31st.
FORWARD, BACK = dt.date(2021, 3, 27), dt.date(2021, 10, 30)


def test_twenty_past_midnight_is_the_evening_before() -> None:
    # common practice, no source: the night is dated by its evening
    for moment, evening in (
        (dt.datetime(2021, 6, 1, 0, 20, tzinfo=LJUBLJANA), dt.date(2021, 5, 31)),
        (dt.datetime(2021, 1, 1, 0, 20, tzinfo=LJUBLJANA), dt.date(2020, 12, 31)),
        (dt.datetime(2021, 3, 28, 3, 20, tzinfo=LJUBLJANA), FORWARD),
        (dt.datetime(2021, 5, 31, 11, 59, tzinfo=LJUBLJANA), dt.date(2021, 5, 30)),
        (dt.datetime(2021, 5, 31, 12, 0, tzinfo=LJUBLJANA), dt.date(2021, 5, 31)),
    ):
        assert evening_of(moment) == evening


@given(
    st.dates(dt.date(1990, 1, 1), dt.date(2030, 12, 30)),
    st.times(),
    st.sampled_from(ZONES),
)
def test_a_clock_time_files_back_under_its_evening(
    evening: dt.date, clock: dt.time, name: str
) -> None:
    zone = ZoneInfo(name)
    try:
        moment = in_night(evening, clock, zone, later=False)
    except Refusal:
        return
    assert evening_of(moment) == evening
    assert moment.time() == clock


@given(
    st.dates(dt.date(1990, 1, 1), dt.date(2030, 12, 30)),
    st.times(),
    st.sampled_from(ZONES),
)
def test_odd_hours_are_those_that_dateutil_finds_odd(
    evening: dt.date, clock: dt.time, name: str
) -> None:
    # python-dateutil 2.9: tz.datetime_exists and tz.datetime_ambiguous
    zone = ZoneInfo(name)
    day = evening if clock >= dt.time(12) else evening + dt.timedelta(days=1)
    naive = dt.datetime.combine(day, clock)
    theirs = tz.gettz(name)
    try:
        in_night(evening, clock, zone)
        found = "plain"
    except AskFirst:
        found = "twice"
    except Refusal:
        found = "never"
    if not tz.datetime_exists(naive, theirs):
        assert found == "never"
    elif tz.datetime_ambiguous(naive, theirs):
        assert found == "twice"
    else:
        assert found == "plain"


def test_the_night_the_clocks_go_forward_has_no_half_past_two() -> None:
    with pytest.raises(Refusal, match="Was it 01:30 or 03:30") as refused:
        in_night(FORWARD, dt.time(2, 30), LJUBLJANA)
    assert not isinstance(refused.value, AskFirst)


def test_the_night_the_clocks_go_back_has_two() -> None:
    with pytest.raises(AskFirst, match="comes twice"):
        in_night(BACK, dt.time(2, 30), LJUBLJANA)
    first = in_night(BACK, dt.time(2, 30), LJUBLJANA, later=False)
    second = in_night(BACK, dt.time(2, 30), LJUBLJANA, later=True)
    assert second.astimezone(dt.UTC) - first.astimezone(dt.UTC) == dt.timedelta(hours=1)


def test_a_day_s_hour_that_never_was_moves_on() -> None:
    moved = on_day(dt.date(2021, 3, 28), dt.time(2, 30), LJUBLJANA)
    assert moved.time() == dt.time(3, 30)


def test_words_of_days_and_numbers() -> None:
    assert day_words(dt.date(2021, 5, 28)) == "Fri 28 May"
    assert day_words(dt.date(2021, 5, 28), year=True) == "Fri 28 May 2021"
    assert span_words(dt.date(2021, 4, 18), dt.date(2021, 4, 24)) == "18 to 24 April"
    assert span_words(dt.date(2021, 5, 28), dt.date(2021, 6, 2)) == "28 May to 2 June"
    assert span_words(dt.date(2021, 5, 28), dt.date(2021, 5, 28)) == "28 May"
    assert (counted(1, "egg"), counted(0, "egg")) == ("1 egg", "0 eggs")
    assert counted(2, "larva", "larvae") == "2 larvae"


def test_a_zone_that_is_none_is_refused_with_an_example() -> None:
    for name in ("Karst", "", "../etc", "Europe/"):
        with pytest.raises(Refusal, match="Europe/Ljubljana"):
            zone_of(name)


@given(st.lists(st.from_regex(r"[WB]2[01]-\d{2,3}", fullmatch=True)))
def test_the_next_code_was_never_used(taken: list[str]) -> None:
    new = next_code("W", 2021, taken)
    assert new not in taken
    assert new.startswith("W21-")
    numbers = [int(code[4:]) for code in taken if code.startswith("W21-")]
    assert int(new[4:]) == max(numbers, default=0) + 1
