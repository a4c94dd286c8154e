"""The table of past windows, as text and as JSON."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from rearing.belongings import sample
from rearing.commands.sample import NAME

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

SCORE_KEYS = {
    "number",
    "held",
    "held_low",
    "held_high",
    "error_days",
    "bias_days",
    "calendar_number",
    "calendar_error_days",
    "beside_calendar_days",
}


@pytest.fixture
def sample_book(tmp_path: Path) -> Path:
    return shutil.copyfile(sample(NAME), tmp_path / NAME)


def test_json_holds_every_score_and_every_window(ask: Ask, sample_book: Path) -> None:
    data = ask("honesty", sample_book, "--on", "2021-06-30", "--json").data
    assert data["on"] == "2021-06-30"
    assert set(data["all"]) == SCORE_KEYS
    assert data["all"]["number"] == len(data["windows"])
    held = sum(one["held"] for one in data["windows"])
    assert data["all"]["held"] == pytest.approx(held / len(data["windows"]))
    assert {one["brood"] for one in data["windows"]} == set(data["broods"])
    assert set(data["by_piece"]) <= {"first", "half", "last"}


def test_the_table_tells_what_its_columns_are(ask: Ask, sample_book: Path) -> None:
    out = ask("honesty", sample_book, "--on", "2021-06-30").out
    assert "replayed as on their day, as on Wednesday 30 June 2021" in out
    assert "Held: share" in out
    assert "made at egg" in out
    assert "of wander" in out


def test_a_book_without_a_finished_brood_says_so(ask: Ask, season_book: Path) -> None:
    out = ask("honesty", season_book).out
    assert "No brood is finished yet whose windows could be replayed." in out
