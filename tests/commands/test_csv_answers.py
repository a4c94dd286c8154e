"""Answers as CSV: the same numbers as the JSON of the same question."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

import pytest

from rearing.commands.arguments import COMMANDS

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

DAYS = ("--from", "2021-06-20", "--to", "2021-06-22")
PLACE = ("--lat", "45.53", "--lon", "13.93", "--zone", "Europe/Ljubljana")
NO_TABLE = {"sample", "archive", "check"}
"""A window, files of their own, and a verdict in words."""


@pytest.fixture
def widths(tmp_path: Path) -> Path:
    path = tmp_path / "widths.csv"
    path.write_text("0.68\n0.70\n0.91\n0.93\n1.22\n1.20\n1.59\n1.57\n")
    return path


@pytest.fixture
def durations(tmp_path: Path) -> Path:
    path = tmp_path / "durations.csv"
    path.write_text("temperature,days\n15,80\n18,50\n21,37\n24,29\n27,25\n30,23\n")
    return path


@pytest.fixture
def daily(tmp_path: Path) -> Path:
    path = tmp_path / "daily.csv"
    path.write_text("date,min °C,max °C\n2021-06-11,10,20\n2021-06-12,12.5,25\n")
    return path


def rows_of(answer: Answer) -> list[dict[str, str]]:
    assert answer.code == 0, answer.err
    return list(csv.DictReader(io.StringIO(answer.out, newline=""), strict=True))


def lines_of(data: Any, *keys: str) -> list[Any]:
    """Return what lies under keys, lists within lists made one."""
    found = [data]
    for key in keys:
        found = [one for part in found for one in part[key]]
    return found


@pytest.mark.parametrize(
    ("asked", "table", "keys"),
    [
        (("round",), "", ("places", "lines")),
        (("round", "--all"), "", ("places", "lines")),
        (("honesty",), "windows", ("windows",)),
        (("away", *DAYS), "failing", ("failing",)),
        (("away", *DAYS), "helper", ("helper",)),
        (("trace",), "", ("apart",)),
        (("calendar",), "", ("events",)),
        (("leaf", "--days", "9"), "days", ("days", "hosts")),
        (("leaf", "--days", "9", "--carry", "0.5"), "hosts", ("plans",)),
        (("leaf", "--carry", "0.5", "--cages", "3"), "kept", ("can_keep",)),
        (("leaf",), "cuts", ("cuts",)),
        (("leaf",), "trees", ("trees",)),
        (("leaf",), "tests", ("tests",)),
        (("numbers", "--brood", "B21-02"), "stages", ("stages",)),
        (("numbers", "--brood", "B21-02"), "days", ("days",)),
        (("numbers", "--brood", "B21-02"), "losses", ("losses",)),
        (("numbers", "--species", "Aglia tau"), "", ("losses",)),
    ],
)
def test_a_table_has_a_row_for_each_line_of_the_json(
    ask: Ask, season_book: Path, asked: tuple[str, ...], table: str, keys: tuple[str]
) -> None:
    command, *rest = asked
    data = ask(command, season_book, *rest, "--json").data
    which = ("--table", table) if table else ()
    rows = rows_of(ask(command, season_book, *rest, "--csv", *which))
    assert len(rows) == len(lines_of(data, *keys))


def test_the_round_as_csv_says_what_is_due(ask: Ask, season_book: Path) -> None:
    rows = rows_of(ask("round", season_book, "--csv"))
    data = ask("round", season_book, "--json").data
    lines = lines_of(data, "places", "lines")
    assert [row["code"] for row in rows] == [line["code"] for line in lines]
    assert [row["number"] for row in rows] == [
        "" if line["number"] is None else str(line["number"]) for line in lines
    ]
    assert sum(row["due"] == "yes" for row in rows) == data["to_do"]


def test_leaf_is_written_unrounded_with_its_unit(ask: Ask, season_book: Path) -> None:
    rows = rows_of(ask("leaf", season_book, "--csv"))
    data = ask("leaf", season_book, "--json").data
    needs = [host["cut"] for day in data["days"] for host in day["hosts"]]
    assert [float(row["to cut [g]"]) for row in rows] == [x["expected"] for x in needs]


def test_a_forecast_has_three_rows_a_window(ask: Ask, season_book: Path) -> None:
    data = ask("forecast", season_book, "--json").data
    windows = lines_of(data, "forecasts", "windows")
    rows = rows_of(ask("forecast", season_book, "--csv"))
    told = [row for row in rows if row["which"] == "half"]
    assert len(rows) == 3 * len(windows) == 3 * len(told)
    for row, window in zip(told, windows, strict=True):
        middle = (window["half"] or {"middle": ""})["middle"]
        assert row["middle"][:10] == middle[:10]


def test_a_night_as_csv_adds_up(ask: Ask, season_book: Path) -> None:
    data = ask("night", season_book, "--json").data
    rows = rows_of(ask("night", season_book, "--csv"))
    now = [int(row["number"]) for row in rows if row["as called"] == "now"]
    assert sum(now) == sum(night["moths"] for night in data["nights"])
    checks = rows_of(ask("night", season_book, "--csv", "--table", "checks"))
    assert checks


def test_heat_as_csv_sums_to_the_total(ask: Ask, daily: Path) -> None:
    asked = ("heat", daily, "--lower", "10")
    data = ask(*asked, "--json").data
    rows = rows_of(ask(*asked, "--csv"))
    assert [float(row["degree-days [°C d]"]) for row in rows] == [
        day["degree_days"] for day in data["days"]
    ]
    assert float(rows[-1]["sum [°C d]"]) == data["total"]
    fahrenheit = rows_of(ask(*asked, "--unit", "f", "--csv"))
    assert "degree-days [°F d]" in fahrenheit[0]


def test_fits_and_widths_as_csv(ask: Ask, durations: Path, widths: Path) -> None:
    data = ask("fit", durations, "--json").data
    rows = rows_of(ask("fit", durations, "--csv"))
    first = rows[0]
    assert (first["what"], float(first["value"])) == ("T0", data["ols"]["t0"])
    placed = rows_of(ask("widths", widths, "--csv"))
    told = ask("widths", widths, "--json").data
    assert [row["instar"] for row in placed] == [
        f"L{one['instar']}" for one in told["widths"]
    ]
    groups = rows_of(ask("widths", widths, "--csv", "--table", "instars"))
    assert len(groups) == len(told["groups"])


def test_the_sky_as_csv_has_the_moments_of_the_json(ask: Ask) -> None:
    asked = ("sky", *PLACE, "--on", "2021-05-28")
    data = ask(*asked, "--json").data
    rows = {row["what"]: row["value"] for row in rows_of(ask(*asked, "--csv"))}
    assert rows["sunset"][:16] == data["sunset"][:16]
    assert float(rows["length of the night [h]"]) == pytest.approx(
        data["night_hours"], abs=1e-4
    )


@pytest.mark.parametrize("command", sorted(set(COMMANDS) - NO_TABLE))
def test_every_question_may_be_answered_as_csv(ask: Ask, command: str) -> None:
    assert "--csv" in ask(command, "--help").out


@pytest.mark.parametrize(
    ("rest", "words"),
    [
        (("--csv", "--json"), "not allowed with"),
        (("--table", "hosts"), "--table goes with --csv"),
        (
            ("--csv", "--table", "leaves"),
            "there are days, hosts, kept, cuts, trees, tests",
        ),
    ],
)
def test_what_can_not_be_meant(
    ask: Ask, season_book: Path, rest: tuple[str, ...], words: str
) -> None:
    found = ask("leaf", season_book, *rest)
    assert found.code == 2
    assert words in found.err


def test_a_calendar_file_is_no_table(
    ask: Ask, season_book: Path, tmp_path: Path
) -> None:
    found = ask("calendar", season_book, tmp_path / "out.ics", "--csv")
    assert found.code == 2
    assert "leave out --csv" in found.err


@pytest.mark.parametrize("name", ["ledger", "hatch", "looks", "measured", "beside"])
def test_the_numbers_of_two_broods_stand_in_one_table(
    ask: Ask, season_book: Path, name: str
) -> None:
    broods = ("--brood", "B21-02", "--against", "B21-01")
    found = ask("numbers", season_book, *broods, "--csv", "--table", name)
    rows = rows_of(found)
    if name == "beside":
        assert set(rows[0]) == {"what", "B21-02", "B21-01"}
    elif name == "ledger":
        for row in rows:
            came, *gone, here = [int(row[key]) for key in list(row)[2:8]]
            assert came == sum(gone) + here
    else:
        assert {row["brood"] for row in rows} <= {"B21-02", "B21-01"}
        assert bool(rows) == (name != "measured")
