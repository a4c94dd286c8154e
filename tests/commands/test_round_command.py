"""The round as text and as JSON, on the book's own day and on others."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING

from rearing.keeping.away_days import add_away
from rearing.keeping.round import round_of
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.sheets.shelf import load_all
from tests.commands.small_season import AS_ON, make_season

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    import pytest

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

LINE_KEYS = {
    "kind",
    "code",
    "brood",
    "taxon",
    "task",
    "done",
    "was_done",
    "reason",
    "number",
    "known",
    "by_book",
    "until",
    "quarantine",
    "watched",
    "host",
    "density",
}


def test_the_round_is_written_by_place_with_the_suspect_box_last(
    ask: Ask, season_book: Path
) -> None:
    answer = ask("round", season_book)
    assert (answer.code, answer.err) == (0, "")
    titles = [
        line
        for line in answer.out.splitlines()
        if re.fullmatch(r"\w.* · (\d+°|last)", line)
    ]
    assert titles == ["Kitchen shelf · 20°", "Hall shelf · 18°", "Quarantine · last"]
    assert answer.out.startswith("Round of Saturday 12 June 2021 · Hiša na Robu\n")
    last = answer.out.partition("Quarantine")[2]
    assert "B21-02 D" in last
    assert "forceps of its own" in last


def test_each_line_says_task_reason_number_and_how_it_is_known(
    ask: Ask, season_book: Path
) -> None:
    lines = ask("round", season_book).out.splitlines()
    counted = next(line for line in lines if "B21-02 A" in line)
    assert counted.startswith("[ ] B21-02 A ")
    assert counted.endswith("19 counted 9 June")
    assert "Clean, fresh leaf  " in counted
    by_book = next(line for line in lines if "B21-01 A" in line)
    assert by_book.startswith(" -  B21-01 A ")
    assert "Leave alone until Sun 13 June " in by_book
    assert by_book.endswith("~30 by the book")
    done = next(line for line in lines if "B21-02 B" in line)
    assert done.startswith("[x] ")
    assert "Fed and cleaned 19:30: beech, 40 g" in done
    pot = lines.index(next(line for line in lines if "B21-01 pot 2" in line))
    assert re.fullmatch(
        r" {6}Laid 29 May\. First \w+ \d+ June .*, half by \d+ June", lines[pot + 1]
    )


def test_the_counts_in_the_heading_are_those_of_the_lines(
    ask: Ask, season_book: Path
) -> None:
    out = ask("round", season_book).out
    starts = [line[:4] for line in out.splitlines() if re.match(r".{4}B21-", line)]
    said = re.search(r"(\d+) to do · (\d+) done · (\d+) to leave alone", out)
    assert said
    assert [int(number) for number in said.groups()] == [
        starts.count("[ ] "),
        starts.count("[x] "),
        starts.count(" -  "),
    ]
    assert len(starts) == 10


def test_json_holds_the_same_round_under_its_documented_keys(
    ask: Ask, season_book: Path
) -> None:
    data = ask("round", season_book, "--json").data
    with Book.open(season_book) as book:
        found = round_of(book, load_all(), AS_ON)
    assert data["on"] == "2021-06-12"
    assert data["home"] == "Hiša na Robu"
    assert (data["to_do"], data["done"], data["leave_alone"]) == (7, 1, 2)
    assert data["leaf"] == found.leaf_sentence
    lines = [line for place in data["places"] for line in place["lines"]]
    assert [line["code"] for line in lines] == [line.code for line in found.lines]
    assert [line["reason"] for line in lines] == [line.reason for line in found.lines]
    assert all(set(line) == LINE_KEYS for line in lines)
    assert {line["brood"] for line in lines} == {"B21-01", "B21-02"}
    assert [p["name"] for p in data["places"]][-1] == "Quarantine"
    assert data["room"] == found.room_sentence
    assert [one["code"] for one in data["too_full"]] == [x.code for x in found.crowded]
    assert all(one["density"]["words"] for one in data["too_full"])
    assert [one["code"] for one in data["apart"]] == [x.code for x in found.apart]
    assert (data["away_from"], data["away_to"]) == (None, None)


def test_the_next_days_away_stand_on_the_round(ask: Ask, season_book: Path) -> None:
    asked = Entry(dt.datetime(2021, 6, 12, 18, tzinfo=dt.UTC), "N. K.")
    first, last = dt.date(2021, 6, 28), dt.date(2021, 6, 29)
    with Book.open(season_book) as book:
        add_away(book, asked, first=first, last=last, note="a fair")
    assert "Away Mon 28 and Tue 29 June: rearing away says" in ask(
        "round", season_book
    ).out.replace("\n", " ")
    data = ask("round", season_book, "--json").data
    assert (data["away_from"], data["away_to"]) == ("2021-06-28", "2021-06-29")


def test_another_day_and_everything_can_be_asked_for(
    ask: Ask, season_book: Path
) -> None:
    early = ask("round", season_book, "--on", "2021-06-01")
    assert "Round of Tuesday 1 June 2021" in early.out
    assert "B21-01 pot" not in early.out
    every = ask("round", season_book, "--on", "2021-06-01", "--all")
    assert every.out.count("B21-01 pot") == 4
    before = ask("round", season_book, "--on", "1 May 2021")
    assert before.out.splitlines()[1:] == ["Nothing is due."]


def test_a_book_without_a_day_of_its_own_is_shown_today(
    ask: Ask, tmp_path: Path
) -> None:
    path = tmp_path / "Mine.rearing"
    make_season(path, as_on=None)
    year = ask("round", path, "--json").data["on"][:4]
    assert int(year) >= 2025


def test_nothing_is_wider_than_the_terminal(
    ask: Ask, season_book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for columns in (60, 80, 100):
        monkeypatch.setenv("COLUMNS", str(columns))
        answer = ask("round", season_book)
        assert max(map(len, answer.out.splitlines())) <= columns
        assert "63 eggs waiting" in " ".join(answer.out.split())


def test_a_terminal_without_the_signs_gets_plain_letters(
    run: Ask, season_book: Path
) -> None:
    answer = run("round", season_book, PYTHONIOENCODING="ascii")
    assert answer.code == 0
    assert "Hisa na Robu" in answer.out
    assert "Kitchen shelf - 20 deg" in answer.out
    assert answer.out.isascii()
    data = run("round", season_book, "--json", PYTHONIOENCODING="ascii")
    assert data.data["home"] == "Hiša na Robu"
