"""The broad prior: recomputed from the compilation by a script of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing import sheets
from tests.reference import make_broad_priors as maker

if TYPE_CHECKING:
    from pathlib import Path

COLUMNS = "Species,EADDC,ET,LT,TP,DE,DLT,DP"


def compilation(folder: Path, *rows: str) -> Path:
    """Write a small file in the form of the compilation."""
    path = folder / "rows.csv"
    path.write_text("\n".join(["# a comment", COLUMNS, *rows]), encoding="utf-8")
    return path


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Invented rows: three species, two of them twice, one repeat, one odd egg."""
    return compilation(
        tmp_path,
        "A a,700,8,NA,NA,100,NA,NA",
        "A a,700,10,NA,NA,80,NA,NA",
        "A a,700,10,NA,NA,80,NA,NA",
        "B b,600,12,NA,NA,50,NA,NA",
        "B b,NA,11,NA,NA,60,NA,NA",
        "C c,650,6,NA,NA,140,NA,NA",
        "C c,300,7,NA,NA,200,NA,NA",
        "D d,NA,NA,9,NA,NA,300,NA",
    )


def test_repeats_and_eggs_with_larva_are_left_out(small: Path) -> None:
    rows = maker.rows_of(small, "egg")
    assert rows == [
        ("A a", 8, 100),
        ("A a", 10, 80),
        ("B b", 11, 60),
        ("B b", 12, 50),
        ("C c", 6, 140),
    ]
    assert maker.rows_of(small, "larva") == [("D d", 9, 300)]


def test_the_regression_is_ordinary_least_squares(small: Path) -> None:
    found = maker.prior(maker.rows_of(small, "egg"))
    from scipy import stats

    # checked against the straight-line fit of scipy
    t0, ln_k = [8, 10, 11, 12, 6], np.log([100, 80, 60, 50, 140])
    fit = stats.linregress(t0, ln_k)
    assert found["n"] == 5
    assert found["t0_sd_c"] == pytest.approx(np.std(t0, ddof=1))
    assert found["ln_k_slope"] == pytest.approx(fit.slope)
    assert found["ln_k_intercept"] == pytest.approx(fit.intercept)
    rest = ln_k - fit.intercept - fit.slope * np.array(t0)
    assert found["residual_sd"] == pytest.approx(np.sqrt((rest**2).sum() / 3))


def test_spread_within_species_is_pooled(small: Path) -> None:
    found = maker.within(maker.rows_of(small, "egg"))
    assert (found["within_n"], found["within_species"]) == (4, 2)
    # by hand: deviations -1, 1, -0.5, 0.5 with 4 - 2 degrees of freedom
    assert found["within_t0_sd_c"] == pytest.approx((2.5 / 2) ** 0.5)


def test_the_sheet_holds_all_rows_that_can_be_used() -> None:
    # Buckley et al. 2017, rows of Lepidoptera: 156, 150 and 162 with both values;
    # less 13 repeats and 10 eggs with larva, 6 repeats, 2 repeats (computed)
    broad = sheets.load_all().broad
    assert {stage: prior.n for stage, prior in broad.items()} == {
        "egg": 133,
        "larva": 144,
        "pupa": 160,
    }


@pytest.mark.parametrize(
    ("stage", "t0_c", "k_dd"),
    [
        # published: Moon et al. 2022, Korean J. Appl. Entomol. 61(2):349-356,
        # Spodoptera frugiperda
        ("egg", 12.9, 37.0),
        ("larva", 11.3, 286.3),
        ("pupa", 12.6, 132.2),
        # published: Inoue & Koyama 2003, Trans. Lepid. Soc. Japan 54(3):163-176,
        # Narathura bazalus
        ("larva", 9.0, 320),
        ("pupa", 9.9, 171),
    ],
)
def test_papers_outside_the_compilation_fall_within_the_prior(
    stage: str, t0_c: float, k_dd: float
) -> None:
    prior = sheets.load_all().broad[stage]
    assert abs(t0_c - prior.t0_mean_c) < 2 * prior.t0_sd_c
    expected = prior.ln_k_intercept + prior.ln_k_slope * t0_c
    assert abs(np.log(k_dd) - expected) < 2 * prior.residual_sd


def test_strains_of_one_species_differ_less_than_species() -> None:
    for prior in sheets.load_all().broad.values():
        assert prior.within_t0_sd_c < prior.t0_sd_c
        assert prior.within_residual_sd < prior.residual_sd
