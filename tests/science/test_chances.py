"""Chances by a day and of both sexes on a night, by plain simulation."""

from __future__ import annotations

import numpy as np
import pytest

from rearing.science.chances import SexTimes, by_sex, done_by, overlap

DAY_S = 86400.0


def test_a_day_parts_the_draws() -> None:
    times = DAY_S * np.array([[1.0, 5.0, 9.0], [2.0, 6.0, np.inf]])
    found = done_by(times, 5.5 * DAY_S)
    assert (found.first, found.half, found.last) == (1.0, 0.5, 0.0)
    assert done_by(times, 9.0 * DAY_S).last == 0.5


def test_a_day_that_is_not_sure_softens_the_chance() -> None:
    times = np.full((4, 3), 10.0 * DAY_S)
    assert done_by(times, 10.0 * DAY_S, 3.0).last == pytest.approx(0.5)
    # Published tables of the normal: 0.8413 one spread above the middle.
    assert done_by(times, 13.0 * DAY_S, 3.0).last == pytest.approx(0.8413, abs=1e-4)


def simulated(females: int, males: int, night: float) -> float:
    """Computed: moths drawn one by one, 20,000 broods."""
    rng = np.random.default_rng(3)
    hers = 10.0 + 0.75 + 2.0 * rng.standard_normal((20_000, females))
    his = 10.0 - 0.75 + 2.0 * rng.standard_normal((20_000, males))
    she = ((hers <= night) & (hers > night - 4)).any(axis=1)
    he = ((his <= night) & (his > night - 5)).any(axis=1)
    return float((she & he).mean())


def test_the_sexes_meet_as_often_as_by_plain_simulation() -> None:
    from scipy.stats import norm

    ranks = norm.ppf((np.arange(60) + 0.5) / 60)
    moths = DAY_S * np.broadcast_to(10.0 + 2.0 * ranks, (50, 60))
    nights = np.array([6.0, 9.0, 11.0, 14.0, 17.0])
    found = overlap(by_sex(moths), nights * DAY_S, females=4, males=3)
    wanted = [simulated(4, 3, night) for night in nights]
    np.testing.assert_allclose(found, wanted, atol=0.02)


def test_holding_the_males_back_moves_the_nights_later() -> None:
    moths = DAY_S * np.linspace(5, 15, 40)[None, :].repeat(10, axis=0)
    nights = DAY_S * np.arange(0.0, 30.0)
    plain = overlap(by_sex(moths, 6.0), nights, females=3, males=3)
    held = overlap(by_sex(moths, 6.0, held_back_days=6.0), nights, females=3, males=3)
    middle = [(nights * chance).sum() / chance.sum() for chance in (plain, held)]
    assert middle[1] > middle[0]
    assert held.max() >= plain.max()


def test_one_sex_alone_or_nobody_in_sight_never_pairs() -> None:
    moths = DAY_S * np.linspace(5, 15, 40)[None, :]
    nights = DAY_S * np.arange(0.0, 30.0)
    assert overlap(by_sex(moths), nights, females=0, males=9).max() == 0.0
    beyond = SexTimes(np.full((3, 5), np.inf), np.full((3, 5), np.inf))
    assert overlap(beyond, nights, females=3, males=3).max() == 0.0
