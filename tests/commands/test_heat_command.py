"""Degree-days of files, against the science on the same figures.

Files: Seattle, as vega_datasets ships it: daily lows and highs 2012 to 2015 in °C, and
the hourly year 2010 in °F.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from numpy.testing import assert_allclose
from vega_datasets import local_data

from rearing.science.heat import Cutoff, Method, degree_days, hourly

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

DAILY = Path(local_data.seattle_weather.filepath)
HOURS = Path(local_data.seattle_temps.filepath)
DAILY_METHODS = [method for method in Method if method is not Method.HOURLY]


@pytest.mark.parametrize("cutoff", Cutoff)
@pytest.mark.parametrize("method", DAILY_METHODS)
def test_a_daily_file_counts_as_the_science_does(
    ask: Ask, method: Method, cutoff: Cutoff
) -> None:
    answer = ask(
        *("heat", DAILY, "--lower", 10, "--upper", 25),
        *("--method", method, "--cutoff", cutoff, "--json"),
    )
    table = local_data.seattle_weather()
    expected = degree_days(
        table["temp_min"].to_numpy(dtype=np.float64),
        table["temp_max"].to_numpy(dtype=np.float64),
        lower_c=10.0,
        upper_c=25.0,
        method=method,
        cutoff=cutoff,
    )
    data = answer.data
    assert set(data) == {"days", "total"}
    assert all(set(day) == {"date", "degree_days"} for day in data["days"])
    assert [day["date"] for day in data["days"]] == [
        str(day) for day in table["date"].dt.date
    ]
    found = [day["degree_days"] for day in data["days"]]
    assert len(found) == 1461
    assert_allclose(found, expected, rtol=0, atol=1e-12)
    assert data["total"] == pytest.approx(float(np.sum(expected)), abs=1e-8)
    assert data["total"] > 1000


def hours_f() -> tuple[np.ndarray, np.ndarray]:
    """Return the hourly year: days since 1970 and °F."""
    table = local_data.seattle_temps()
    at = table["date"].to_numpy().astype("datetime64[s]").astype(np.float64)
    return at, table["temp"].to_numpy(dtype=np.float64)


def test_readings_in_fahrenheit_are_summed_in_fahrenheit(ask: Ask) -> None:
    at, degrees = hours_f()
    edges = np.arange(at[0], at[-1] + 86_400, 86_400)
    expected = hourly(at, degrees, edges, lower_c=50.0, upper_c=77.0).degree_days
    answer = ask(
        *("heat", HOURS, "--lower", 50, "--upper", 77),
        *("--method", "hourly", "--unit", "f", "--json"),
    )
    assert answer.err == ""
    found = [day["degree_days"] for day in answer.data["days"]]
    assert len(found) == 365
    assert_allclose(found, expected, rtol=0, atol=1e-7)


def test_daily_methods_take_the_ends_of_each_day_of_readings(ask: Ask) -> None:
    at, degrees = hours_f()
    day = (at // 86_400).astype(int)
    days = np.unique(day)
    low = np.array([degrees[day == one].min() for one in days])
    high = np.array([degrees[day == one].max() for one in days])
    expected = degree_days(
        low, high, lower_c=50.0, upper_c=77.0, method=Method.DOUBLE_SINE
    )
    data = ask(
        *("heat", HOURS, "--lower", 50, "--upper", 77),
        *("--method", "double-sine", "--unit", "f", "--json"),
    ).data
    found = [day["degree_days"] for day in data["days"]]
    assert_allclose(found, expected, rtol=0, atol=1e-7)


def test_fahrenheit_cells_computed_by_hand_come_out(ask: Ask, tmp_path: Path) -> None:
    """Computed cells, °F, thresholds 50 and 88, single sine, horizontal cutoff."""
    cells = {(40, 60): 3.183, (45, 75): 10.882, (50, 90): 19.809, (60, 100): 27.117}
    path = tmp_path / "cells.csv"
    rows = [f"2021-06-{n:02d},{low},{high}" for n, (low, high) in enumerate(cells, 1)]
    path.write_text("\n".join(["date,min,max", *rows]))
    data = ask(
        *("heat", path, "--lower", 50, "--upper", 88, "--unit", "f"),
        *("--method", "single-sine", "--cutoff", "horizontal", "--json"),
    ).data
    found = [day["degree_days"] for day in data["days"]]
    assert_allclose(found, list(cells.values()), rtol=0, atol=6e-4)


def test_a_vertical_cutoff_keeps_a_day_that_just_reaches_it(
    ask: Ask, tmp_path: Path
) -> None:
    """All of 88 °F is not above 88 °F, whatever it was in °C on the way."""
    path = tmp_path / "flat.csv"
    path.write_text("date,min,max\n2021-06-01,88,88\n2021-06-02,88,88\n")
    data = ask(
        *("heat", path, "--lower", 50, "--upper", 88, "--unit", "f"),
        *("--method", "clamped-average", "--cutoff", "vertical", "--json"),
    ).data
    assert data["total"] == pytest.approx(76.0)


def test_a_file_that_says_its_unit_is_believed(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "named.csv"
    path.write_text("date,min °C,max °C\n2021-06-01,10,20\n2021-06-02,10,20\n")
    asked = ("heat", path, "--method", "average", "--json")
    in_c = ask(*asked, "--lower", 10).data["total"]
    in_f = ask(*asked, "--lower", 50, "--unit", "f").data["total"]
    assert in_c == pytest.approx(10.0)
    assert in_f == pytest.approx(18.0)


def test_a_unit_that_was_guessed_is_said_beside_the_answer(ask: Ask) -> None:
    answer = ask("heat", HOURS, "--lower", 10, "--method", "hourly")
    assert answer.code == 0
    assert answer.err == (
        "seattle-temps.csv does not say its unit; by its figures it is °F.\n"
    )


def test_hours_can_not_be_had_from_lows_and_highs(ask: Ask) -> None:
    answer = ask("heat", DAILY, "--lower", 10, "--method", "hourly")
    assert (answer.code, answer.out) == (2, "")
    assert "has only each day's lowest and highest" in answer.err
    assert answer.err.count("\n") == 1


def test_a_day_seen_in_part_is_left_out_and_said(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "logger.csv"
    rows = [f"2021-06-01 {hour:02d}:00,20" for hour in range(12, 24)]
    rows += [f"2021-06-02 {hour:02d}:00,20" for hour in range(24)]
    path.write_text("\n".join(["time,°C", *rows]))
    for method in ("hourly", "single-sine"):
        answer = ask("heat", path, "--lower", 10, "--method", method, "--json")
        assert answer.data["days"] == [
            {"date": "2021-06-01", "degree_days": None},
            {"date": "2021-06-02", "degree_days": pytest.approx(10.0)},
        ]
        assert answer.data["total"] == pytest.approx(10.0)
        assert "1 of 2 days are left out" in answer.err


def test_days_are_those_of_the_zone_asked_for(ask: Ask, tmp_path: Path) -> None:
    """A reading each hour of 2 June in Ljubljana, told in UTC, is one whole day."""
    path = tmp_path / "utc.csv"
    rows = [f"2021-06-01T{hour:02d}:00:00Z,20" for hour in (22, 23)]
    rows += [f"2021-06-02T{hour:02d}:00:00Z,20" for hour in range(22)]
    path.write_text("\n".join(["time,°C", *rows]))
    answer = ask(
        *("heat", path, "--lower", 10, "--method", "hourly", "--json"),
        *("--zone", "Europe/Ljubljana"),
    )
    assert answer.data["days"] == [
        {"date": "2021-06-02", "degree_days": pytest.approx(10.0)}
    ]


def test_a_file_of_several_loggers_is_asked_about(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "two.csv"
    rows = [f"2021-06-01 {hour:02d}:00,20,30" for hour in range(24)]
    path.write_text("\n".join(["time,Attic °C,Cellar °C", *rows]))
    refused = ask("heat", path, "--lower", 10, "--method", "hourly")
    assert refused.code == 2
    assert "holds 2 series (Attic, Cellar); say which with --series" in refused.err
    cellar = ask(
        *("heat", path, "--lower", 10, "--method", "hourly", "--json"),
        *("--series", "cellar"),
    )
    assert cellar.data["total"] == pytest.approx(20.0)
    unknown = ask("heat", path, "--lower", 10, "--series", "Loft")
    assert unknown.code == 2
    assert "no series “Loft”" in unknown.err


def test_text_has_a_line_a_day_and_the_total(ask: Ask) -> None:
    answer = ask("heat", DAILY, "--lower", 10, "--upper", 25, "--unit", "c")
    lines = answer.out.splitlines()
    assert lines[1] == "single-sine, above 10 °C, horizontal cutoff at 25 °C"
    assert lines[3].split() == ["day", "low", "°C", "high", "°C", "degree-days", "sum"]
    assert len(lines) == 4 + 1461 + 2
    total = ask("heat", DAILY, "--lower", 10, "--upper", 25, "--json").data["total"]
    assert lines[-1] == f"Total {total:,.1f} degree-days (°C) over 1,461 days"


def test_a_ceiling_given_to_the_plain_average_is_said_to_be_passed_over(
    ask: Ask,
) -> None:
    asked = ("heat", DAILY, "--lower", 10, "--method", "average", "--unit", "c")
    answer = ask(*asked, "--upper", 15)
    assert "knows no upper threshold" in answer.err
    assert answer.out == ask(*asked).out


def test_dates_that_could_be_read_two_ways_are_said_and_can_be_settled(
    ask: Ask, tmp_path: Path
) -> None:
    path = tmp_path / "dates.csv"
    path.write_text("date,min °C,max °C\n03/04/2021,10,20\n04/04/2021,10,20\n")
    asked = ("heat", path, "--lower", 10, "--json")
    assert "the file alone can't prove it" in ask(*asked).err
    april = ask(*asked, "--day-first")
    assert [day["date"] for day in april.data["days"]] == ["2021-04-03", "2021-04-04"]
    march = ask(*asked, "--month-first")
    assert [day["date"] for day in march.data["days"]] == ["2021-03-04", "2021-04-04"]
