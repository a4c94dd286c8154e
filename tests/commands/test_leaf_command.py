"""Leaf for the days to come as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer


def test_leaf_for_the_weeks_to_come(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    found = ask("leaf", season_book, "--days", "5", "--carry", "0.2")

    assert found.code == 0
    assert "Leaf to cut, as on Saturday 12 June 2021" in found.out
    assert "Runs short first: " in found.out
    assert "no tree of it is entered" in found.out
    assert "With 0.2 kg a day" in found.out
    assert found.out.count("  Sun 13 Jun") == 1
    assert "Fri 18 Jun" not in found.out


def test_leaf_as_json(ask: Callable[..., Answer], season_book: Path) -> None:
    data = ask("leaf", season_book, "--days", "9", "--json").data

    assert [day["day"] for day in data["days"]][-1] == "2021-06-21"
    beech = next(plan for plan in data["plans"] if plan["host"] == "beech")
    # 71 larvae, and 12 eggs that still wait by the book
    assert beech["eaters"] == 83
    assert beech["keep"] is None
    assert beech["peak"]["low"] <= beech["peak"]["expected"] <= beech["peak"]["high"]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (("--days", "0"), "1 to 240 days"),
        (("--carry", "-1"), "above nought"),
        (("--carry", "nan"), "must be a number"),
        (("--days", "x"), "--days"),
    ],
)
def test_what_can_not_be_meant(
    ask: Callable[..., Answer], season_book: Path, asked: tuple[str, str], words: str
) -> None:
    found = ask("leaf", season_book, *asked)
    assert found.code == 2
    assert words in found.err
