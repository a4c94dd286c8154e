"""The shelf: the keeper's sheets before the program's, and what stands in for none."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing import sheets
from rearing.belongings import resource
from rearing.sheets import Evidence, Size
from rearing.terms import Stage

if TYPE_CHECKING:
    from pathlib import Path

OWN = """
[species]
name = "Saturnia pyri"
family = "Saturniidae"
size = "large"
source = "my own book"
tag = "published"

[[egg.duration]]
days = 14
at_c = 19
source = "my own book, 2021, 153 eggs"
tag = "published"
"""


def test_the_keepers_sheet_stands_before_the_programs(tmp_path: Path) -> None:
    (tmp_path / "saturnia_pyri.toml").write_text(OWN, encoding="utf-8")
    shelf = sheets.load_all([tmp_path])
    sheet = shelf.get("Saturnia pyri")
    assert sheet is not None
    assert sheet.path == tmp_path / "saturnia_pyri.toml"
    assert "my own book" in sheets.belief(sheet, Stage.EGG, shelf).words
    assert shelf.names.count("Saturnia pyri") == 1


def test_naming_the_programs_folder_too_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "saturnia_pyri.toml").write_text(OWN, encoding="utf-8")
    shelf = sheets.load_all([resource("species"), tmp_path])
    sheet = shelf.get("saturnia pyri")
    assert sheet is not None
    assert sheet.path is not None
    assert sheet.path.parent == tmp_path
    assert shelf.troubles == ()


def test_one_broken_sheet_stops_no_other(tmp_path: Path) -> None:
    (tmp_path / "saturnia_pyri.toml").write_text(OWN + "oops", encoding="utf-8")
    (tmp_path / "mothus_exemplaris.toml").write_text("[species]", encoding="utf-8")
    shelf = sheets.load_all([tmp_path])
    sheet = shelf.get("Saturnia pyri")
    assert sheet is not None
    assert sheet.path == resource("species", "saturnia_pyri.toml")
    assert shelf.get("Mothus exemplaris") is None
    assert [trouble.path.name for trouble in shelf.troubles] == [
        "mothus_exemplaris.toml",
        "saturnia_pyri.toml",
    ]
    assert len(shelf.all()) == len(sheets.load_all().all())


def test_a_species_without_a_sheet_gets_one_that_says_so() -> None:
    shelf = sheets.load_all()
    assert shelf.get("Mothus exemplaris") is None
    sheet = shelf.sheet_for("Mothus exemplaris")
    assert not sheet.is_written
    assert sheet.short == "M. exemplaris"
    assert sheet.family == ""
    assert sheet.size is Size.MEDIUM
    assert "no sheet" in sheet.source
    assert "authority" in sheet.law.note
    assert sheet.hosts == ()


def test_only_the_family_passes_between_species_of_a_genus() -> None:
    shelf = sheets.load_all()
    sheet = shelf.sheet_for("Saturnia spini")
    assert not sheet.is_written
    assert sheet.family == "Saturniidae"
    assert sheet.hosts == ()
    assert sheet.winter.stage is None
    assert sheets.belief(sheet, Stage.EGG, shelf).evidence is Evidence.DEFAULT


def test_hawkmoth_tubs_stay_shut_longer() -> None:
    # common practice, no source: three weeks; published for others: 12 to 14 days
    # (Lagerung von Puppen, schmetterlingszucht.net)
    shelf = sheets.load_all()
    hawk = shelf.sheet_for("Sphinx ligustri").pupation.undisturbed_days
    other = shelf.sheet_for("Aglia tau").pupation.undisturbed_days
    assert (hawk.high, other.high) == (21, 14)


def test_the_keeper_may_replace_the_defaults(tmp_path: Path) -> None:
    text = resource("species", "_defaults.toml").read_text("utf-8")
    head, key, rest = text.partition("[figures.quarantine_days]\nvalue = 14")
    assert key
    own = f"{head}[figures.quarantine_days]\nvalue = 21{rest}"
    (tmp_path / "_defaults.toml").write_text(own, encoding="utf-8")
    shelf = sheets.load_all([tmp_path])
    assert shelf.defaults.figures.quarantine_days.middle == 21


def test_broken_defaults_of_the_keeper_are_reported_and_set_aside(
    tmp_path: Path,
) -> None:
    (tmp_path / "_defaults.toml").write_text("x = 1", encoding="utf-8")
    shelf = sheets.load_all([tmp_path])
    assert shelf.defaults.figures.quarantine_days.middle == 14
    assert [trouble.path.name for trouble in shelf.troubles] == ["_defaults.toml"]


@pytest.mark.parametrize(
    ("figure", "low", "high"),
    [
        # common practice, no source, unless named
        ("moult_rest_hours", 24, 48),
        ("headcount_days", 7, 7),
        ("first_disturb_days", 3, 3),  # published: schmetterlingszucht.net
        ("cold_weeks", 10, 20),
        ("cut_per_eaten", 1.6, 1.6),
        ("fridge_hold_days", 4, 4),  # published: Oehlke, early season females and eggs
        ("safe_hatch_before_leaf_drop_days", 64, 64),  # computed: 50 + 14
        ("egg_window_days", 3, 3),
        ("leaf_test_days", 3, 3),  # published: butterfly-fun-facts.com
    ],
)
def test_defaults_are_those_of_the_trade(figure: str, low: float, high: float) -> None:
    found = getattr(sheets.load_all().defaults.figures, figure)
    assert (found.low, found.high) == (low, high)


def test_a_missing_folder_of_the_keeper_is_no_trouble(tmp_path: Path) -> None:
    shelf = sheets.load_all([tmp_path / "not there"])
    assert shelf.troubles == ()
