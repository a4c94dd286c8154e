"""The sheets that come with the program: sound, sourced, and true to their sources."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from rearing import sheets
from rearing.belongings import resource
from rearing.sheets import Tag
from rearing.terms import INSTARS, BoxKind, LawFlag, Stage

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from rearing.sheets import SheetShelf

FILES = sorted(resource("species").glob("*.toml"))
SPECIES = [path for path in FILES if not path.name.startswith("_")]

OF_THE_SAMPLE = (
    "Aglia tau",
    "Antheraea yamamai",
    "Deilephila elpenor",
    "Endromis versicolora",
    "Laothoe populi",
    "Marumba quercus",
    "Saturnia pavoniella",
    "Saturnia pyri",
    "Sphinx ligustri",
)


@pytest.fixture(scope="module")
def shelf() -> SheetShelf:
    return sheets.load_all()


def test_every_shipped_sheet_is_sound(shelf: SheetShelf) -> None:
    assert shelf.troubles == ()
    assert len(shelf.all()) == len(SPECIES) >= 30


@pytest.mark.parametrize("name", OF_THE_SAMPLE)
def test_species_of_the_sample_season_are_well_described(
    shelf: SheetShelf, name: str
) -> None:
    sheet = shelf.get(name)
    assert sheet is not None
    assert sheet.is_written
    assert sheet.hosts
    assert sheet.pupation.mode is not None
    assert sheet.winter.stage is not None
    assert sheet.adult.feeds is not None
    assert set(sheet.larval_stages) <= set(sheet.leaf_g)
    assert all(belief.words for belief in sheets.beliefs(sheet, shelf))


def tables_with_values(
    table: dict[str, Any], where: str
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Walk raw TOML and yield each table that holds anything but tables."""
    if any(not is_table(value) for value in table.values()):
        yield where, table
    for key, value in table.items():
        if isinstance(value, dict):
            yield from tables_with_values(value, f"{where}.{key}")
        elif is_table(value):
            for number, row in enumerate(value):
                yield from tables_with_values(row, f"{where}.{key}[{number}]")


def is_table(value: object) -> bool:
    """Tell a table or list of tables from a value."""
    if isinstance(value, list):
        return bool(value) and all(isinstance(row, dict) for row in value)
    return isinstance(value, dict)


@pytest.mark.parametrize("path", SPECIES, ids=lambda path: path.stem)
def test_every_value_of_a_sheet_carries_source_and_tag(path: Path) -> None:
    raw = tomllib.loads(path.read_text(encoding="utf-8"))
    tables = list(tables_with_values(raw, path.stem))
    assert tables
    for where, table in tables:
        assert table.get("source", "").strip(), where
        assert table.get("tag") in set(Tag), where


def test_every_default_carries_source_and_tag() -> None:
    raw = tomllib.loads(resource("species", "_defaults.toml").read_text("utf-8"))
    tables = list(tables_with_values(raw, "_defaults"))
    assert len(tables) > 50
    for where, table in tables:
        assert table.get("source", "").strip(), where
        assert table.get("tag") in set(Tag), where


def test_a_value_from_memory_never_names_a_source_as_if_it_were_seen() -> None:
    for path in SPECIES:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
        for where, table in tables_with_values(raw, path.stem):
            if table["tag"] == Tag.FROM_MEMORY:
                assert "memory" in table["source"], where


def test_prunus_hosts_warn_of_prussic_acid(shelf: SheetShelf) -> None:
    # published: extension.umd.edu, Prunus profile: cyanogenic, part-wilted worst
    hosts = [host for sheet in shelf.all() for host in sheet.hosts]
    prunus = [host for host in hosts if host.latin.startswith("Prunus")]
    assert len(prunus) >= 6
    assert all(host.poisonous and "prussic" in host.caution for host in prunus)


@pytest.mark.parametrize(
    ("name", "flag"),
    [
        ("Antheraea yamamai", LawFlag.DO_NOT_RELEASE),  # alien in Europe, from memory
        ("Graellsia isabellae", LawFlag.PERMIT),  # Annex II/V, from memory
        ("Proserpinus proserpina", LawFlag.DO_NOT_KEEP),  # Annex IV, from memory
        ("Eriogaster catax", LawFlag.DO_NOT_KEEP),  # Annex IV, from memory
    ],
)
def test_law_flags_remind_and_leave_it_to_the_authority(
    shelf: SheetShelf, name: str, flag: LawFlag
) -> None:
    law = shelf.sheet_for(name).law
    assert law.flag is flag
    assert "authority" in law.note


