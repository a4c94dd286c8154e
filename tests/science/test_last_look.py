"""Where animals were at the last look: odd ones, and whole numbers; all computed."""

from __future__ import annotations

import numpy as np

from rearing.science.evidence import MISREAD, StageLook
from rearing.science.last_look import as_they_were, taken_for, whole

DRAWS = 4000


def look(*numbers: int) -> StageLook:
    counts = np.zeros((len(numbers) + 1, 2))
    counts[:-1, 0] = numbers
    return StageLook.of(0.0, counts, 36.0)


def spread_over(*shares: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.repeat(np.array(shares)[:, None], DRAWS, axis=1)


def test_one_odd_animal_is_misread_as_often_as_the_draw_makes_that_likely() -> None:
    likely = spread_over(0.002, 0.006, 0.992, 0.0)
    taken = taken_for(look(0, 1, 79), likely, np.random.default_rng(1))
    strangers = 0.5 * MISREAD * (0.002 + 0.992)
    expected = strangers / (strangers + 0.006)
    assert abs((taken[1] != 1).mean() - expected) < 0.03
    # Nearly all of its neighbours are older, so it was an older one.
    assert (taken[1] == 2).sum() > 100 * (taken[1] == 0).sum()
    assert (taken[2] == 2).all()


def test_two_odd_animals_are_misread_far_less_often_than_one() -> None:
    likely = spread_over(0.0, 0.006, 0.994, 0.0)
    one, two = (
        (taken_for(look(0, n, 79), likely, np.random.default_rng(1))[1] != 1).mean()
        for n in (1, 2)
    )
    assert abs(two - one**2) < 0.03


def test_many_animals_are_never_all_misread() -> None:
    likely = spread_over(0.0, 0.001, 0.999, 0.0)
    taken = taken_for(look(0, 5, 79), likely, np.random.default_rng(1))
    assert (taken == np.arange(4)[:, None]).all()


def test_an_odd_animal_keeps_its_number_where_it_may_be_real() -> None:
    some = look(0, 1, 79)
    likely = spread_over(0.0, 0.01, 0.99, 0.0)
    taken = taken_for(some, likely, np.random.default_rng(1))
    seen = as_they_were(some, likely.mean(axis=1), taken)
    assert np.isclose(seen[1], 1 / 80, atol=0.002)


def test_a_straggler_shared_among_lots_is_not_lost() -> None:
    wanted = np.array([[0.34, 0.33, 0.33], [26.66, 26.67, 25.67]])
    numbers = whole(wanted, [27, 27, 26])
    assert numbers.sum(axis=1).tolist() == [1, 79]
    assert numbers.sum(axis=0).tolist() == [27, 27, 26]
    assert numbers[0].tolist() == [1, 0, 0]
