"""A brood's numbers as text and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.measurements import measure
from rearing.records.book import Book
from rearing.records.rows import BoxRow, BroodRow
from rearing.terms import Measured, Stage
from tests.commands.small_season import AS_ON, entry

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer


def test_the_numbers_of_a_brood(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("numbers", season_book, "--brood", "b21-02", "--against", "B21-01")

    assert found.code == 0
    assert "Of 74 larvae L3 71 alive." in found.out
    assert "L3  virus        2" in found.out
    assert "L3  unaccounted  1" in found.out
    assert "Survived of those kept: 96%, 89%–99%; 97% if the 1 unaccounted" in found.out
    assert "Against B21-01: survived of those kept 100%" in found.out


def test_the_numbers_as_json(ask: Callable[..., Answer], season_book: Path) -> None:
    data = ask(
        *("numbers", season_book, "--brood", "B21-02", "--box", "A", "--json")
    ).data

    assert data["came"] == 74
    assert data["alive"] == [{"stage": "L3", "number": 71}]
    assert data["box"]["came"] == 20
    assert data["box"]["unaccounted"] == 1
    assert [row["n"] for row in data["stages"]] == [86, 74, 74, 74]
    assert data["days"][-1]["d"] == 2
    assert data["against"] is None


def test_ledger_hatch_and_looks_are_told(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    out = ask("numbers", season_book, "--brood", "B21-02").out
    for heading in ("Ledger (", "Hatch by the night laid", "Stages seen, by day"):
        assert heading in out
    assert "Measured" not in out


def test_the_same_as_json_adds_up(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    data = ask("numbers", season_book, "--brood", "B21-02", "--json").data
    ledger = data["ledger"]
    ends = ("lost", "left", "unaccounted", "alive")
    assert ledger["came"] == data["came"] == sum(ledger[part] for part in ends)
    assert len(ledger["boxes"]) > 1
    for box in ledger["boxes"]:
        parts = ("moved", "lost", "left", "unaccounted", "number")
        assert box["came"] == sum(box[part] for part in parts)
    assert sum(row["hatched"] for row in data["hatch"]) == data["hatched"]
    assert sum(row["laid"] for row in data["hatch"]) == data["eggs"]
    # one box of three was looked at
    assert data["looks"][-1]["stages"] == [{"stage": "L3", "number": 20}]
    assert len(data["looks"][-1]["boxes"]) == 1
    assert data["figures"] == []


def test_what_was_measured_stands_in_the_numbers(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    with Book.open(season_book) as book:
        box = book.all(BoxRow)[0]
        measure(
            book,
            entry(6, 12),
            box_id=box.id,
            what=Measured.HEAD_WIDTH,
            values=(0.9, 1.1),
            on=AS_ON,
            stage=Stage.L2,
        )
        code = book.one(BroodRow, box.brood_id).code
    out = ask("numbers", season_book, "--brood", code).out
    assert "  head width  L2          2     1  0.9 to 1.1 mm" in out
    (told,) = ask("numbers", season_book, "--brood", code, "--json").data["figures"]
    assert (told["mean"], told["unit"], told["stage"]) == (1.0, "mm", "L2")


def test_another_brood_is_compared_in_plain_words(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    asked = ("numbers", season_book, "--brood", "B21-02", "--against")
    found = ask(*asked, "B21-01")
    data = ask(*asked, "B21-01", "--json").data["against"]
    assert "pairs of broods that are alike (log-rank)" in data["words"]
    assert data["words"].endswith("die alike: a note, no proof.")
    assert " ".join(found.out.split()).endswith(data["words"])
    assert {"why": "virus", "one": 2, "other": 0} in data["losses"]
    assert "lost: virus" in found.out
    assert data["hatched_share"]["share"] <= 1
    assert "That is the same brood" in ask(*asked, "b21-02").err


def test_losses_of_a_species(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("numbers", season_book, "--species", "Aglia tau")
    assert "2021  L3  virus        2" in found.out
    none = ask("numbers", season_book, "--species", "Lasiocampa quercus")
    assert "None is in the book." in none.out
    data = ask("numbers", season_book, "--species", "Aglia tau", "--json").data
    assert {x["why"]: x["number"] for x in data["losses"]}["virus"] == 2


def test_what_cannot_be_answered_is_said(
    ask: Callable[..., Answer], season_book: Path
) -> None:
    found = ask("numbers", season_book)
    assert (found.code, "--brood --species is required" in found.err) == (2, True)
    found = ask("numbers", season_book, "--species", "Aglia tau", "--box", "A")
    assert "--against and --box go with --brood" in found.err
    found = ask("numbers", season_book, "--brood", "B21-09")
    assert "There is no brood “B21-09”" in found.err
