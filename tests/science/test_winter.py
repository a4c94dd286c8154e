"""Cold counted, and day length against the published critical ones."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.science.sky import day_hours
from rearing.science.winter import (
    chill,
    direct_probability,
    direct_share,
    light_hours,
)

DAY_S = 86400.0


def noons(days: int = 365) -> np.ndarray:
    start = datetime(2021, 1, 1, 12, tzinfo=UTC).timestamp()
    return start + DAY_S * np.arange(days)


def test_cold_is_counted_between_its_limits() -> None:
    hours = np.array([4.0, 12.0, -6.0, 10.0, -5.0, np.nan, 3.0])
    found = chill(hours, 3.0)
    assert (found.had_h, found.met_hour, found.to_go_h) == (4.0, 5.0, 0.0)
    short = chill(hours, 10.0)
    assert (short.met_hour, short.to_go_h) == (None, 6.0)
    assert chill(hours, 0.0).met_hour == 0.0
    assert chill(np.zeros(0), 5.0).to_go_h == 5.0


@given(st.lists(st.floats(-20, 30), max_size=60), st.integers(0, 40))
def test_the_cold_is_met_in_the_hour_that_completes_it(
    celsius: list[float], wanted: int
) -> None:
    hours = np.array(celsius)
    found = chill(hours, float(wanted))
    if found.met_hour is None:
        assert found.had_h < wanted
    elif wanted:
        met = int(found.met_hour)
        assert chill(hours[:met], float(wanted)).had_h == wanted
        assert chill(hours[: met - 1], float(wanted)).met_hour is None


# Published: Takeda & Masaki 1979, Entomol. Exp. Appl. (doi
# 10.1111/j.1570-7458.1979.tb02885.x), Hyphantria cunea in Japan: critical photophase
# 14 h 35 min, in nature from about 40 min before sunrise to about 20 min after sunset.
HYPHANTRIA_H = 14 + 35 / 60
TWILIGHT_MIN = (40.0, 20.0)
TOKYO = (35.68, 139.77)


def hyphantria_light() -> np.ndarray:
    near = noons() - TOKYO[1] * 240.0
    before, after = TWILIGHT_MIN
    return light_hours(near, *TOKYO, before_sunrise_min=before, after_sunset_min=after)


def test_hyphantrias_day_is_an_hour_longer_than_the_suns() -> None:
    bare = day_hours(noons() - TOKYO[1] * 240.0, *TOKYO)
    np.testing.assert_allclose(hyphantria_light() - bare, 1.0, atol=1e-9)


def test_hyphantrias_first_brood_goes_direct_and_the_autumns_waits() -> None:
    # From memory: two broods a year at Tokyo, larvae of June go direct, those of
    # September winter as pupae.
    chance = direct_probability(hyphantria_light(), HYPHANTRIA_H)
    june, july, august, september = chance[[165, 181, 236, 252]]
    assert min(june, july) > 0.9
    assert august < 0.2
    assert september < 0.05
    # Computed with the same sun: the day falls below the critical one on 12 August.
    crossed = np.flatnonzero(hyphantria_light() > HYPHANTRIA_H)
    last = datetime.fromtimestamp(noons()[crossed[-1]], UTC)
    assert (last.month, last.day) == (8, 12)


def test_half_go_direct_at_the_critical_day_and_more_on_longer_ones() -> None:
    assert direct_probability(HYPHANTRIA_H, HYPHANTRIA_H) == 0.5
    light = np.linspace(10, 18, 50)
    assert np.all(np.diff(direct_probability(light, 14.0)) > 0)
    # Published: Antheraea polyphemus, L4 under 16 h go direct, under 12 h they wait
    # (silkmoths.bizland.com); the critical length between is not published, 14 h here.
    assert direct_probability(16.0, 14.0) > 0.99
    assert direct_probability(12.0, 14.0) < 0.01
    with pytest.raises(ValueError, match="above 0"):
        direct_probability(14.0, 14.0, 0.0)


def test_civil_twilight_counts_where_nothing_else_is_known() -> None:
    near = noons() - 14.0 * 240.0
    light = light_hours(near, 45.5, 14.0)
    assert np.all(light > day_hours(near, 45.5, 14.0) + 0.9)


def test_a_brood_spread_over_the_critical_day_goes_both_ways() -> None:
    # Story of a keeper at 45.5 N: pupae of one tub go both ways.
    around = datetime(2021, 8, 1, 12, tzinfo=UTC).timestamp()
    draws = around + DAY_S * np.linspace(-20, 20, 81)
    light = light_hours([around - 14 * 240.0], 45.5, 14.0)[0]
    share = direct_share(draws, lat=45.5, lon=14.0, critical_h=float(light))
    assert 0.4 < share < 0.6
    early = direct_share(
        draws - 40 * DAY_S, lat=45.5, lon=14.0, critical_h=float(light)
    )
    late = direct_share(draws + 40 * DAY_S, lat=45.5, lon=14.0, critical_h=float(light))
    assert early > 0.85
    assert late < 0.05
    lamp = direct_share(
        draws, lat=45.5, lon=14.0, critical_h=float(light), artificial_h=12.0
    )
    assert lamp < 0.01
    assert np.isnan(direct_share(np.array([np.inf]), lat=45, lon=14, critical_h=14))
