"""How the season's leaf is told in words."""

from __future__ import annotations

import datetime as dt

from rearing.desk.pages.season_words import (
    fullest,
    kilos,
    leaf_reading,
    need_words,
    reading,
    week_words,
)
from rearing.keeping.leaf_need import LeafWeek, Need
from rearing.keeping.season import Forecast, Overdue
from rearing.keeping.season_rows import Ribbon, SeasonView

ON = dt.date(2021, 6, 25)


def test_weights_are_told_as_a_keeper_says_them() -> None:
    assert kilos(44.4) == "44 g"
    assert kilos(846) == "850 g"
    assert kilos(1561) == "1.6 kg"
    assert need_words(Need(1400, 1600, 1900)) == "1.6 kg (1.4 to 1.9)"
    assert need_words(Need(80, 919, 1745)) == "920 g (80 g to 1.7 kg)"
    assert need_words(Need(500, 1100, 1700)) == "1.1 kg (500 g to 1.7 kg)"


def test_leaf_nobody_weighed_is_said_to_be_so() -> None:
    monday = dt.date(2021, 6, 21)
    weeks = (
        LeafWeek(monday, {}, True, {}, None),
        LeafWeek(monday, {"beech": 120.0}, True, {}, None),
    )
    assert week_words(weeks[0], ON) == "21 to 27 June: leaf given, not weighed"
    assert week_words(weeks[1], ON).endswith("beech 120 g a day (some not weighed)")


def test_a_season_without_broods_needs_no_leaf() -> None:
    view = SeasonView(ON, ON, (), (), is_forecast=True)
    assert leaf_reading(view) == "Leaf to cut: none is expected to be needed."


def test_what_is_left_of_a_week_is_not_its_fullest() -> None:
    week = dt.timedelta(days=7)
    monday = dt.date(2021, 6, 21)
    weeks = tuple(
        LeafWeek(monday + at * week, {}, False, {}, Need(0, grams, 2 * grams))
        for at, grams in enumerate((900.0, 500.0, 700.0))
    )
    # on Friday two days of the first week are left
    assert fullest(weeks, ON) == weeks[2]
    assert fullest(weeks[:1], ON) == weeks[0]
    assert fullest((), ON) is None


def test_what_was_due_and_not_seen_is_told_before_what_is_expected() -> None:
    late = Overdue("L3", dt.date(2021, 6, 3), 0, 0)
    group = Forecast(
        1, "B21-01", "Aglia tau", "A", 9, (), "", "", "", "", overdue=(late,)
    )
    ribbon = Ribbon(
        1, "B21-01", "Aglia tau", "A. tau", 9, "L2", "", True, (), (), (group,), ()
    )
    assert "Into L3 expected by 3 June; nothing seen." in reading(ribbon, ON)
