"""The windows of everything alive, as text and as JSON."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.keeping.season import season
from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from tests.commands.small_season import AS_ON

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    import pytest

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

WINDOW_KEYS = {
    "event",
    "words",
    "number",
    "first",
    "half",
    "last",
    "heat_to_go_dd",
    "heat_to_go_low_dd",
    "heat_to_go_high_dd",
    "beyond",
}


def test_json_holds_the_windows_that_the_season_answers(
    ask: Ask, season_book: Path
) -> None:
    data = ask("forecast", season_book, "--json").data
    with Book.open(season_book) as book:
        found = season(book, load_all(), AS_ON)
    assert data["on"] == "2021-06-12"
    told = [(one["brood"], one["group"], one["number"]) for one in data["forecasts"]]
    assert told == [(one.code, one.group, one.number) for one in found]
    hatch = next(
        window
        for one in data["forecasts"]
        for window in one["windows"]
        if window["event"] == "hatch"
    )
    own = next(window for one in found if (window := one.window("hatch")))
    assert set(hatch) == WINDOW_KEYS
    assert own.half
    assert dt.datetime.fromisoformat(hatch["half"]["middle"]) == own.half.middle
    assert hatch["half"]["middle"].endswith("+02:00")
    assert hatch["half"]["low"] < hatch["half"]["middle"] < hatch["half"]["high"]


def test_eggs_at_constant_warmth_hatch_when_the_sheet_says(
    ask: Ask, season_book: Path
) -> None:
    """Story 1's papers at 20°: 12 to 15 days for Saturnia pyri at 20°.

    Published: Saturnia pyri rearing sheet, schmetterlingszucht.net/?p=796. Half of the
    eggs waiting were laid by 29 May, so half hatch on 10 to 13 June.
    """
    one = ask("forecast", season_book, "--brood", "B21-01", "--json").data
    hatch = next(
        window
        for forecast in one["forecasts"]
        for window in forecast["windows"]
        if window["event"] == "hatch"
    )
    half = dt.datetime.fromisoformat(hatch["half"]["middle"]).date()
    assert dt.date(2021, 6, 10) <= half <= dt.date(2021, 6, 13)


def test_text_tells_windows_and_what_they_assume(ask: Ask, season_book: Path) -> None:
    out = ask("forecast", season_book).out
    assert out.startswith("Forecast as on Saturday 12 June 2021 · Hiša na Robu\n")
    assert "Expected, not seen" in out
    assert "B21-01  Saturnia pyri" in out
    assert "pot 1, pot 2, pot 3, pot 4 · Kitchen shelf" in out
    flat = " ".join(out.split())
    assert "118 eggs laid 28 to 31 May. Sharpened by 35 hatched, the last" in flat
    assert "Kitchen shelf: no readings, its set" in flat
    assert "first half last to go" in flat


def test_one_brood_can_be_asked_for_in_any_case(ask: Ask, season_book: Path) -> None:
    out = ask("forecast", season_book, "--brood", "b21-02").out
    assert "Aglia tau" in out
    assert "B21-01" not in out


def test_an_unknown_brood_is_refused_with_those_there_are(
    ask: Ask, season_book: Path
) -> None:
    answer = ask("forecast", season_book, "--brood", "B99")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == (
        "There is no brood “B99” in Season.rearing. It has B21-01, B21-02.\n"
    )


def test_a_brood_not_begun_by_the_day_is_refused(ask: Ask, season_book: Path) -> None:
    answer = ask("forecast", season_book, "--brood", "B21-01", "--on", "2021-05-01")
    assert answer.code == 2
    assert "B21-01 begins on Friday 28 May 2021" in answer.err


def test_reopening_tells_the_same_to_the_hour(run: Ask, season_book: Path) -> None:
    first = run("forecast", season_book, "--json")
    again = run("forecast", season_book, "--json")
    assert first.code == 0
    assert first.out == again.out


def test_windows_too_wide_for_the_terminal_stand_one_below_another(
    ask: Ask, season_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for columns in (60, 80, 100):
        monkeypatch.setenv("COLUMNS", str(columns))
        out = ask("forecast", season_book).out
        rows = [line for line in out.splitlines() if "//" not in line]
        assert max(map(len, rows)) <= columns
        assert (" dd to go" in out) == (columns < 100)
