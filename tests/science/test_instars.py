"""Instars from head-capsule widths, against published widths."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rearing.science.instars import fit_series, place

# published: Gynaephora menyuanensis, mean head widths of L1 to L7 in the field [mm]
# (abstract at discovery.researcher.life)
GYNAEPHORA = (0.68, 0.91, 1.22, 1.58, 2.06, 2.69, 3.45)
# published: Orgyia postica(us), mean and standard deviation of L1 to L5 [mm], Formosan
# Entomol. 2001; that these are the widths of the instars in order is inferred
ORGYIA = ((0.57, 0.03), (0.81, 0.05), (1.24, 0.07), (1.94, 0.12), (2.30, 0.40))


# computed: least squares of the logarithm on the instar
@pytest.mark.parametrize(
    ("widths", "ratio", "first", "r2"),
    [
        (GYNAEPHORA, 1.31014, 0.6951, 0.99927),
        ([mean for mean, _ in ORGYIA], 1.44245, 0.5798, 0.98421),
    ],
)
def test_the_series_of_published_widths(
    widths: list[float], ratio: float, first: float, r2: float
) -> None:
    found = fit_series(widths)
    assert found.ratio == pytest.approx(ratio, abs=1e-5)
    assert found.first_mm == pytest.approx(first, abs=1e-4)
    assert found.r2 == pytest.approx(r2, abs=1e-5)


def test_most_published_widths_lie_within_a_tenth_of_a_millimetre_of_it() -> None:
    """Dyar's widths mostly did: Taylor 1931 (abstract)."""
    found = fit_series(GYNAEPHORA)
    away = [abs(found.width(i + 1) - width) for i, width in enumerate(GYNAEPHORA)]
    assert max(away[:6]) < 0.1


def test_a_missing_instar_leaves_the_series_as_it_is() -> None:
    whole, holed = list(GYNAEPHORA), list(GYNAEPHORA)
    holed[3] = np.nan
    assert fit_series(holed).ratio == pytest.approx(fit_series(whole).ratio, abs=0.002)


def larvae(
    means: tuple[float, ...], spread: float, each: int, seed: int = 4
) -> tuple[np.ndarray, np.ndarray]:
    """Return invented larvae about published means, and their true instars."""
    rng = np.random.default_rng(seed)
    true = np.repeat(np.arange(1, len(means) + 1), each)
    widths = np.array(means)[true - 1] * np.exp(spread * rng.standard_normal(len(true)))
    order = rng.permutation(len(true))
    return widths[order], true[order]


def test_seven_instars_are_found_though_five_are_usual() -> None:
    widths, true = larvae(GYNAEPHORA, 0.04, 25)
    found = place(widths)

    assert [group.instar for group in found.groups] == [1, 2, 3, 4, 5, 6, 7]
    assert (found.instar == true).mean() > 0.99
    assert found.series.ratio == pytest.approx(1.310, abs=0.01)
    assert found.spread == pytest.approx(0.04, abs=0.01)
    assert not any(group.is_uneven for group in found.groups)


def test_four_instars_of_a_published_moth_with_its_own_spread() -> None:
    rng = np.random.default_rng(6)
    widths = np.concatenate([rng.normal(m, s, 30) for m, s in ORGYIA[:4]])
    found = place(widths)

    assert len(found.groups) == 4
    assert (found.instar == np.repeat([1, 2, 3, 4], 30)).mean() > 0.97


def test_an_instar_that_nobody_measured_is_left_out_and_the_count_goes_on() -> None:
    widths, true = larvae(GYNAEPHORA[:5], 0.03, 20)
    found = place(widths[true != 3], instars=5)
    assert [group.instar for group in found.groups] == [1, 2, 4, 5]
    assert found.groups[2].step is None


def test_an_uneven_step_is_told() -> None:
    """Invented: three moults of 1.45 and a last one of 1.25 only."""
    widths, true = larvae((0.6, 0.87, 1.2615, 1.829, 2.2864), 0.015, 10)
    found = place(widths, instars=5)

    assert (found.instar == true).all()
    assert [group.is_uneven for group in found.groups] == [False] * 4 + [True]
    assert found.groups[-1].step == pytest.approx(1.25, abs=0.02)


def test_where_two_instars_overlap_it_is_not_sure() -> None:
    widths, _ = larvae((1.0, 1.3), 0.08, 40)
    found = place(widths, instars=2)
    between = np.abs(np.log(widths) - np.log(np.sqrt(1.3))) < 0.02
    assert between.any()
    assert found.surely[between].max() < 0.95
    assert found.surely.max() > 0.99


def test_the_first_measured_may_be_a_later_instar() -> None:
    widths, true = larvae(GYNAEPHORA[2:6], 0.03, 12)
    found = place(widths, first=3)
    assert [group.instar for group in found.groups] == [3, 4, 5, 6]
    assert (found.instar == true + 2).all()


@pytest.mark.parametrize(
    ("widths", "words"),
    [
        ([1.0, 1.4, 2.0], "four widths"),
        ([1.0, 1.4, 2.0, 0.0], "above nought"),
        ([1.0, 1.4, 2.0, np.nan], "above nought"),
        ([1.0, 1.0, 1.0, 1.0], "too alike"),
    ],
)
def test_what_is_no_series_is_refused(widths: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        place(widths)


def test_a_series_of_one_or_of_nought_is_refused() -> None:
    with pytest.raises(ValueError, match="two instars"):
        fit_series([1.0, np.nan])
    with pytest.raises(ValueError, match="above nought"):
        fit_series([1.0, -1.0])


@given(st.floats(0.3, 2.0), st.floats(1.25, 1.7), st.integers(3, 6), st.integers(0, 99))
@settings(max_examples=25, deadline=None)
def test_any_clean_series_is_found_again(
    first: float, ratio: float, count: int, seed: int
) -> None:
    means = tuple(first * ratio**i for i in range(count))
    widths, true = larvae(means, 0.03, 15, seed)
    found = place(widths, instars=count)
    assert (found.instar == true).mean() > 0.97
    assert_allclose(found.series.ratio, ratio, rtol=0.03)
    assert_allclose(place(widths * 1000, instars=count).instar, found.instar)
