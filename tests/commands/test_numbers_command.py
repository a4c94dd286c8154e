"""A brood's numbers as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer


def test_the_numbers_of_a_brood(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("numbers", season_book, "--brood", "b21-02", "--against", "B21-01")

    assert found.code == 0
    assert "Of 74 larvae L3 71 alive." in found.out
    assert "L3  virus        2" in found.out
    assert "L3  unaccounted  1" in found.out
    assert "Survived of those kept: 96%, 89%–99%; 97% if the 1 unaccounted" in found.out
    assert "Against B21-01: survived of those kept 100%" in found.out


def test_the_numbers_as_json(ask: Callable[..., Answer], season_book: Path) -> None:
    data = ask(
        *("numbers", season_book, "--brood", "B21-02", "--box", "A", "--json")
    ).data

    assert data["came"] == 74
    assert data["alive"] == [{"stage": "L3", "number": 71}]
    assert data["box"]["came"] == 20
    assert data["box"]["unaccounted"] == 1
    assert [row["n"] for row in data["stages"]] == [86, 74, 74, 74]
    assert data["days"][-1]["d"] == 2
    assert data["against"] is None


def test_losses_of_a_species(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("numbers", season_book, "--species", "Aglia tau")
    assert "2021  L3  virus        2" in found.out
    none = ask("numbers", season_book, "--species", "Lasiocampa quercus")
    assert "None is in the book." in none.out
    data = ask("numbers", season_book, "--species", "Aglia tau", "--json").data
    assert {x["why"]: x["number"] for x in data["losses"]}["virus"] == 2


def test_what_cannot_be_answered_is_said(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    found = ask("numbers", season_book)
    assert (found.code, "--brood --species is required" in found.err) == (2, True)
    found = ask("numbers", season_book, "--species", "Aglia tau", "--box", "A")
    assert "--against and --box go with --brood" in found.err
    found = ask("numbers", season_book, "--brood", "B21-09")
    assert "There is no brood “B21-09”" in found.err
