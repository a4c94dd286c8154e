"""Both sexes together, winter or not, leaf-drop: read off windows that are known."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.outlook import Asked, HeldBack, outlook
from rearing.keeping.reach import Reach
from rearing.keeping.season import Forecast, Span, Window
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from rearing.keeping.outlook import Outlook

ON = dt.date(2021, 6, 12)
SHELF = load_all()
END = ON + dt.timedelta(days=365)
KARST = (45.5, 13.9)


def span(middle: dt.date, days: float) -> Span:
    noon = dt.datetime.combine(middle, dt.time(12), dt.UTC)
    away = dt.timedelta(days=days)
    return Span(noon - away, noon, noon + away, open_end=False)


def window(event: str, number: int, half: dt.date, apart: int = 4) -> Window:
    away = dt.timedelta(days=apart)
    first, last = span(half - away, 2), span(half + away, 2)
    return Window(event, event, number, first, span(half, 2), last, None, 0.0)


def told(
    taxon: str,
    *windows: Window,
    bare: tuple[int, int] | None = None,
    sky: tuple[float, float] | None = KARST,
    went_down: float | None = None,
    on: dt.date = ON,
) -> Outlook:
    number = windows[0].number
    group = Forecast(1, "B21-01", taxon, "A", number, windows, "", "", "", "")
    within = Reach(ON, (), (), {"oak": bare} if bare else {}, sky)
    asked = Asked(SHELF.sheet_for(taxon), (group,), ("oak",), went_down, on)
    return outlook(asked, within, SHELF.defaults, end=END)


def test_both_sexes_fly_about_the_middle_and_never_alone() -> None:
    found = told("Saturnia pyri", window("emerge", 40, dt.date(2021, 6, 30)))
    (nights,) = found.together
    assert nights.first < dt.date(2021, 6, 30) < nights.last
    assert sum(one.number for one in found.emerging) == pytest.approx(40, rel=0.02)
    alone = told("Saturnia pyri", window("emerge", 1, dt.date(2021, 6, 30)))
    assert alone.together == ()
    assert max(one.both for one in alone.emerging) == 0


def test_a_male_and_a_female_of_two_groups_meet() -> None:
    """One pupa in each of two tubs cannot pair by itself; together they may."""
    one = window("emerge", 1, dt.date(2021, 6, 30), apart=0)
    group = Forecast(1, "B21-01", "Saturnia pyri", "A", 1, (one,), "", "", "", "")
    asked = Asked(SHELF.sheet_for("Saturnia pyri"), (group, group), ("oak",), None, ON)
    found = outlook(asked, Reach(ON, (), (), {}, None), SHELF.defaults, end=END)
    assert max(night.both for night in found.emerging) > 0.5


def test_long_days_send_pupae_on_and_short_ones_into_winter() -> None:
    early = told("Laothoe populi", window("L5", 30, dt.date(2021, 6, 21)))
    late = told("Laothoe populi", window("L5", 30, dt.date(2021, 9, 21)))
    assert early.direct is not None
    assert late.direct is not None
    assert early.direct.chance > 0.9
    assert late.direct.chance < 0.1
    assert early.direct.words.startswith("Nearly all go on without winter by day")
    assert late.direct.words.startswith("Hardly any go on without winter")


def test_what_day_length_does_not_settle_is_not_told() -> None:
    summer = window("L5", 30, dt.date(2021, 6, 21))
    assert told("Saturnia pyri", summer).direct is None  # winters always
    assert told("Laothoe populi", summer, sky=None).direct is None
    assert told("Laothoe populi", summer, sky=(4.0, 110.0)).direct is None
    pupae = window("emerge", 30, dt.date(2022, 5, 1))
    settled = ON.toordinal() - 200.0
    assert told("Laothoe populi", pupae, went_down=settled).direct is None
    lately = ON.toordinal() - 20.0
    assert told("Laothoe populi", pupae, went_down=lately).direct is not None


def test_leaf_drop_is_the_chance_to_be_down_before() -> None:
    """A window of 80 in 100 that ends with the bare day leaves nine in ten before."""
    on, last = dt.date(2021, 9, 20), dt.date(2021, 10, 20)
    feeding = window("wander", 30, last)
    at_half = told("Saturnia pyri", feeding, bare=(10, 20), on=on).leaf_drop
    assert at_half is not None
    assert at_half.bare_on == dt.date(2021, 10, 20)
    assert at_half.half == pytest.approx(0.5, abs=0.05)
    assert at_half.last is not None
    assert at_half.last < 0.4
    assert at_half.words.startswith("Oak is bare about 20 October: all are down before")
    safe = told("Saturnia pyri", feeding, bare=(12, 20), on=on).leaf_drop
    assert safe is not None
    assert safe.words == ""


def test_without_the_day_it_is_asked_for_in_autumn_only() -> None:
    autumn = told("Saturnia pyri", window("wander", 30, dt.date(2021, 10, 20)))
    assert autumn.leaf_drop is not None
    assert "enter when oak is bare (D)" in autumn.leaf_drop.words
    summer = told("Saturnia pyri", window("wander", 30, dt.date(2021, 7, 20)))
    assert summer.leaf_drop is None


def test_holding_males_back_wins_next_to_nothing_where_all_fly_at_once() -> None:
    """Males live four nights and females three: a few days apart cost nothing."""
    many = told("Saturnia pyri", window("emerge", 40, dt.date(2021, 6, 30)))
    held = many.held_back
    assert held is not None
    assert held.nights - held.instead_of <= 1
    assert HeldBack(1, 4, 4).words.endswith("wins no night with these females")
    assert HeldBack(1, 6, 4).words == (
        "Males held in the cold for 1 day: both sexes likely on 6 nights instead of 4"
    )
    assert told("Saturnia pyri", window("wander", 9, ON)).held_back is None
