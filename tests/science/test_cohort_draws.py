"""Curves looked up both ways, and draws that spread as the belief says."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.science.animals import Lot, gather
from rearing.science.cohort import StageHeat, Track
from rearing.science.curves import HeatCurve
from rearing.science.heats import NODE_LEVELS, NODES, HeatStore
from rearing.science.unknowns import PACE_SHARE, T0_SHARE, Paces, Unknowns


def draw_paces(
    stages: list[StageHeat],
    rng: np.random.Generator,
    draws: int,
    stretch: float = 1.0,
) -> Paces:
    unknowns = Unknowns.of(stages)
    nothing = [np.zeros(NODES)] * len(stages)
    return unknowns.paces(stages, unknowns.draw(rng, draws), nothing, stretch)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from([0.0, 0.0, 0.01, 0.3, 2.0]), min_size=2, max_size=300),
    st.integers(1, 4),
    st.integers(0, 1000),
)
def test_a_curve_answers_like_plain_interpolation(
    hourly: list[float], n_nodes: int, seed: int
) -> None:
    rates = np.outer(np.arange(1, n_nodes + 1), hourly)
    curve = HeatCurve.of(rates)
    rng = np.random.default_rng(seed)
    node = rng.integers(0, n_nodes, 50)
    hour = rng.uniform(0, len(hourly), 50)
    summed = np.concatenate((np.zeros((n_nodes, 1)), np.cumsum(rates, axis=1)), axis=1)
    places = np.arange(len(hourly) + 1.0)
    heat = np.array(
        [np.interp(h, places, summed[k]) for k, h in zip(node, hour, strict=True)]
    )
    np.testing.assert_allclose(curve.at(node, hour), heat, atol=1e-8)
    back = curve.when(node, heat)
    again = np.array(
        [np.interp(h, places, summed[k]) for k, h in zip(node, back, strict=True)]
    )
    np.testing.assert_allclose(again, heat, atol=1e-7)
    assert np.all(back <= hour + 1e-6)
    assert np.isinf(curve.when(node, summed[node, -1] + 0.01)).all()


def test_heat_met_exactly_is_met_before_a_pause() -> None:
    curve = HeatCurve.of(np.array([[1.0, 1.0, 0.0, 0.0, 0.0, 1.0]]))
    met = curve.when(np.array([0]), np.array([2.0]))
    np.testing.assert_allclose(met, 2.0, atol=1e-6)


EGG = StageHeat("egg", 9.0, 2.0, 4.4, -0.074, 0.3)
L1 = StageHeat("L1", 7.0, 1.5, 4.1, -0.05, 0.2, group="larva")
L2 = StageHeat("L2", 7.0, 1.5, 4.3, -0.05, 0.2, group="larva")


def test_draws_spread_as_the_belief_says() -> None:
    paces = draw_paces([EGG, L1, L2], np.random.default_rng(1), 40_000)
    t0 = paces.t0_c[0]
    ln_k = np.log(paces.k_dd)
    rest = ln_k[0] - 4.4 + 0.074 * (t0 - 9.0)
    np.testing.assert_allclose([t0.mean(), t0.std()], [9.0, 2.0], atol=0.03)
    np.testing.assert_allclose([rest.mean(), rest.std()], [0.0, 0.3], atol=0.01)
    assert abs(np.corrcoef(rest, t0)[0, 1]) < 0.02


def test_stages_of_a_group_share_their_draw_and_others_in_part() -> None:
    paces = draw_paces([EGG, L1, L2], np.random.default_rng(1), 40_000)
    np.testing.assert_array_equal(paces.node[1], paces.node[2])
    np.testing.assert_allclose(np.log(paces.need_dd[2] / paces.need_dd[1]), 0.2)
    t0 = paces.t0_c
    assert abs(np.corrcoef(t0[0], t0[1])[0, 1] - T0_SHARE) < 0.02
    ln_k = np.log(paces.k_dd)
    rest = [ln_k[0] + 0.074 * t0[0], ln_k[1] + 0.05 * t0[1]]
    assert abs(np.corrcoef(*rest)[0, 1] - PACE_SHARE) < 0.02


def test_the_nodes_include_the_mean_threshold() -> None:
    unknowns = Unknowns.of([EGG])
    middle = unknowns.paces([EGG], np.zeros((unknowns.size, 1)), [np.zeros(NODES)])
    assert NODE_LEVELS[middle.node[0, 0]] == 0.0
    np.testing.assert_allclose(middle.need_dd, np.exp(4.4))


def test_a_threshold_between_nodes_takes_as_long_as_it_should() -> None:
    # Steady warmth: K / (T - T0) days, whichever node the heat is reckoned above.
    track = Track(0.0, np.full(24 * 300, 18.0), 0.0)
    heats = HeatStore().heats([EGG], track)
    unknowns = Unknowns.of([EGG])
    course = heats.by_stage[0]
    z = unknowns.draw(np.random.default_rng(3), 500)
    paces = unknowns.paces([EGG], z, [course.days_per_heat])
    zeros = np.zeros((500, 1), dtype=np.intp)
    days = course.when(paces.node[0][:, None], zeros, paces.need_dd[0][:, None]) / 24
    exact = paces.k_dd[0] / (18.0 - paces.t0_c[0])
    np.testing.assert_allclose(days[:, 0], exact, rtol=1e-6)


def test_a_stretched_draw_is_wider_about_the_same_middle() -> None:
    once, twice = (
        np.log(draw_paces([EGG], np.random.default_rng(1), 9000, s).need_dd[0])
        for s in (1.0, 2.0)
    )
    assert twice.std() > 1.7 * once.std()
    assert abs(twice.mean() - once.mean()) < 0.02


def test_earliest_and_latest_are_those_of_that_many_normals() -> None:
    # Computed: the extremes of 40 standard normals, drawn one by one.
    animals = gather([Lot(0, 0.0, 40)], np.random.default_rng(1), 20_000)
    ends = np.sort(animals.level[:, animals.outer], axis=1)
    plain = np.random.default_rng(2).standard_normal((20_000, 40))
    exact = np.stack((plain.min(axis=1), plain.max(axis=1)), axis=1)
    np.testing.assert_allclose(ends.mean(axis=0), exact.mean(axis=0), atol=0.02)
    np.testing.assert_allclose(ends.std(axis=0), exact.std(axis=0), atol=0.02)
