"""Days without a visit; the days are the tests' own."""

from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from rearing.keeping.gaps import Gap, gaps

JUNE = [dt.date(2021, 6, day) for day in range(1, 31)]


def test_two_days_away_are_one_gap() -> None:
    seen = [day for day in JUNE if day.day not in {28, 29}]

    (gap,) = gaps([(JUNE[0], JUNE[-1])], seen)

    assert gap == Gap(dt.date(2021, 6, 28), dt.date(2021, 6, 29))
    assert gap.days == 2
    assert gap.words == "no visit 28 to 29 June"


def test_days_apart_are_gaps_of_their_own() -> None:
    seen = [day for day in JUNE if day.day not in {3, 5}]

    found = gaps([(JUNE[0], JUNE[-1])], seen)

    assert [gap.words for gap in found] == ["no visit 3 June", "no visit 5 June"]


def test_days_before_and_after_care_are_no_gap() -> None:
    assert gaps([(JUNE[9], JUNE[11])], JUNE[9:12]) == ()
    assert gaps([], JUNE) == ()


@given(st.sets(st.sampled_from(JUNE)), st.integers(0, 29), st.integers(0, 29))
def test_gaps_and_visits_cover_every_day_of_care_once(
    seen: set[dt.date], one: int, other: int
) -> None:
    first, last = JUNE[min(one, other)], JUNE[max(one, other)]

    found = gaps([(first, last)], seen)

    missed = [
        gap.first + dt.timedelta(days=i) for gap in found for i in range(gap.days)
    ]
    assert sorted(missed) == [d for d in JUNE if first <= d <= last and d not in seen]
