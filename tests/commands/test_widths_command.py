"""Head-capsule widths placed in instars, as text and as JSON."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.commands.conftest import Answer

# published means of Gynaephora menyuanensis, L1 to L4, in the field [mm], with invented
# neighbours two hundredths to either side
MEANS = (0.68, 0.91, 1.22, 1.58)


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "widths.csv"
    rows = [f"{mean + off:.2f};{n}" for mean in MEANS for off, n in NEIGHBOURS]
    path.write_text("\n".join(["head width mm;number", *rows]), encoding="utf-8")
    return path


NEIGHBOURS = ((-0.02, 3), (0.0, 6), (0.02, 3))


def test_instars_are_told(ask: Callable[..., Answer], table: Path) -> None:
    found = ask("widths", table)

    assert found.code == 0
    assert "widths.csv: 48 widths, 4 instars" in found.out
    assert "  L3      12    1.220" in found.out
    data = ask("widths", table, "--first", "2", "--json").data
    assert [group["instar"] for group in data["groups"]] == [2, 3, 4, 5]
    assert data["ratio"] == pytest.approx(1.324, abs=0.01)
    assert len(data["widths"]) == 48
    assert data["unsure"] == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "bad.csv is empty"),
        ("# nothing\n", "no line to read"),
        ("width\n1.2\n1.4\n", "four widths"),
        ("width\n1.2\nx\n", "Line 3 of bad.csv has no width"),
        ("width;number\n1.2;a\n1.3;2\n", "Line 2 of bad.csv has no number"),
        ("place;day\nshelf;7\n", "needs a column “width”"),
    ],
)
def test_what_is_no_table_of_widths_is_said(
    ask: Callable[..., Answer], tmp_path: Path, text: str, words: str
) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    found = ask("widths", path)
    assert found.code == 2
    assert words in found.err


def test_bare_numbers_need_no_heading(
    ask: Callable[..., Answer], tmp_path: Path
) -> None:
    path = tmp_path / "bare.txt"
    path.write_text("0,68\n0,70\n0,91\n0,93\n1,22\n1,20\n", encoding="utf-8")
    found = ask("widths", path, "--instars", "3")
    assert found.code == 0
    assert "6 widths, 3 instars" in found.out
    assert ask("widths", path, "--instars", "1").code == 2
    assert ask("widths", path, "--first", "9").code == 2


SAMPLE = Path(__file__).parents[2] / "sample_db" / "hisa-na-robu.rearing"


def test_the_heads_of_a_brood_are_read_from_the_book(
    tmp_path: Path, ask: Callable[..., Answer]
) -> None:
    book = tmp_path / "season.rearing"
    shutil.copy(SAMPLE, book)
    told = ask("widths", str(book), "--brood", "B21-06", "--json").data
    # the invented cast heads of the sample season, five to seven an instar
    assert [group["instar"] for group in told["groups"]] == [1, 2, 3, 4]
    assert told["n"] == 24
    assert told["ratio"] == pytest.approx(1.5, abs=0.02)
    none = ask("widths", str(book), "--brood", "B21-01")
    assert "No head of B21-01 was measured" in none.err


def test_the_heads_of_one_box_are_placed_alone(
    tmp_path: Path, ask: Callable[..., Answer]
) -> None:
    path = tmp_path / "season.rearing"
    shutil.copy(SAMPLE, path)
    asked = ("widths", str(path), "--brood", "B21-06")
    # of the 24 invented heads of the sample, by the box they were found in
    for label, number in (("A", 13), ("b", 11)):
        assert ask(*asked, "--box", label, "--json").data["n"] == number
    assert ask(*asked, "--box", "A").out.startswith("B21-06 A: 13 widths, ")
    assert "No head of B21-06 C was measured" in ask(*asked, "--box", "C").err
    assert "B21-06 has no box “Z”" in ask(*asked, "--box", "Z").err
    assert "--box goes with --brood" in ask("widths", str(path), "--box", "A").err
