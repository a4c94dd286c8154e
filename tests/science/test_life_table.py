"""The columns of a life table from counted animals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.science.life_table import Spell, life_table


# computed: the oak hawk-moths of the invented scenario, by hand: 72 eggs, 8 collapsed,
# 39 lost as L2 on dry leaf, 3 as L5
def test_a_brood_by_stage() -> None:
    spells = [
        Spell("egg", 72, 8),
        Spell("L1", 64, 0),
        Spell("L2", 64, 39),
        Spell("L3", 25, 0),
        Spell("L4", 25, 0),
        Spell("L5", 25, 3),
        Spell("pupa", 22, 0),
    ]
    rows = life_table(spells)
    assert [row.x for row in rows] == [spell.x for spell in spells]
    assert rows[2].q == 39 / 64
    assert rows[-1].l == pytest.approx(22 / 72)
    assert sum(row.k or 0 for row in rows) == pytest.approx(math.log10(72 / 22))
    # Newcombe's method 3, the same that tests/science/test_proportions.py checks
    assert rows[2].q_low == pytest.approx(0.4869, abs=5e-4)
    assert rows[2].q_high == pytest.approx(0.7193, abs=5e-4)


def test_who_leaves_alive_counts_half_for_the_risk() -> None:
    first, then = life_table([Spell("L4", 78, 6, left=18), Spell("L5", 54, 0)])
    assert first.q == pytest.approx(6 / 69)
    assert then.l == pytest.approx(63 / 69)
    assert first.k == pytest.approx(math.log10(69 / 63))


def test_a_spell_that_none_came_through_has_no_killing_power() -> None:
    (row,) = life_table([Spell("L1", 5, 5), Spell("L2", 0, 0)])
    assert (row.q, row.k) == (1.0, None)


@pytest.mark.parametrize("spell", [Spell("L1", 4, 5), Spell("L1", 4, 2, 3)])
def test_more_cannot_go_than_came(spell: Spell) -> None:
    with pytest.raises(ValueError, match="died and"):
        life_table([spell])


def test_a_number_below_nought_is_refused() -> None:
    with pytest.raises(ValueError, match="below nought"):
        life_table([Spell("L1", 4, -1)])


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=8))
def test_without_leavings_l_is_the_share_that_came(
    losses: list[tuple[int, int]],
) -> None:
    n, spells = 1 + sum(died for died, _ in losses), []
    for i, (died, _) in enumerate(losses):
        spells.append(Spell(f"x{i}", n, died))
        n -= died
    rows = life_table(spells)
    for row in rows:
        assert row.l == pytest.approx(row.n / spells[0].n)
        assert 0 <= row.q_low <= row.q <= row.q_high <= 1
