"""Looking a book over: sound ones, broken files, numbers that don't add up."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from rearing.belongings import resource

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]


def damage(path: Path, *statements: str) -> None:
    """Change a book behind the verbs' back."""
    with closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            changed = connection.execute(statement).rowcount
            assert changed != 0, statement
        connection.commit()


def test_a_sound_book_is_said_to_be_so(ask: Ask, season_book: Path) -> None:
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert (answer.code, answer.err) == (0, "")
    assert "2 broods, every animal in exactly one place" in answer.out
    assert answer.out.endswith("Nothing is wrong.\n")


def test_a_line_that_points_nowhere_is_found(ask: Ask, season_book: Path) -> None:
    damage(season_book, "UPDATE box SET brood_id = 999 WHERE id = 1")
    answer = ask("check", season_book)
    assert answer.code == 1
    assert "a line of box points at a missing line of brood" in answer.out
    assert answer.out.endswith("1 found wrong.\n")


def test_more_fates_than_eggs_are_found(ask: Ask, season_book: Path) -> None:
    damage(season_book, "UPDATE egg_outcome SET number = 60 WHERE id = 1")
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 0, "60 of 153 eggs may well have hatched"
    damage(
        season_book,
        "UPDATE egg_outcome SET number = 200, fate = 'collapsed' WHERE id = 1",
    )
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "B21-01: fates are entered for 47 more eggs than were laid." in answer.out


def test_more_larvae_than_hatched_are_found(ask: Ask, season_book: Path) -> None:
    damage(season_book, "UPDATE egg_outcome SET number = 10 WHERE id = 1")
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "B21-01: 20 more were put on leaf than hatched." in answer.out


def test_a_number_below_nought_is_found(ask: Ask, season_book: Path) -> None:
    damage(season_book, "UPDATE egg_outcome SET number = -5 WHERE id = 1")
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "B21-01: -5 " in answer.out


def test_animals_from_nowhere_are_found(ask: Ask, season_book: Path) -> None:
    """Larvae credited to a pot of another brood: that brood's own are then over."""
    damage(season_book, "UPDATE move SET from_pot_id = NULL WHERE id = 1")
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "30 animals over that came from nowhere" in answer.out


def test_a_broken_sheet_of_the_keepers_own_is_named(
    ask: Ask, season_book: Path, home: Path
) -> None:
    own = home / "species"
    own.mkdir(parents=True)
    shutil.copy(resource("species", "saturnia_pyri.toml"), own / "saturnia_pyri.toml")
    assert ask("check", season_book, "--on", "2021-06-12").code == 0
    (own / "aglia_tau.toml").write_text("name = 3\n")
    answer = ask("check", season_book, "--on", "2021-06-12")
    assert answer.code == 1
    assert "Species sheet aglia_tau.toml" in answer.out


def test_a_torn_file_is_told_in_a_sentence(ask: Ask, season_book: Path) -> None:
    whole = season_book.read_bytes()
    season_book.write_bytes(whole[: len(whole) // 2])
    answer = ask("check", season_book)
    assert answer.code in {1, 2}
    assert "Nothing is wrong" not in answer.out


@pytest.mark.parametrize("share", [0.2, 0.4, 0.6, 0.8])
@pytest.mark.parametrize("command", ["round", "forecast", "check"])
def test_no_torn_page_ends_in_anything_but_words(
    ask: Ask, season_book: Path, share: float, command: str
) -> None:
    content = bytearray(season_book.read_bytes())
    at = int(len(content) * share) // 4096 * 4096
    content[at : at + 4096] = b"\xa5" * 4096
    season_book.write_bytes(content)
    answer = ask(command, season_book)
    assert answer.code in {0, 1, 2}
    assert (answer.err != "") == (answer.code == 2)
    assert answer.err.count("\n") <= 1
