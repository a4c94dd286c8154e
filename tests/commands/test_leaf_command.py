"""Leaf for the days to come as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import leaf, leaf_tests
from rearing.records.book import Book
from rearing.terms import TreeSign
from tests.keeping.karst_book import LATER, on

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
    assert "at 200 g a day" in found.out
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


def test_trees_cuts_and_test_larvae_are_told(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    with Book.open(season_book) as book:
        tree = leaf.add_tree(book, LATER, name="Beech 2", host="beech").new_id
        leaf.close_tree(
            *(book, LATER),
            tree_id=tree,
            since=on(6, 10),
            until=on(6, 20),
            why="sprayed",
        )
        leaf.note_sign(
            *(book, LATER), tree_id=tree, sign=TreeSign.BUD_BURST, on=on(4, 20)
        )
        leaf.cut_leaf(
            *(book, LATER), host="beech", on=on(6, 9), tree_id=tree, grams=2500
        )
        leaf_tests.begin_test(book, LATER, tree_id=tree, begun_on=on(6, 11))
    found = ask("leaf", season_book, "--days", "3")
    assert "g left by the book" in found.out
    assert (
        "  Beech 2, beech: closed until Sun 20 June, sprayed; bud burst 20 April"
        in (found.out)
    )
    assert "Test larvae: 2 larvae on leaf of Beech 2 since 11 June" in found.out
    data = ask("leaf", season_book, "--json").data
    (tree_told,) = data["trees"]
    assert tree_told["is_closed"]
    assert tree_told["signs"] == [{"sign": "bud burst", "day": "2021-04-20"}]
    assert data["cuts"][0]["grams"] == 2500
    assert data["tests"][0]["due_on"] == "2021-06-14"
    plan = next(one for one in data["plans"] if one["host"] == "beech")
    assert plan["reached"][0]["lies_cut"]


def test_how_many_can_be_kept_by_leaf_and_by_room(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    """Cages take 12 to 15 of the last instar (common practice, no source)."""
    found = ask("leaf", season_book, "--carry", "5", "--cages", "2", "--json").data
    (beech,) = [one for one in found["can_keep"] if one["host"] == "beech"]
    assert beech["by_room"] == {"sure": 24, "most": 30}
    assert beech["binds"] == "room"
    assert beech["give_away"] == 83 - 24
    assert beech["room"] == [{"kind": "cage", "number": 2}]


def test_all_the_room_for_one_host(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    found = ask("leaf", season_book, "--cages", "2", "--host", "Bee", "--json").data
    (beech,) = found["can_keep"]
    assert beech["host"] == "beech"
    assert beech["by_room"] == {"sure": 24, "most": 30}


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (("--days", "0"), "1 to 240 days"),
        (("--carry", "-1"), "above nought"),
        (("--boxes", "-2"), "fewer than none"),
        (("--carry", "nan"), "must be a number"),
        (("--days", "x"), "--days"),
        (("--host", "beech"), "--host goes with --carry"),
        (("--host", "privet", "--cages", "1"), "Nobody here will eat “privet”"),
    ],
)
def test_what_can_not_be_meant(
    ask: Callable[..., Answer], season_book: Path, asked: tuple[str, ...], words: str
) -> None:
    found = ask("leaf", season_book, *asked)
    assert found.code == 2
    assert words in found.err