def test_every_sheet_sends_the_keeper_to_the_authority(shelf: SheetShelf) -> None:
    for sheet in shelf.all():
        assert "authority" in sheet.law.note, sheet.name


def test_larvae_that_do_not_feed_at_first_are_known(shelf: SheetShelf) -> None:
    # published: B. Mery, Breeding the Oak hawk-moth, AES Bulletin
    oak_hawk = shelf.sheet_for("Marumba quercus")
    assert not oak_hawk.feeds_as_l1.yes
    duration = oak_hawk.stages[Stage.L1].durations[0]
    assert (duration.days_low, duration.days_high) == (2, 3)
    assert shelf.sheet_for("Laothoe populi").feeds_as_l1.yes


ITO = Tag.QUOTED  # Itô, Miyashita & Yamada 1968, Appl. Ent. Zool. 3:163-175
GOMAA = Tag.QUOTED  # Gomaa 1973, Z. angew. Entomol. 74:120-126
FUZHOU = Tag.QUOTED  # Ai et al. 1998, Wuyi Sci. J. 14:151-157
JUDD = Tag.PUBLISHED  # Judd et al. 1994, Can. Entomol. 126:1263-1275
DOERR = Tag.PUBLISHED  # Doerr et al. 2002, Environ. Entomol. 31:995-999, abstract
DOERR_INSTARS = Tag.QUOTED  # the same, instars by way of Buckley et al. 2017
JOHNSON = Tag.PUBLISHED  # Johnson et al. 1983, Environ. Entomol. 12:929-932

THERMAL = [
    ("Hyphantria cunea", "egg", 12.8, 86.7, ITO),
    ("Hyphantria cunea", "larva", 9.9, 476.1, ITO),
    ("Hyphantria cunea", "pupa", 12.4, 174.8, ITO),
    ("Samia ricini", "egg", 10.3, 142.9, GOMAA),
    ("Samia ricini", "larva", 2.4, 659.9, GOMAA),
    ("Samia ricini", "pupa", 9.6, 263.4, GOMAA),
    ("Euproctis pseudoconspersa", "egg", 14.23, 71.69, FUZHOU),
    ("Euproctis pseudoconspersa", "larva", 10.2, 479.88, FUZHOU),
    ("Euproctis pseudoconspersa", "pupa", 9.54, 198.55, FUZHOU),
    ("Orthosia hibisci", "egg", 3.4, 99.0, JUDD),
    ("Orthosia hibisci", "L1", 4.7, 44.2, JUDD),
    ("Orthosia hibisci", "L2", 2.9, 51.5, JUDD),
    ("Orthosia hibisci", "L3", 3.6, 52.4, JUDD),
    ("Orthosia hibisci", "L4", 3.5, 57.1, JUDD),
    ("Orthosia hibisci", "L5", 3.7, 69.9, JUDD),
    ("Orthosia hibisci", "pupa", 2.8, 61.3, JUDD),
    ("Lacanobia subjuncta", "egg", 6.6, 75, DOERR),
    ("Lacanobia subjuncta", "larva", 6.7, 476, DOERR),
    ("Lacanobia subjuncta", "pupa", 4.9, 312, DOERR),
    ("Lacanobia subjuncta", "L1", 9.9, 52.1, DOERR_INSTARS),
    ("Lacanobia subjuncta", "L2", 7.8, 53.2, DOERR_INSTARS),
    ("Lacanobia subjuncta", "L3", 6.6, 62.9, DOERR_INSTARS),
    ("Lacanobia subjuncta", "L4", 5.1, 72.5, DOERR_INSTARS),
    ("Lacanobia subjuncta", "L5", 6.9, 50, DOERR_INSTARS),
    ("Lymantria dispar", "egg", 3, 282, JOHNSON),
]


@pytest.mark.parametrize(("name", "stage", "t0_c", "k_dd", "tag"), THERMAL)
def test_thermal_values_are_those_of_the_source(
    shelf: SheetShelf, name: str, stage: str, t0_c: float, k_dd: float, tag: Tag
) -> None:
    sheet = shelf.sheet_for(name)
    rows = sheet.larva if stage == "larva" else sheet.stages[Stage(stage)]
    (row,) = rows.thermal
    assert (row.t0_c, row.k_dd, row.tag) == (t0_c, k_dd, tag)


