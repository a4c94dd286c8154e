"""Shares with Wilson's interval."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from rearing.science.proportions import wilson


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
