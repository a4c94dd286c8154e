"""Scores of replayed windows, by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.science.honesty import (
    Piece,
    Replayed,
    by_age,
    by_event,
    by_piece,
    calendar_average,
    score,
)

DAY_S = 86400.0


def window(
    low: float,
    middle: float,
    high: float,
    happened: float | tuple[float, float],
    *,
    calendar: float | None = None,
    age: str = "L3",
    event: str = "emerge",
    piece: Piece = "half",
) -> Replayed:
    after, by = happened if isinstance(happened, tuple) else (happened, happened)
    return Replayed(
        event,
        piece,
        age,
        0.0,
        low * DAY_S,
        middle * DAY_S,
        high * DAY_S,
        after * DAY_S,
        by * DAY_S,
        None if calendar is None else calendar * DAY_S,
    )


def test_windows_hold_or_not_and_errors_are_in_days() -> None:
    # Computed by hand: errors +1, -3, 0; held yes, no, yes.
    found = score(
        [window(8, 11, 14, 10), window(8, 10, 12, 13), window(4, 5, 6, 5, calendar=9)]
    )
    assert found is not None
    assert found.number == 3
    assert found.held.share == pytest.approx(2 / 3)
    assert found.error_days == pytest.approx(4 / 3)
    assert found.bias_days == pytest.approx(-2 / 3)
    assert found.calendar_number == 1
    assert found.calendar_error_days == pytest.approx(4.0)
    assert found.beside_calendar_days == pytest.approx(0.0)
    assert found.against_calendar == pytest.approx(0.0)


def test_what_happened_between_checks_meets_a_window_or_does_not() -> None:
    assert window(8, 10, 12, (11.5, 14)).held
    assert not window(8, 10, 12, (12.5, 14)).held
    assert window(8, 10, 12, (6, 8.5)).held
    assert window(8, 10, 12, (6, 9)).error_days == pytest.approx(2.5)
    assert window(8, 10, 12, 9).ahead_days == pytest.approx(9.0)


def test_an_open_end_holds_whatever_is_late() -> None:
    assert window(8, 10, np.inf, 400).held
    assert not window(8, 10, np.inf, 7).held


@settings(deadline=None)
@given(st.integers(1, 40), st.data())
def test_the_interval_of_the_share_is_wilsons(n: int, data: st.DataObject) -> None:
    from scipy.stats import binomtest

    k = data.draw(st.integers(0, n))
    found = score([window(8, 10, 12, 10 if i < k else 20) for i in range(n)])
    wanted = binomtest(k, n).proportion_ci(0.95, "wilson")
    assert found is not None
    assert found.held.low == pytest.approx(wanted.low, abs=1e-9)
    assert found.held.high == pytest.approx(wanted.high, abs=1e-9)


def test_scores_fall_apart_by_age_event_and_piece() -> None:
    all_of_them = [
        window(8, 10, 12, 10, age="egg", event="hatch", piece="first"),
        window(8, 10, 12, 20, age="egg", piece="last"),
        window(8, 10, 12, 11, age="L5"),
    ]
    ages = by_age(all_of_them)
    assert {age: one.number for age, one in ages.items()} == {"egg": 2, "L5": 1}
    assert ages["egg"].held.share == 0.5
    assert by_event(all_of_them)["hatch"].held.share == 1.0
    assert list(by_piece(all_of_them)) == ["first", "last", "half"]


def test_nothing_replayed_and_no_past_brood_say_nothing() -> None:
    assert score([]) is None
    assert by_age([]) == {}
    assert calendar_average(0.0, []) is None
    assert calendar_average(DAY_S, [40.0, 50.0]) == 46 * DAY_S
    bare = score([window(8, 10, 12, 10)])
    assert bare is not None
    assert bare.calendar_error_days is None
    assert bare.against_calendar is None
