"""What finished broods teach: towards their truth, by how many there are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rearing.science.cohort import StageHeat, windows
from rearing.science.learn import (
    Lesson,
    learnt,
    lesson,
    refit,
    temperatures_apart,
)
from rearing.science.unknowns import Unknowns
from tests.science.known_broods import (
    HOUR_S,
    STAGES,
    finished,
    known,
    room,
    species,
    track_at,
)

ONE = [StageHeat("egg", 9.0, 0.0, float(np.log(90)), ln_k_sd=0.2)]


def told(z: float, spread: float) -> Lesson:
    """A brood whose ln K was seen z spreads above the sheet's, so precisely."""
    size = Unknowns.of(ONE).size
    information, pull = np.zeros((size, size)), np.zeros(size)
    information[1, 1] = 1 / spread**2
    pull[1] = z / spread**2
    return Lesson(information, pull)


def test_nothing_finished_is_the_sheet() -> None:
    found = learnt(ONE, [])
    assert found.broods == 0
    assert found.paces[0].factor == 1.0
    np.testing.assert_array_equal(found.unknowns.cov, Unknowns.of(ONE).cov)


def test_one_brood_moves_half_way_and_many_nearly_all() -> None:
    factors = [
        np.log(learnt(ONE, [told(1.0, 0.05)] * n).paces[0].factor) / 0.2
        for n in (1, 3, 30)
    ]
    assert 0.4 < factors[0] < 0.75
    assert factors[0] < factors[1] < factors[2]
    assert factors[2] == pytest.approx(1.0, abs=0.1)


def test_exact_shrinkage_of_one_lesson_for_known_shares() -> None:
    # Computed by hand: for share s and a lesson of variance v the species' mean is
    # s / (s + 1 - s + v) = s / (1 + v) of what was seen; the shares 0.3, 0.5, 0.7, 0.85
    # make one lesson equally likely, so their mean 0.5875 is the factor.
    found = learnt(ONE, [told(1.0, 0.1)])
    wanted = np.mean([0.3, 0.5, 0.7, 0.85]) / 1.01
    assert np.log(found.paces[0].factor) / 0.2 == pytest.approx(wanted, abs=1e-6)


def test_broods_that_agree_narrow_and_broods_that_differ_do_not() -> None:
    agree = learnt(ONE, [told(0.8, 0.05) for _ in range(6)])
    differ = learnt(ONE, [told(z, 0.05) for z in (-1.2, -0.5, 0.2, 0.9, 1.6, 2.3)])
    sheet = agree.paces[0]
    wide = [np.log(one.paces[0].high / one.paces[0].low) for one in (agree, differ)]
    assert wide[0] < 0.7 * np.log(sheet.sheet_high / sheet.sheet_low)
    assert wide[1] > 1.5 * wide[0]
    assert agree.species_share > differ.species_share


def test_a_lesson_that_knows_nothing_changes_nothing() -> None:
    size = Unknowns.of(ONE).size
    nothing = Lesson(np.zeros((size, size)), np.zeros(size))
    found = learnt(ONE, [nothing] * 5)
    np.testing.assert_allclose(found.unknowns.mean, 0.0, atol=1e-12)
    np.testing.assert_allclose(found.unknowns.cov, Unknowns.of(ONE).cov, atol=1e-9)


def test_finished_broods_of_a_species_teach_its_next_one() -> None:
    rng = np.random.default_rng(12)
    better = []
    for _ in range(6):
        kind = replace(species(rng), share=0.7)
        past = [known(rng, kind, room(rng), is_out=False) for _ in range(3)]
        brood = known(rng, kind, room(rng), is_out=False)
        lessons = [lesson(STAGES, *finished(one, rng), rng) for one in past]
        taught = learnt(STAGES, [one for one in lessons if one])
        assert taught.broods == 3
        hour = brood.laid[-1][0] + 2.0
        track = track_at(brood, hour, rng)
        starts = finished(brood, rng)[0]
        errors = []
        for unknowns in (None, taught.unknowns):
            found = windows(
                STAGES,
                starts,
                track,
                np.random.default_rng(1),
                on_s=hour * HOUR_S,
                learnt=unknowns,
            )
            half = found[-1].half
            assert half is not None
            truth = float(np.median(brood.ends[-1])) * HOUR_S
            errors.append(abs(half.middle_s - truth))
        better.append(errors)
    sheet, learned = np.mean(better, axis=0)
    assert learned < 0.8 * sheet


def test_nothing_seen_is_no_lesson() -> None:
    rng = np.random.default_rng(1)
    brood = known(rng, species(rng), room(rng), is_out=False)
    starts, track, _ = finished(brood, rng)
    assert lesson(STAGES, starts, track, [], rng) is None
    assert lesson(STAGES, [], track, [], rng) is None


def test_a_refit_wants_three_temperatures() -> None:
    assert temperatures_apart(np.array([18.0, 18.9, 19.4, 21.0, 30.0])) == 3
    assert refit(np.array([18.0, 18.5, 24.0]), np.array([10.0, 9.6, 6.0])) is None


def test_a_refit_gives_the_published_line_back() -> None:
    # Published: Moon et al. 2022, Korean J. Appl. Entomol. 61(2):349-356, Spodoptera
    # frugiperda egg to adult: T0 11.8, K 456.8.
    celsius = np.array([18.0, 21.0, 24.0, 27.0, 30.0, 32.0])
    days = np.array([79.8, 54.2, 34.3, 28.4, 24.6, 24.0])
    fit = refit(celsius, days)
    assert fit is not None
    assert fit.t0_c.value == pytest.approx(11.8, abs=0.1)
    assert fit.k_dd.value == pytest.approx(456.8, rel=0.006)
