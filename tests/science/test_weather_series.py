"""Holes, what is assumed after the last reading, and the joined track of a brood."""

from __future__ import annotations

import numpy as np
import pytest

from rearing.science.weather import After, How, extend, fill, join

HOURS = np.arange(30 * 24)
COURSE = 14.0 + 6.0 * np.sin(2 * np.pi * (HOURS - 9) / 24)


def test_a_short_hole_is_bridged_and_marked() -> None:
    hours = np.array([10.0, np.nan, np.nan, 16.0, 15.0])
    filled = fill(hours)
    np.testing.assert_allclose(filled.celsius, [10, 12, 14, 16, 15])
    assert filled.how.tolist() == [How.SEEN, *[How.INTERPOLATED] * 2, *[How.SEEN] * 2]


def test_a_hole_as_long_as_allowed_is_bridged_and_one_longer_is_not() -> None:
    hours = COURSE.copy()
    hours[100:106] = np.nan
    hours[200:207] = np.nan
    how = fill(hours).how
    assert set(how[100:106]) == {How.INTERPOLATED}
    assert set(how[200:207]) == {How.FILLED}


def test_a_long_hole_takes_the_same_hour_of_the_days_around() -> None:
    hours = COURSE.copy()
    hours[240:300] = np.nan
    filled = fill(hours)
    np.testing.assert_allclose(filled.celsius, COURSE, atol=1e-9)
    assert set(filled.how[240:300]) == {How.FILLED}


def test_what_was_seen_is_never_changed_and_the_input_is_left_alone() -> None:
    hours = COURSE.copy()
    hours[50:90] = np.nan
    given = hours.copy()
    filled = fill(hours)
    np.testing.assert_array_equal(hours, given)
    seen = filled.how == How.SEEN
    np.testing.assert_array_equal(filled.celsius[seen], given[seen])


def test_a_hole_with_nothing_within_a_week_stays_missing() -> None:
    hours = COURSE.copy()
    hours[100:600] = np.nan
    filled = fill(hours)
    middle = slice(100 + 7 * 24, 600 - 7 * 24)
    assert np.isnan(filled.celsius[middle]).all()
    assert set(filled.how[middle]) == {How.MISSING}
    assert np.isfinite(filled.celsius[100 : 100 + 24]).all()


def test_holes_at_the_ends_are_never_drawn_out_of_one_reading() -> None:
    filled = fill(np.array([np.nan, 12.0, np.nan]))
    assert filled.how.tolist() == [How.MISSING, How.SEEN, How.MISSING]


def test_the_set_point_holds_after_the_last_reading() -> None:
    celsius, after = extend(COURSE[:48], 48, 72, set_point_c=18.0)
    np.testing.assert_array_equal(celsius[:48], COURSE[:48])
    np.testing.assert_array_equal(celsius[48:], 18.0)
    assert after is After.SET_POINT


def test_without_a_set_point_the_last_seven_days_course_repeats() -> None:
    hours = COURSE[: 10 * 24].copy()
    hours[: 3 * 24] += 10.0  # a warm spell more than seven days back
    celsius, after = extend(hours, len(hours), len(COURSE))
    np.testing.assert_allclose(celsius[len(hours) :], COURSE[len(hours) :], atol=1e-9)
    assert after is After.LAST_DAYS


def test_the_last_days_are_those_with_readings_however_long_ago() -> None:
    hours = COURSE.copy()
    hours[5 * 24 :] = np.nan
    celsius, after = extend(hours, len(hours), len(hours))
    np.testing.assert_allclose(celsius, COURSE, atol=1e-9)
    assert after is After.LAST_DAYS


def test_readings_after_the_day_asked_about_are_not_looked_at() -> None:
    hours = np.concatenate((np.full(48, 10.0), np.full(48, 30.0)))
    celsius, _ = extend(hours, 48, 96)
    np.testing.assert_array_equal(celsius, 10.0)


def test_less_than_a_day_of_readings_is_said() -> None:
    celsius, after = extend(np.array([12.0, 14.0]), 2, 48)
    assert after is After.LAST_HOURS
    assert np.isfinite(celsius).all()
    assert celsius[2:].min() >= 12
    assert celsius.max() <= 14


def test_neither_reading_nor_set_point_is_refused() -> None:
    with pytest.raises(ValueError, match="set_point_c"):
        extend(np.full(24, np.nan), 24, 48)


def test_a_track_follows_the_stays() -> None:
    places = [np.full(100, 14.0), np.full(100, 11.0), np.full(100, 18.0)]
    stays = [(40 * 3600.0, 1e12, 2), (0.0, 10 * 3600.0, 0), (10 * 3600.0, 40 * 3600, 1)]
    track = join(stays, places, start_s=0.0, seen_until_s=[1e9, 1e9, 50 * 3600.0])
    np.testing.assert_array_equal(
        track.celsius, [*[14.0] * 10, *[11.0] * 30, *[18] * 60]
    )
    assert (track.start_s, track.end_s) == (0.0, 360000.0)
    assert track.seen_until_s == 50 * 3600.0


def test_a_move_within_an_hour_counts_from_its_nearer_end() -> None:
    places = [np.full(4, 10.0), np.full(4, 20.0)]
    stays = [(0.0, 5000.0, 0), (5000.0, 9e9, 1)]
    track = join(stays, places, start_s=0.0, seen_until_s=[9e9, 9e9])
    np.testing.assert_array_equal(track.celsius, [10, 20, 20, 20])
    later = join(
        [(0.0, 5800.0, 0), (5800.0, 9e9, 1)],
        places,
        start_s=0.0,
        seen_until_s=[9e9] * 2,
    )
    np.testing.assert_array_equal(later.celsius, [10, 10, 20, 20])


def test_an_assumption_during_an_earlier_stay_ends_what_was_seen() -> None:
    places = [np.full(48, 10.0), np.full(48, 20.0)]
    stays = [(0.0, 72000.0, 0), (72000.0, 9e9, 1)]
    track = join(stays, places, start_s=0.0, seen_until_s=[36000.0, 150000.0])
    assert track.seen_until_s == 36000.0


def test_a_track_begins_with_the_first_stay() -> None:
    hours = np.arange(24.0)
    track = join([(5.5 * 3600, 9e9, 0)], [hours], start_s=0.0, seen_until_s=[9e9])
    assert track.start_s == 5 * 3600
    np.testing.assert_array_equal(track.celsius, hours[5:])


def test_a_first_stay_off_the_hours_is_refused() -> None:
    with pytest.raises(ValueError, match="off the hours"):
        join([(-3600.0, 9e9, 0)], [np.zeros(24)], start_s=0.0, seen_until_s=[9e9])
    with pytest.raises(ValueError, match="a stay is needed"):
        join([], [np.zeros(24)], start_s=0.0, seen_until_s=[9e9])