DURATIONS = [
    # schmetterlingszucht.net/?p=796
    ("Saturnia pyri", "egg", 12, 15, 20, 20),
    # Appl. Ent. Zool. 14(4):389, 12 hours of light
    ("Antheraea yamamai", "pupa", 30, 36, 20, 20),
    ("Antheraea yamamai", "pupa", 24, 34, 25, 25),
    # Oehlke, Larvae developmental time line: 65 to 68 °F
    ("Actias luna", "egg", 12, 12, 18.3, 20),
    ("Antheraea polyphemus", "egg", 12, 12, 18.3, 20),
    # The Book of Caterpillars, p. 360
    ("Endromis versicolora", "egg", 10, 14, None, None),
    # Trans. Suffolk Nat. Soc. 16(6)
    ("Sphinx ligustri", "egg", 8, 9, None, None),
    # schmetterlingszucht.net
    ("Laothoe populi", "egg", 8, 14, None, None),
    ("Aglia tau", "egg", 8, 14, None, None),
    # viagallica.com/a/isabelle.htm
    ("Graellsia isabellae", "egg", 10, 20, None, None),
    # Calvo & Molina 2005, Span. J. Agric. Res. 3(3):319-325
    ("Streblote panda", "egg", 18.0, 18.0, 16, 16),
    ("Streblote panda", "egg", 7.2, 7.2, 31, 31),
    # Gray et al. 2001, J. Insect Physiol. 47:173-184, after diapause
    ("Lymantria dispar", "egg", 11, 18, 25, 25),
    ("Lymantria dispar", "egg", 14, 25, 15, 15),
    # Lin 1997, Taiwan
    ("Daphnis nerii", "pupa", 16, 17, None, None),
]


@pytest.mark.parametrize("row", DURATIONS, ids=lambda row: f"{row[0]} {row[1]}")
def test_published_days_are_those_of_the_source(
    shelf: SheetShelf,
    row: tuple[str, str, float, float, float | None, float | None],
) -> None:
    name, stage, *figures = row
    published = [
        [found.days_low, found.days_high, found.at_low_c, found.at_high_c]
        for found in shelf.sheet_for(name).stages[Stage(stage)].durations
        if found.tag is Tag.PUBLISHED
    ]
    assert figures in published


def test_silkworm_leaf_follows_king(shelf: SheetShelf) -> None:
    # published: King 1911, Farmers of Forty Centuries, p. 313: pounds of leaf eaten by
    # 700,000 worms in each age, 23,835 in all
    pounds = {1: 105, 2: 315, 3: 1050, 4: 3150, 5: 19215}
    leaf = shelf.sheet_for("Bombyx mori").leaf_g
    for instar, weight in pounds.items():
        grams = weight * 453.59237 / 700_000
        assert leaf[Stage(f"L{instar}")].middle == pytest.approx(grams, abs=6e-4)
    total = sum(leaf[Stage(f"L{i}")].middle for i in pounds)
    assert total == pytest.approx(15.44, abs=0.01)
    assert 0.80 <= leaf[Stage.L5].middle / total <= 0.83


def test_leaf_classes_give_the_last_instar_four_fifths(shelf: SheetShelf) -> None:
    # published: Antheraea mylitta eats 145.02 g a cocoon (Dash, Jena & Behera 2016);
    # the last instar takes 81 % of the food energy (sciencevision.org issue 13 art. 75)
    for size, grams in shelf.defaults.leaf_g.items():
        total = sum(figure.middle for figure in grams.values())
        assert 0.80 <= grams[Stage.L5].middle / total <= 0.85, size
    large = shelf.defaults.leaf_g[sheets.Size.LARGE]
    whole = sum(figure.middle for figure in large.values())
    assert whole == pytest.approx(145.02, abs=0.6)


def test_larval_shares_are_the_mean_of_five_species(shelf: SheetShelf) -> None:
    # published: A. proylei, Int. J. Trop. Insect Sci. 2021: 4.8, 4.0, 4.8, 8.0, 11.7 d;
    # B. mori, Socolen abstract 10067: 4.60, 6.00, 6.06, 6.47, 9.87 d;
    # M. belis, IJASEAT abstract: 1.90, 1.69, 1.45, 1.80, 3.81 d;
    # D. nerii, Lin 1997: 4, 3, 3, 4, 5 d.
    # derived from dates: A. luna, 4, 4, 3, 5, 12 d;
    # B. mori, American Cyclopaedia 1879: 4.5, 3.5, 5.5, 9, 10 d
    found = shelf.defaults.larval_shares
    days = {one.species: one.days for one in found.records}
    assert days["Macroglossum belis"] == (1.90, 1.69, 1.45, 1.80, 3.81)
    assert found.species == 5
    mori = np.log([[4.5, 3.5, 5.5, 9, 10], [4.60, 6.00, 6.06, 6.47, 9.87]])
    mori -= np.log(np.exp(mori).sum(axis=1, keepdims=True))
    others = (
        (4.8, 4.0, 4.8, 8.0, 11.7),
        (4.0, 4.0, 3.0, 5.0, 12.0),
        (4.0, 3.0, 3.0, 4.0, 5.0),
        (1.90, 1.69, 1.45, 1.80, 3.81),
    )
    rest = np.log(np.array(others))
    rest -= np.log(np.exp(rest).sum(axis=1, keepdims=True))
    rows = np.vstack([rest, mori.mean(axis=0)])
    middle = np.exp(rows.mean(axis=0))
    assert found.five == pytest.approx(middle / middle.sum())
    between = np.sqrt(rows.var(axis=0, ddof=1).mean() * (1 + 1 / 5))
    assert found.ln_sd == pytest.approx(between)


