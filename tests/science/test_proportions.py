"""Shares with Wilson's interval."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rearing.science.proportions import binomial_p, difference, wilson


# published: Newcombe 1998, Stat. Med. 17:857–872, Table I, method 3 (read as quoted
# by others, not in the paper); the six decimals are computed
@pytest.mark.parametrize(
    ("k", "n", "published", "computed"),
    [
        (81, 263, (0.2553, 0.3662), (0.255289, 0.366210)),
        (15, 148, (0.0624, 0.1605), (0.062386, 0.160487)),
        (0, 20, (0.0000, 0.1611), (0.0, 0.161125)),
    ],
)
def test_newcombes_published_intervals(
    k: int, n: int, published: tuple[float, float], computed: tuple[float, float]
) -> None:
    found = wilson(k, n)
    assert found.share == k / n
    assert_allclose([found.low, found.high], published, atol=5.1e-5)
    assert_allclose([found.low, found.high], computed, atol=5.1e-7)


def test_another_computed_interval() -> None:
    found = wilson(23, 60)
    assert_allclose([found.low, found.high], [0.270883, 0.509824], atol=5.1e-7)


@settings(deadline=None)
@given(n=st.integers(1, 500), data=st.data())
def test_scipy_gives_the_same_interval(n: int, data: st.DataObject) -> None:
    from scipy.stats import binomtest

    k = data.draw(st.integers(0, n))
    confidence = data.draw(st.sampled_from([0.8, 0.95, 0.99]))
    found = wilson(k, n, confidence)
    known = binomtest(k, n).proportion_ci(confidence, method="wilson")
    assert_allclose([found.low, found.high], [known.low, known.high], atol=1e-12)
    assert 0 <= found.low <= found.share <= found.high <= 1


def test_none_and_all_have_exact_ends() -> None:
    assert wilson(0, 33).low == 0.0
    assert wilson(33, 33).high == 1.0


@pytest.mark.parametrize(
    ("k", "n", "confidence", "words"),
    [
        (0, 0, 0.95, "at least one animal, not 0"),
        (5, 4, 0.95, "5 of 4"),
        (-1, 4, 0.95, "-1 of 4"),
        (1, 4, 1.0, "Confidence must be between"),
    ],
)
def test_what_is_no_share_is_refused(
    k: int, n: int, confidence: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        wilson(k, n, confidence)


# from memory: Newcombe 1998, Stat. Med. 17:873–890, his example 56/70 against 48/80 by
# method 10
def test_newcombes_difference_of_two_shares() -> None:
    found = difference((56, 70), (48, 80))
    assert found.share == pytest.approx(0.2)
    assert_allclose([found.low, found.high], [0.0524, 0.3339], atol=5.1e-5)


@settings(deadline=None)
@given(data=st.data())
def test_a_difference_turns_its_sign_with_its_order(data: st.DataObject) -> None:
    lots = []
    for _ in range(2):
        n = data.draw(st.integers(1, 200))
        lots.append((data.draw(st.integers(0, n)), n))
    there, back = difference(*lots), difference(*reversed(lots))
    assert -1 <= there.low <= there.share <= there.high <= 1
    assert_allclose([there.low, there.high], [-back.high, -back.low], atol=1e-12)


# quoted: Conover 1971, p. 97, as R prints it: 682 of 925 against three quarters;
# computed: sex ratios against one half
@pytest.mark.parametrize(
    ("k", "n", "expected", "p", "digits"),
    [
        (682, 925, 0.75, 0.3825, 4),
        (12, 30, 0.5, 0.361595, 6),
        (61, 100, 0.5, 0.035200, 6),
        (7, 20, 0.5, 0.263176, 6),
    ],
)
def test_the_quoted_binomial_test(
    k: int, n: int, expected: float, p: float, digits: int
) -> None:
    assert round(binomial_p(k, n, expected), digits) == p


@settings(deadline=None)
@given(
    n=st.integers(1, 300),
    expected=st.sampled_from([0.1, 0.25, 0.5, 0.75]),
    data=st.data(),
)
def test_scipy_gives_the_same_chance(
    n: int, expected: float, data: st.DataObject
) -> None:
    from scipy.stats import binomtest

    k = data.draw(st.integers(0, n))
    known = binomtest(k, n, expected).pvalue
    assert_allclose(binomial_p(k, n, expected), known, rtol=1e-6)


@pytest.mark.parametrize(
    ("k", "n", "expected", "words"),
    [
        (0, 0, 0.5, "at least one animal"),
        (5, 4, 0.5, "5 of 4"),
        (1, 4, 1.0, "expected must be between"),
    ],
)
def test_what_chance_knows_nothing_of_is_refused(
    k: int, n: int, expected: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        binomial_p(k, n, expected)
