"""T0 and K fitted from small tables of any common shape.

Data set A: *Spodoptera frugiperda*, egg to adult; durations, T0 11.8 °C and K 456.8
published: Moon et al. 2022, Korean J. Appl. Entomol. 61(2):349–356,
doi 10.5656/KSAE.2022.04.0.023. The refits below are computed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

A = ((18, 79.8), (21, 54.2), (24, 34.3), (27, 28.4), (30, 24.6), (32, 24.0))


def written(path: Path, *, form: str) -> Path:
    rows = {
        "plain": ["temperature,days", *(f"{t},{d}" for t, d in A)],
        "european": [
            "Dauer (days);Temperatur",
            *(f"{d};{t}".replace(".", ",") for t, d in A),
        ],
        "bare": [f"{t}\t{d}" for t, d in A],
        "fahrenheit": ["temp (°F),days", *(f"{t * 1.8 + 32:.1f},{d}" for t, d in A)],
        "wide": [
            "place,temperature,n,days",
            *(f"cabinet,{t},40,{d}" for t, d in A),
        ],
        "spoken": ["# egg to adult", "", "T  D", *(f"{t}   {d}" for t, d in A)],
    }[form]
    path.write_text("\r\n".join(rows) + "\r\n", encoding="utf-8-sig")
    return path


@pytest.mark.parametrize(
    "form", ["plain", "european", "bare", "fahrenheit", "wide", "spoken"]
)
def test_published_durations_give_their_constants(
    ask: Ask, tmp_path: Path, form: str
) -> None:
    answer = ask("fit", written(tmp_path / "a.csv", form=form), "--json")
    assert answer.err == ""
    data = answer.data
    # computed
    assert data["ols"]["t0"] == pytest.approx(11.879, abs=6e-4)
    assert data["ols"]["k"] == pytest.approx(454.38, abs=6e-3)
    assert data["ols"]["r2"] == pytest.approx(0.9709, abs=6e-5)
    assert data["rma"]["t0"] == pytest.approx(12.794, abs=6e-4)
    assert data["rma"]["k"] == pytest.approx(422.05, abs=6e-3)
    # published
    assert data["ols"]["t0"] == pytest.approx(11.8, abs=0.1)
    assert data["ols"]["k"] == pytest.approx(456.8, rel=0.006)


def test_json_holds_intervals_around_each_value(ask: Ask, tmp_path: Path) -> None:
    data = ask("fit", written(tmp_path / "a.csv", form="plain"), "--json").data
    assert set(data) == {"ols", "rma", "n", "range_c", "curves", "ranges"}
    assert data["n"] == 6
    assert data["range_c"] == [18.0, 32.0]
    bounds = {f"{name}{end}" for name in ("t0", "k") for end in ("", "_low", "_high")}
    assert set(data["ols"]) == bounds | {"r2"}
    assert set(data["rma"]) == bounds
    for line in ("ols", "rma"):
        for name in ("t0", "k"):
            one = data[line]
            assert one[f"{name}_low"] < one[name] < one[f"{name}_high"]


def test_text_tells_both_lines_and_the_range(ask: Ask, tmp_path: Path) -> None:
    out = ask("fit", written(tmp_path / "a.csv", form="plain")).out
    assert "6 durations between 18 and 32 °C" in out
    assert "11.88 (7.41 to 14.69)" in out
    assert "454.4 (366.3 to 598.3)" in out


def test_curves_stand_beside_the_lines(ask: Ask, tmp_path: Path) -> None:
    data = ask("fit", written(tmp_path / "a.csv", form="plain"), "--json").data
    curves = data["curves"]
    assert list(curves) == ["briere_1", "briere_2", "lactin_2"]
    bent = curves["briere_1"]
    # computed
    assert bent["t0"] == pytest.approx(12.691, abs=2e-3)
    assert bent["optimum"] == pytest.approx(31.907, abs=2e-3)
    assert bent["end"] == pytest.approx(37.903, abs=2e-3)
    for mark in ("t0", "optimum", "end"):
        assert bent[f"{mark}_low"] < bent[mark] < bent[f"{mark}_high"]
    assert bent["parameters"]["t0_c"]["value"] == bent["t0"]
    assert bent["refused"] is None
    assert set(curves["briere_2"]["parameters"]) == {"a", "t0_c", "limit_c", "m"}


def test_ranges_tell_how_t0_moves(ask: Ask, tmp_path: Path) -> None:
    data = ask("fit", written(tmp_path / "a.csv", form="plain"), "--json").data
    assert len(data["ranges"]) == 10
    by_range = {tuple(one["range_c"]): one for one in data["ranges"]}
    # computed
    assert by_range[18.0, 32.0]["ols"]["t0"] == pytest.approx(11.879, abs=6e-4)
    assert by_range[18.0, 27.0]["ols"]["t0"] == pytest.approx(13.419, abs=6e-4)
    assert by_range[18.0, 27.0]["n"] == 4


def test_text_tells_curves_and_ranges(ask: Ask, tmp_path: Path) -> None:
    out = ask("fit", written(tmp_path / "a.csv", form="plain")).out
    assert "Brière 1" in out
    assert "12.7 (8.2 to 14.8)" in out
    rows = [line.split() for line in out.splitlines()]
    assert ["18", "to", "27", "4", "13.42", "381.0"] in rows


def test_a_curve_that_finds_no_hold_says_why(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "line.csv"
    path.write_text("temperature,days\n15,80\n18,50\n21,36.4\n24,28.6\n")
    data = ask("fit", path, "--json").data
    lactin = data["curves"]["lactin_2"]
    assert "at least 5 points, not 4" in lactin["refused"]
    assert {lactin[key] for key in lactin if key != "refused"} == {None}
    assert "at least 5 points, not 4" in " ".join(ask("fit", path).out.split())


def test_bounds_that_the_data_do_not_set_are_null(ask: Ask, tmp_path: Path) -> None:
    path = tmp_path / "loose.csv"
    path.write_text("temperature,days\n18,60\n19,70\n20,50\n")
    data = ask("fit", path, "--json").data
    assert data["ols"]["t0_low"] is None
    assert data["ols"]["k_high"] is None
    assert "(no bounds)" in ask("fit", path).out


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("temperature,days\n18,60\n20,50\n", "at least 3 points, not 2"),
        ("temperature,days\n18,60\n20,x\n25,30\n", "Line 3 of bad.csv: “x” is no"),
        ("temperature,days\n18,60\n20\n25,30\n", "Line 3 of bad.csv is too short"),
        ("temperature,days\n18,20\n20,30\n25,60\n", "does not speed up with warmth"),
        ("temperature,days\n18,0\n20,30\n25,60\n", "must be above 0"),
        ("temperature,days\n18,9\n18,8\n18,7\n", "All temperatures are 18"),
        ("a,b,c\n18,9,1\n20,8,2\n25,7,1\n", "its headings are a, b, c"),
        ("Dear diary\n", "no line with two figures"),
        ("\n\n", "is empty"),
        ("# nothing\n", "has no line to read"),
    ],
)
def test_tables_that_give_no_fit_are_refused_in_a_sentence(
    ask: Ask, tmp_path: Path, text: str, why: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text)
    answer = ask("fit", path)
    assert (answer.code, answer.out) == (2, "")
    assert why in answer.err
    assert answer.err.count("\n") == 1
