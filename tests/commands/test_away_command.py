"""Days away as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer


def test_a_week_away(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("away", season_book, "--from", "2021-06-14", "--to", "20 June 2021")

    assert found.code == 0
    assert "Away 14 to 20 June: the leaf of 5 boxes runs out" in found.out
    assert "Taken that all is fed and cleaned on Sun 13 June, 20:00" in found.out
    assert "B21-01 pot 1 · Kitchen shelf · 5: hatched and in no box yet" in found.out
    assert "B21-01 pot 1 · Kitchen shelf · 6 eggs: hatch with nobody there" in found.out
    assert "B21-01 pot 2, pot 3, pot 4 · Kitchen shelf · 112 eggs: hatch" in found.out
    assert "A helper has to give leaf on" in found.out


def test_days_away_as_json(ask: Callable[..., Answer], season_book: Path) -> None:
    data = ask(
        *("away", season_book, "--from", "2021-06-14", "--to", "2021-06-14", "--json")
    ).data

    assert data["back_at"] == "2021-06-15T20:00:00+02:00"
    assert data["lasting"] == 5
    assert {one["why"] for one in data["failing"]} <= {
        "hatch with nobody there",
        "hatched and in no box yet",
    }


def test_days_that_can_not_be_meant(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    found = ask("away", season_book, "--from", "2021-06-14", "--to", "2021-06-13")
    assert found.code == 2
    assert "The last day away lies before the first." in found.err
    found = ask("away", season_book, "--to", "2021-06-13")
    assert "still needed: --from" in found.err
