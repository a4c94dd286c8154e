"""Who shared something with a box, as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer


def test_who_shared_with_the_sick_box(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    found = ask("trace", season_book, "B21-02", "D")

    assert found.code == 0
    assert "3 boxes shared something with it, 30 May to 12 June." in found.out
    assert "B21-02 D: last virus death 10 June; apart until 24 June" in found.out
    assert "\nB21-02 A, B, C  Aglia tau\n  mother: both of B21-02\n" in found.out
    assert "  leaf: beech of the same 1 day" in found.out
    data = ask("trace", season_book, "b21-02 d", "--days", "3", "--json").data
    assert data["since"] == "2021-06-10"
    assert data["neighbours"][0]["ties"][0]["shared"] == "mother"


def test_who_is_kept_apart(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("trace", season_book)
    assert "B21-02 D: last virus death 10 June" in found.out
    data = ask("trace", season_book, "--on", "2021-06-09", "--json").data
    assert data == {"on": "2021-06-09", "apart": []}
    assert "None." in ask("trace", season_book, "--on", "2021-06-09").out


def test_a_box_that_is_not_there(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("trace", season_book, "B21-02", "Z")
    assert found.code == 2
    assert "B21-02 has no box “Z”. It has A, B, C, D." in found.err
