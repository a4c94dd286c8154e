"""Past years as futures: where they start, how they fade, what overrides them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from vega_datasets import local_data

from rearing.science.scenarios import Kind, TypedDay, indoors, outdoors
from rearing.science.season_mean import daily_means, memory_of, season_mean
from rearing.science.weather import from_daily

DAY_S = 86400.0
START_S = 1_325_376_000.0  # 1 January 2012, 00:00 UTC

Floats = NDArray[np.float64]


def seattle(days: int | None = None) -> Floats:
    """Hours from Seattle's daily extremes of 2012 to 2015 (vega_datasets, NOAA)."""
    table = local_data.seattle_weather()
    low, high = table["temp_min"].to_numpy(), table["temp_max"].to_numpy()
    n = len(low) if days is None else days
    begins = START_S + DAY_S * np.arange(n)
    return from_daily(begins, low[:n], high[:n], START_S, START_S + DAY_S * n)


def rng(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


def test_the_season_of_seattle_and_its_memory() -> None:
    # Computed from the data set itself with numpy's own correlation.
    hours = seattle()
    season = season_mean(hours, START_S)
    assert season is not None
    means = daily_means(hours)
    at_s = START_S + DAY_S * (np.arange(len(means)) + 0.5)
    away = means - season.at(at_s)
    r = np.corrcoef(away[:-1], away[1:])[0, 1]
    assert season.memory_days == pytest.approx(-1 / np.log(r), rel=0.02)
    assert 3.5 < season.memory_days < 4.5
    assert season.spread_c == pytest.approx(away.std(), rel=1e-6)
    july, january = START_S + 200 * DAY_S, START_S + 15 * DAY_S
    assert season.at(np.array([july]))[0] - season.at(np.array([january]))[0] > 10


def test_memory_of_a_known_series_is_found_again() -> None:
    chance = rng()
    r = np.exp(-1 / 5.0)
    away = np.zeros(20_000)
    for i in range(1, len(away)):
        away[i] = r * away[i - 1] + np.sqrt(1 - r * r) * chance.standard_normal()
    assert memory_of(away) == pytest.approx(5.0, rel=0.1)


def test_each_past_year_is_a_future_and_the_present_departure_fades() -> None:
    days = 3 * 365 + 1 + 120  # to the end of April 2015
    hours = seattle(days)
    hours[-48:] += 6.0
    made = outdoors(hours, START_S, 24 * 100, rng())
    assert made.kind is Kind.PAST_YEARS
    assert made.years == 3
    assert np.isfinite(made.celsius).all()
    assert made.start_s == START_S + DAY_S * days
    season = season_mean(hours, START_S)
    assert season is not None
    at_s = made.start_s + 3600 * (np.arange(2400) + 0.5)
    away = (made.celsius - season.at(at_s)).reshape(len(made.celsius), -1, 24)
    by_day = away.mean(axis=2)
    now = daily_means(hours)[-2:].mean() - season.at(at_s[:1] - DAY_S)[0]
    assert by_day[:, 0].mean() == pytest.approx(now * np.exp(-0.5 / 3.5), abs=1.0)
    assert by_day[:, 0].std() < 0.7 * by_day[:, 20:].std()
    assert abs(by_day[:, 40:].mean()) < 1.0


def test_far_ahead_a_past_year_is_itself() -> None:
    hours = seattle()
    made = outdoors(hours, START_S, 24 * 90, rng())
    year = len(hours) - 24 * 365
    there = hours[year + 24 * 60 : year + 24 * 90]
    season = season_mean(hours, START_S)
    assert season is not None
    then_s = START_S + 3600 * (np.arange(year + 24 * 60, year + 24 * 90) + 0.5)
    moved = season.at(then_s + 365 * DAY_S) - season.at(then_s)
    np.testing.assert_allclose(made.celsius[0, 24 * 60 :], there + moved, atol=0.01)


def test_holes_in_a_past_year_are_filled_and_a_hollow_year_is_left_out() -> None:
    whole = outdoors(seattle(), START_S, 24 * 60, rng())
    hours = seattle()
    year = len(hours) - 24 * 365
    hours[year + 100 : year + 140] = np.nan
    made = outdoors(hours, START_S, 24 * 60, rng())
    assert np.isfinite(made.celsius).all()
    assert len(made.celsius) == len(whole.celsius)
    hours[year : year + 24 * 40] = np.nan
    hollow = outdoors(hours, START_S, 24 * 60, rng())
    assert np.isfinite(hollow.celsius).all()
    fewer = [len(one.celsius) for one in (hollow, whole)]
    assert fewer[0] != fewer[1] or not np.allclose(hollow.celsius, whole.celsius)
    last_year = hollow.celsius - whole.celsius[0]
    assert np.abs(last_year).mean(axis=1).min() > 1.0


def test_a_short_forecast_overrides_the_first_days_and_fades_out() -> None:
    hours = seattle()
    begins = START_S + 3600 * len(hours)
    typed = [TypedDay(begins + i * DAY_S, 14.0, 24.0) for i in range(3)]
    plain = outdoors(hours, START_S, 24 * 60, rng())
    told = outdoors(hours, START_S, 24 * 60, rng(), typed=typed)
    assert told.typed_days == 3
    days = told.celsius.reshape(len(told.celsius), 60, 24).mean(axis=2)
    assert days[:, :3].mean() == pytest.approx(19.0, abs=1.0)
    assert days[:, 0].std() < 1.6
    assert days[:, 3].mean() > plain.celsius[:, 72:96].mean() + 3.0
    np.testing.assert_allclose(
        told.celsius[:, 24 * 40 :], plain.celsius[:, 24 * 40 :], atol=0.05
    )


def test_without_a_year_on_file_the_last_days_go_on_and_widen() -> None:
    hours = seattle(100)
    made = outdoors(hours, START_S, 24 * 60, rng())
    assert made.kind is Kind.LAST_DAYS
    assert made.years == 0
    days = made.celsius.reshape(len(made.celsius), 60, 24).mean(axis=2)
    last = daily_means(hours)[-7:].mean()
    assert days.mean(axis=0)[0] == pytest.approx(last, abs=1.5)
    assert days[:, 0].std() < days[:, 10].std() < days[:, 50].std()


def test_no_reading_at_all_is_refused() -> None:
    with pytest.raises(ValueError, match="no reading"):
        outdoors(np.full(48, np.nan), START_S, 240, rng())


def test_a_set_point_is_kept_about_and_stays_warm_where_it_is_warm() -> None:
    made = indoors(20.0, START_S, 24 * 120, rng(), spread_c=1.5)
    assert made.kind is Kind.SET_POINT
    days = made.celsius.reshape(len(made.celsius), 120, 24).mean(axis=2)
    assert days.mean() == pytest.approx(20.0, abs=0.3)
    assert days.std() == pytest.approx(1.5, rel=0.25)
    # Half of the variance lasts.
    assert days.mean(axis=1).std() == pytest.approx(1.5 * np.sqrt(0.5), rel=0.3)


def test_a_room_read_above_its_set_point_begins_there_with_its_own_swing() -> None:
    hour = np.arange(24 * 14)
    read = 22.0 + 2.0 * np.sin(2 * np.pi * hour / 24)
    made = indoors(20.0, START_S, 24 * 60, rng(), spread_c=1.0, recent=read)
    days = made.celsius.reshape(len(made.celsius), 60, 24)
    assert days[:, 0].mean() == pytest.approx(22.0, abs=0.3)
    assert days[:, 0].mean(axis=1).std() < 0.5
    assert days[:, 50:].mean() == pytest.approx(20.0, abs=0.5)
    assert np.ptp(days, axis=2).mean() == pytest.approx(4.0, abs=0.7)


def test_the_same_state_of_the_generator_gives_the_same_futures() -> None:
    one, other = (outdoors(seattle(100), START_S, 240, rng(4)) for _ in range(2))
    np.testing.assert_array_equal(one.celsius, other.celsius)
