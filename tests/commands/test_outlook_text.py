"""`rearing forecast` on what windows come to, and on how good such windows were."""

from __future__ import annotations

import datetime as dt
import shutil
from typing import TYPE_CHECKING

import pytest

from rearing.belongings import sample
from rearing.keeping.kept_season import kept_past
from rearing.keeping.last_good import last_change
from rearing.keeping.past_windows import past_windows
from rearing.keeping.season_rows import season_rows
from rearing.records.book import Book
from rearing.sheets.shelf import load_all

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

ON = dt.date(2021, 6, 12)
NOW = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "sample.rearing"
    shutil.copy(sample("hisa-na-robu.rearing"), path)
    Book.open(path, now=NOW).close()  # an older form is brought up to date
    return path


def test_json_tells_sexes_winter_leaf_and_honesty(
    ask: Callable[..., Answer], book: Path
) -> None:
    data = ask("forecast", book, "--json").data
    with Book.open(book) as opened:
        shelf = load_all()
        view = season_rows(opened, shelf, ON)
        past = past_windows(opened, shelf, ON)
    alive = {one.code: one for one in view.ribbons if one.groups}
    assert [one["brood"] for one in data["broods"]] == sorted(alive)
    for told in data["broods"]:
        outlook = alive[told["brood"]].outlook
        spans = [f"{run.first}/{run.last}" for run in outlook.together]
        assert told["both_sexes"] == spans
        chance = None if outlook.direct is None else outlook.direct.chance
        assert told["direct"] == chance
    assert any(told["both_sexes"] for told in data["broods"])
    assert any(told["direct"] for told in data["broods"])
    score = past.of().score
    assert score is not None
    assert data["honesty"]["windows_looked_back_on"] == score.number
    assert data["honesty"]["held"] == score.held.share
    assert data["honesty"]["error_days"] == score.error_days


def test_text_tells_them_in_sentences(ask: Callable[..., Answer], book: Path) -> None:
    flat = " ".join(ask("forecast", book).out.split())
    assert "Both sexes likely on the nights of " in flat
    assert " go on without winter by day length about " in flat
    assert " past windows " in flat
    assert "80 in 100 are meant to" in flat


def test_one_brood_alone_is_told_the_same(
    ask: Callable[..., Answer], book: Path
) -> None:
    whole = ask("forecast", book, "--json").data
    code = whole["broods"][0]["brood"]
    one = ask("forecast", book, "--brood", code, "--json").data
    assert one["broods"] == [told for told in whole["broods"] if told["brood"] == code]
    mine = [told for told in whole["forecasts"] if told["brood"] == code]
    assert one["forecasts"] == mine


def test_past_windows_are_kept_until_something_is_entered(
    ask: Callable[..., Answer], book: Path, home: Path
) -> None:
    first = ask("forecast", book, "--json").out
    with Book.open(book) as opened:
        kept = kept_past(home).read(opened, ON)
        assert kept is not None
        assert kept.change == last_change(opened)
    assert ask("forecast", book, "--json").out == first
