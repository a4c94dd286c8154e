"""A broken sheet gets one sentence with file, key and reason."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing import sheets
from rearing.problems import BrokenSheet
from rearing.sheets.broad import read_broad
from rearing.sheets.defaults import read_defaults
from rearing.sheets.read import read_sheet

if TYPE_CHECKING:
    from pathlib import Path

SOUND = """
[species]
name = "Mothus exemplaris"
family = "Saturniidae"
size = "large"
source = "invented for this test"
tag = "from memory"

[instars]
usual = 5
low = 5
high = 6
source = "invented for this test"
tag = "from memory"

[[egg.thermal]]
t0_c = 8
k_dd = 130
upper_c = 30
source = "invented for this test"
tag = "from memory"

[[larva.duration]]
days = [30, 40]
at_c = [18, 22]
source = "invented for this test"
tag = "from memory"

[adult.calling]
start = "22:00"
end = "01:30"
source = "invented for this test"
tag = "from memory"

[[hosts]]
name = "oak"
latin = "Quercus"
source = "invented for this test"
tag = "from memory"

[law]
flag = "permit"
note = "Ask the local authority."
source = "invented for this test"
tag = "from memory"
"""

FAULTS = [
    ("k_dd = 130", "k_dd = ", "the file", "not well written"),
    ("t0_c = 8", 't0_c = "8"', "egg.thermal 1.t0_c", "should be a number"),
    ("t0_c = 8\n", "", "egg.thermal 1.t0_c", "is missing"),
    ("t0_c = 8", "t0_c = 80", "egg.thermal 1.t0_c", "not between -10 and 23"),
    ("t0_c = 8", "t0_c = nan", "egg.thermal 1.t0_c", "not between"),
    ("t0_c = 8", "t0_c = true", "egg.thermal 1.t0_c", "should be a number"),
    ("k_dd = 130", "k_day = 130", "egg.thermal 1.k_dd", "is missing"),
    ("k_dd = 130", "k_dd = 130\nk_sprad = 0.1", "egg.thermal 1.k_sprad", "k_spread"),
    ("upper_c = 30", "upper_c = 7", "egg.thermal 1.upper_c", "not above t0_c, 8"),
    ("[[egg.thermal]]", "[egg.thermal]", "egg.thermal", "should be a list"),
    ("[[egg.thermal]]", "[[eg.thermal]]", "eg", "not a key that belongs here"),
    (
        "days = [30, 40]",
        "days = [40, 30]",
        "larva.duration 1.days",
        "above its highest",
    ),
    ("days = [30, 40]", "days = [30]", "larva.duration 1.days", "[lowest, highest]"),
    ("days = [30, 40]", "days = 0", "larva.duration 1.days", "longer than 0 days"),
    (
        "days = [30, 40]",
        'days = ["a", 4]',
        "larva.duration 1.days",
        "a number, not 'a'",
    ),
    ('size = "large"', 'size = "huge"', "species.size", '"huge" is not one of'),
    ('size = "large"', "size = 5", "species.size", "should be words in quotes"),
    (
        'name = "Mothus ex',
        'name = "Mothus x',
        "species.name",
        "what the file is called",
    ),
    ('family = "Saturniidae"', 'family = " "', "species.family", "is empty"),
    ("usual = 5", "usual = 5.5", "instars.usual", "a whole number, not 5.5"),
    ("usual = 5", "usual = 7", "instars.usual", "not between low and high"),
    ('start = "22:00"', 'start = "10 pm"', "adult.calling.start", "not a clock time"),
    ('name = "oak"', 'name = "oak"\npoisonous = true', "hosts 1.caution", "poisonous"),
    ('name = "oak"', 'name = "oak"\npoisonous = "no"', "hosts 1.poisonous", "true or"),
    ('flag = "permit"', 'flag = "maybe"', "law.flag", '"free", "permit"'),
    ("[species]", "[spcies]", "species", "section is missing"),
    ("[law]", "law = 3\n[lav]", "hosts 1.law", "not a key that belongs here"),
]


def written(folder: Path, text: str, name: str = "mothus_exemplaris.toml") -> Path:
    """Write a sheet and return where."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_the_sound_sheet_of_this_test_is_sound(tmp_path: Path) -> None:
    shelf = sheets.load_all()
    sheet = read_sheet(written(tmp_path, SOUND), shelf.defaults)
    assert sheet.short == "M. exemplaris"


@pytest.mark.parametrize(("old", "new", "key", "reason"), FAULTS)
def test_a_fault_is_told_with_file_key_and_reason(
    tmp_path: Path, old: str, new: str, key: str, reason: str
) -> None:
    assert SOUND.count(old) >= 1
    path = written(tmp_path, SOUND.replace(old, new, 1))
    with pytest.raises(BrokenSheet) as caught:
        read_sheet(path, sheets.load_all().defaults)
    trouble = caught.value
    assert trouble.path == path
    assert trouble.key == key
    assert reason in trouble.reason
    assert "mothus_exemplaris.toml" in trouble.sentence
    assert key in trouble.sentence
    assert trouble.sentence.endswith((".", "?"))


@pytest.mark.parametrize("line", ["source", "tag"])
def test_no_value_without_source_and_tag(tmp_path: Path, line: str) -> None:
    head, _, rest = SOUND.partition("[[egg.thermal]]")
    kept = [row for row in rest.splitlines() if not row.startswith(line)]
    path = written(tmp_path, f"{head}[[egg.thermal]]\n" + "\n".join(kept))
    with pytest.raises(BrokenSheet, match=f"egg.thermal 1.{line}: is missing"):
        read_sheet(path, sheets.load_all().defaults)


def test_a_tag_is_one_of_the_five(tmp_path: Path) -> None:
    path = written(tmp_path, SOUND.replace('"from memory"', '"surely"', 1))
    with pytest.raises(BrokenSheet, match='"published", "quoted", "from memory"'):
        read_sheet(path, sheets.load_all().defaults)


def test_a_file_that_is_not_text_is_told_so(tmp_path: Path) -> None:
    path = tmp_path / "mothus_exemplaris.toml"
    path.write_bytes(b"\xff\xfe\x00\x81")
    with pytest.raises(BrokenSheet, match="not saved as UTF-8"):
        read_sheet(path, sheets.load_all().defaults)


def test_a_folder_named_like_a_sheet_is_told_so(tmp_path: Path) -> None:
    path = tmp_path / "mothus_exemplaris.toml"
    path.mkdir()
    with pytest.raises(BrokenSheet, match="cannot be read"):
        read_sheet(path, sheets.load_all().defaults)


def test_broken_defaults_and_priors_are_told_the_same_way(tmp_path: Path) -> None:
    path = written(tmp_path, "", "_defaults.toml")
    with pytest.raises(
        BrokenSheet, match=r"_defaults\.toml, larval_shares: this section"
    ):
        read_defaults(path)
    path = written(tmp_path, 'source = "x"\ntag = "derived"\nhandling = "y"', "_l.toml")
    with pytest.raises(BrokenSheet, match=r"_l\.toml, egg: this section is missing"):
        read_broad(path)