@pytest.mark.parametrize("name", ["Actias luna", "Daphnis nerii"])
def test_shares_and_sheets_have_the_same_days(shelf: SheetShelf, name: str) -> None:
    (record,) = [r for r in shelf.defaults.larval_shares.records if r.species == name]
    own = shelf.sheet_for(name).stages
    for stage, days in zip(INSTARS[:5], record.days, strict=True):
        if stage in own:
            (row,) = own[stage].durations
            assert row.days_low == row.days_high == days


def test_density_table_and_leaf_life_can_be_asked(shelf: SheetShelf) -> None:
    # published: ten to a bottle in L2 and L3 (B. Mery); one to three fifth instars to a
    # box (17 Expertentipps); the rest common practice, no source
    plain = shelf.sheet_for("Sphinx ligustri")
    in_bottle = sheets.room_for(plain, Stage.L2, BoxKind("bottle"))
    assert in_bottle is not None
    assert in_bottle.high == 10
    sixth = sheets.room_for(plain, Stage.L6, BoxKind("box"))
    assert sixth is not None
    assert (sixth.low, sixth.high) == (1, 3)
    assert sheets.room_for(plain, Stage.L1, BoxKind("sleeve")) is None
    peacock = shelf.sheet_for("Saturnia pyri")
    own = sheets.room_for(peacock, Stage.L3, BoxKind("box"))
    assert own is not None
    assert own.high == 5


@pytest.mark.parametrize(
    ("container", "celsius", "host", "days"),
    [
        ("box", 19, "", 3),  # common practice, no source
        ("box", 25, "", 2),
        ("box", 30, "", 1.5),
        ("box", 22, "", 2.5),
        ("box", 5, "", 3),
        ("box", 38, "", 1.5),
        ("cage", 20, "", 2.5),  # published: shamrockgardens.org, 2 to 3 days in water
        ("cage", 20, "Quercus robur", 5.5),  # common practice, no source
        ("bottle", 29, "Quercus pubescens", 2),
    ],
)
def test_leaf_lasts_by_container_warmth_and_host(
    shelf: SheetShelf, container: str, celsius: float, host: str, days: float
) -> None:
    life = sheets.leaf_life(shelf.defaults, BoxKind(container), celsius, host)
    assert life is not None
    assert life.middle == pytest.approx(days)


def test_leaf_on_a_living_tree_has_no_end(shelf: SheetShelf) -> None:
    assert sheets.leaf_life(shelf.defaults, BoxKind("sleeve"), 25) is None


@pytest.mark.parametrize(("instar", "days"), [("L2", 1.5), ("L4", 1), ("L5", 0.75)])
def test_bigger_larvae_are_cleaned_more_often(
    shelf: SheetShelf, instar: str, days: float
) -> None:
    sheet = shelf.sheet_for("Saturnia pyri")
    every = sheets.clean_every(shelf.defaults, sheet, Stage(instar))
    assert every.middle == pytest.approx(days)


def test_luna_larvae_took_the_days_between_the_dates_on_the_page(
    shelf: SheetShelf,
) -> None:
    # published: wildutah.us, h_m_actias_luna_larva: instars began 14, 18, 22, 25 and
    # 30 June, gut purged 12 July (42 June, so to say)
    began = [14, 18, 22, 25, 30, 42]
    sheet = shelf.sheet_for("Actias luna")
    for number, stage in enumerate(sheet.larval_stages):
        (row,) = sheet.stages[stage].durations
        assert row.days_low == row.days_high == began[number + 1] - began[number]
        assert row.tag is Tag.DERIVED
