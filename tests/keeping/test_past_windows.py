"""What past windows come to in words, and which are like a brood's own."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import honesty as honest
from rearing.keeping.past_windows import (
    Account,
    Past,
    PastWindows,
    age_now,
    past_windows,
    such,
)
from rearing.keeping.season import Forecast, Window
from rearing.records.book import Book
from rearing.science.honesty import Replayed
from rearing.science.proportions import wilson
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from pathlib import Path

ON = dt.date(2021, 6, 20)
DAY = 86_400.0


def past(taxon: str, age: str, *, held: bool, late_days: float = 2.0) -> Past:
    middle = 100 * DAY + late_days * DAY
    half = 3 * DAY if held else DAY
    window = Replayed(
        event="wander",
        piece="half",
        age=age,
        made_s=80 * DAY,
        low_s=middle - half,
        middle_s=middle,
        high_s=middle + half,
        after_s=100 * DAY,
        by_s=100 * DAY,
        calendar_s=106 * DAY,
    )
    return Past("B20-01", taxon, window)


def many(taxon: str, age: str, held: int, of: int) -> tuple[Past, ...]:
    return tuple(past(taxon, age, held=at < held) for at in range(of))


def test_the_share_stands_with_its_interval_and_number() -> None:
    """26 of 31, against Wilson's interval (Newcombe 1998, method 3)."""
    account = Account(many("Aglia tau", "egg", 26, 31))
    share = wilson(26, 31)
    assert account.words == (
        f"Of 31 past windows 26 held, 84% ({share.low:.0%} to {share.high:.0%}); 80 in "
        "100 are meant to, so they may be trusted."
    )
    assert account.such_words == "Of 31 such windows 26 held; mean error 2 d"
    assert account.error_words == (
        "Their middles were off by 2.0 d on average, 2.0 d late on the whole. Where "
        "there was an earlier brood to go by (31), its plain mean was off by 6.0 d, "
        "the windows by 2.0 d."
    )


def test_windows_that_are_too_narrow_or_too_wide_are_said_to_be() -> None:
    assert "trust them less" in Account(many("Aglia tau", "egg", 20, 60)).words
    assert "wider than need be" in Account(many("Aglia tau", "egg", 60, 60)).words


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (0, "No window of a finished brood can be looked back on yet."),
        (1, "Only 1 window of finished broods can be looked back on, of which 1 held"),
        (9, "Only 9 windows of finished broods can be looked back on, of which 9 held"),
    ],
)
def test_too_few_are_said_to_be_too_few(number: int, words: str) -> None:
    account = Account(many("Aglia tau", "egg", number, number))
    assert account.words.startswith(words)
    assert account.error_words == account.such_words == ""


def test_such_windows_are_of_its_age_and_species_where_there_are_enough() -> None:
    told = PastWindows(
        ON,
        (
            *many("Aglia tau", "L5", 9, 12),
            *many("Saturnia pyri", "L5", 5, 5),
            *many("Saturnia pyri", "egg", 11, 12),
        ),
    )
    assert told.ages == ("egg", "L5")
    assert told.species == ("Aglia tau", "Saturnia pyri")
    assert len(such(told, "Aglia tau", "last instar").windows) == 12
    assert len(such(told, "Saturnia pyri", "L5").windows) == 17
    assert len(such(told, "Saturnia pyri", "L2").windows) == 17
    assert len(such(told, "Marumba quercus", "L2").windows) == 29
    # and which of these it is, is said
    assert such(told, "Aglia tau", "L5").such_words.startswith("Of 12 such windows 9")
    for taxon, age, kind in (
        ("Saturnia pyri", "L5", "such windows of all species"),
        ("Saturnia pyri", "L2", "windows of its species"),
        ("Marumba quercus", "L2", "past windows of all species"),
    ):
        assert f" {kind} " in such(told, taxon, age).such_words


def test_the_age_of_a_brood_is_that_of_most_of_it() -> None:
    def group(event: str, number: int) -> Forecast:
        window = Window(event, event, number, None, None, None, None, 1.0)
        return Forecast(1, "B", "Aglia tau", "A", number, (window,), "", "", "", "")

    ages = {"hatch": "egg", "L3": "L2", "wander": "last instar", "emerge": "pupation"}
    for event, age in ages.items():
        assert age_now([group(event, 9), group("L2", 1)]) == age
    assert age_now([]) is None


def test_they_are_those_of_honesty_with_their_species(built_copy: Path) -> None:
    shares: list[float] = []
    with Book.open(built_copy) as book:
        shelf = load_all()
        told = past_windows(book, shelf, ON, progress=shares.append)
        found = honest.honesty(book, shelf, ON)
        stopped = past_windows(book, shelf, ON, stop=lambda: True)
    assert [(one.brood, one.window) for one in told.windows] == list(found.replayed)
    assert told.of().score == found.in_all
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert stopped.windows == ()
